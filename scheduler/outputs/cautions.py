"""Cautions for each kind of work: the one source of them for every page, list and calendar.

They stand in ``shared/reference/cautions.csv`` with source and mark. None of them is leave to do anything.
"""

from dataclasses import dataclass
from functools import cache

from crops.published import reference_sources, table
from crops.rows import Source

SEED, GREENS = "seed", "greens"
"""Names of the cautions on treated seed: for every crop, and for the seed of microgreens."""

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


def cautions_for(work: str, *, greens: bool = False) -> tuple[Caution, ...]:
    """Return the cautions for one kind of work, such as ``cut``; none for a kind without any.

    Where microgreens are among what is worked on (``greens``), what their seed must be stands in place of the
    general word on treated seed.
    """
    found = [caution for caution in cautions() if work in caution.works]
    told = greens and any(caution.name == GREENS for caution in found)
    return tuple(caution for caution in found if caution.name != (SEED if told else GREENS))


def caution_line(work: str, *, greens: bool = False) -> str:
    """Return the short cautions of a kind of work on one line; empty when there are none.

    Who decides is said once, at the end.
    """
    texts = [caution.text for caution in cautions_for(work, greens=greens)]
    return " ".join([*texts, LOCAL]) if texts else ""
