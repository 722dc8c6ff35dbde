"""Rows of the library's tables, and the check that every figure says where it comes from."""

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

MARKS = {
    "READ": "read in the text of the publisher, agency, university or seed trade",
    "READ-2": "read in another party's copy or citation of the source",
    "MEMORY": "remembered, not read; may be wrong",
    "COMMON PRACTICE": "usual in the trade, no single source",
    "ESTIMATE": "judgement, or a sum or transfer of other figures; replace it with your own records",
}
"""What each evidence mark means; a mark belongs to the typical value."""

WEAK_MARKS = frozenset({"MEMORY", "ESTIMATE"})
"""Marks of figures to replace first with the farm's own records."""

NO_SOURCE = "COMMON"
"""Source id of figures without a single source; they carry a mark that says so."""

READ_MARKS = frozenset({"READ", "READ-2"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of one crop.

    Attributes:
        name: name of the figure, such as ``days_tray``.
        low, high: bounds in ``unit``; None where no bound is known.
        typical: the value the planner uses, in ``unit``.
        unit: unit of all three, such as ``d``, ``plants/m2``, ``fraction`` or ``min``.
        conditions: what the figure holds for.
        source_id: a row of ``sources.csv``.
        evidence: a key of `MARKS`, for the typical value.
        note: readings of other sources and the origin of the bounds.
    """

    name: str
    low: float | None
    typical: float
    high: float | None
    unit: str
    conditions: str
    source_id: str
    evidence: str
    note: str

    @property
    def is_weak(self) -> bool:
        """Say whether the figure is only remembered or estimated."""
        return self.evidence in WEAK_MARKS


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One publication, or the entry for figures without one.

    Attributes:
        source_id: the name figures refer to it by.
        authors, year, title, publisher, address, pages: as far as known; empty where not.
        evidence: how it was seen, a key of `MARKS`.
        note: what was taken from it and what is remembered about it.
    """

    source_id: str
    authors: str
    year: str
    title: str
    publisher: str
    address: str
    pages: str
    evidence: str
    note: str

    @property
    def citation(self) -> str:
        """The source in one line."""
        return self._in_one_line(self.address)

    @property
    def on_paper(self) -> str:
        """The source in one line, without an address of the web."""
        return self._in_one_line("" if "://" in self.address else self.address)

    def _in_one_line(self, address: str) -> str:
        lead = f"{self.authors} {self.year}".strip() if self.authors else self.year
        parts = (lead, self.title, self.publisher, address)
        return ". ".join(part.rstrip(".") for part in parts if part) + "."


def sources_of(rows: Iterable[Mapping[str, str]]) -> Mapping[str, Source]:
    """Return the sources of a table's rows by their ids, in its order; what it calls address may be a DOI."""
    found = (dict(row) for row in rows)
    made = (Source(address=row.pop("address_or_doi"), **row) for row in found)
    return MappingProxyType({source.source_id: source for source in made})


def _number(text: str) -> float | None:
    """Read a plain number; None where the cell is blank.

    Raises:
        ValueError: the cell holds anything else.
    """
    if not text:
        return None
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(text)
    return value


def _number_faults(row: Mapping[str, str]) -> list[str]:
    """Check the three numbers of a row and their order."""
    faults, values = [], []
    for column in ("low", "typical", "high"):
        try:
            values.append(_number(row[column]))
        except ValueError:
            faults.append(f'{column} "{row[column]}" is not a number')
    if faults:
        return faults
    if values[1] is None:
        faults.append("typical is blank")
    known = [value for value in values if value is not None]
    if known != sorted(known):
        faults.append(f"low, typical, high are {', '.join(map(str, known))}: not in rising order")
    return faults


def _origin_faults(row: Mapping[str, str], source_ids: Collection[str]) -> list[str]:
    """Check that a row says where its figure comes from, and that mark and source agree."""
    source, mark = row["source_id"], row["evidence"]
    faults = []
    if source not in source_ids:
        faults.append(f'source "{source}" is not in sources.csv')
    if mark not in MARKS:
        faults.append(f'evidence "{mark}" is not one of {", ".join(MARKS)}')
    if mark in READ_MARKS and source == NO_SOURCE:
        faults.append(f"{mark} needs the source it was read in, not {NO_SOURCE}")
    return faults


def faults_of(row: Mapping[str, str], source_ids: Collection[str], names: Collection[str]) -> list[str]:
    """Return every fault of a row of ``figures.csv``, in words; empty for a sound row.

    Args:
        row: cell texts by column name.
        source_ids: ids in ``sources.csv``.
        names: figure names in ``figure_names.csv``.
    """
    faults = [] if row["figure"] in names else [f'figure "{row["figure"]}" is not in figure_names.csv']
    if not row["unit"]:
        faults.append("unit is blank")
    return faults + _number_faults(row) + _origin_faults(row, source_ids)


def figure_of(row: Mapping[str, str], source_ids: Collection[str], names: Collection[str]) -> Figure:
    """Return the figure of a row of ``figures.csv``.

    Raises:
        ValueError: the row has faults; the message names crop, figure and all of them.
    """
    faults = faults_of(row, source_ids, names)
    if faults:
        raise ValueError(f"{row['crop']} {row['figure']}: {'; '.join(faults)}")
    return Figure(
        name=row["figure"],
        low=_number(row["low"]),
        typical=float(row["typical"]),
        high=_number(row["high"]),
        unit=row["unit"],
        conditions=row["conditions"],
        source_id=row["source_id"],
        evidence=row["evidence"],
        note=row["note"],
    )
