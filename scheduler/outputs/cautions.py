"""Cautions for each kind of work: the one source of them for every page, list and calendar.

They stand in ``shared/reference/cautions.csv`` with source and mark. None of them is leave to do anything.
"""

from dataclasses import dataclass
from functools import cache

from crops.published import reference_sources, table
from crops.rows import Source

LOCAL = "Local rules and licensed practice decide."
"""What every caution ends with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution.

    Attributes:
        name: its name in the table, such as ``lift``.
        works: kinds of work it stands under.
        text: one short sentence.
        more: what is behind it, in a few sentences.
        source: where that is from.
        evidence: how the source was seen, a key of ``crops.rows.MARKS``.
        note: what was not read in the source; may be empty.
    """

    name: str
    works: tuple[str, ...]
    text: str
    more: str
    source: Source
    evidence: str
    note: str

    @property
    def said(self) -> str:
        """The short sentence, ending with who decides."""
        return f"{self.text} {LOCAL}"

    @property
    def in_full(self) -> str:
        """The sentence, what is behind it, and who decides."""
        return f"{self.text} {self.more} {LOCAL}"


@cache
def cautions() -> tuple[Caution, ...]:
    """Return every caution, in the order of the table."""
    return tuple(
        Caution(
            name=row["caution"],
            works=tuple(row["works"].split("; ")),
            text=row["text"],
            more=row["more"],
            source=reference_sources()[row["source_id"]],
            evidence=row["evidence"],
            note=row["note"],
        )
        for row in table("cautions")
    )


def cautions_for(work: str) -> tuple[Caution, ...]:
    """Return the cautions for one kind of work, such as ``cut``; none for a kind without any."""
    return tuple(caution for caution in cautions() if work in caution.works)


def caution_line(*works: str) -> str:
    """Return the short cautions of some kinds of work on one line, each once; empty when there are none.

    Who decides is said once, at the end.
    """
    texts = [caution.text for caution in cautions() if set(works).intersection(caution.works)]
    return " ".join([*texts, LOCAL]) if texts else ""
