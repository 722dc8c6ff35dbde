"""Rows of what grows that stand in one tray, board or raft together, held against each other."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.crops import Stage, StageKind
from scheduler.farm.from_book.places import Layout


@dataclass(frozen=True, slots=True)
class FoundRow:
    """One row with the stage it is in and the place it stands in, as the farm calls it."""

    row: Row
    stage: Stage
    place: str

    @property
    def units(self) -> int:
        """Trays, boards or rafts, or positions in a bed."""
        return self.row.whole("units")

    @property
    def together(self) -> str:
        """The name of the unit that it shares; empty for none."""
        return self.row.text("together")


def check_together(found: Sequence[FoundRow], layout: Layout, log: FaultLog) -> None:
    """Report rows of one name that cannot stand in one unit, each held against the first of them."""
    by_name: dict[str, list[FoundRow]] = defaultdict(list)
    for one in found:
        if one.together:
            by_name[one.together].append(one)
            _check_alone(one, layout, log)
    for rows in by_name.values():
        for other in rows[1:]:
            _check_alike(rows[0], other, log)
        _check_room_in(rows, log)


def _check_alone(one: FoundRow, layout: Layout, log: FaultLog) -> None:
    cell = one.row.cell("together")
    if one.stage.kind is StageKind.BED:
        log.add(cell, f"'{one.together}' in a bed", "a blank cell: positions are not shared", "not-together")
        return
    if one.units != 1:
        expected = f"1, for '{one.together}' is one {one.stage.kind}"
        log.add(one.row.cell("units"), str(one.units), expected, "not-together")
    if one.stage.kind is StageKind.TRAY and one.place in layout.shelves:
        tier = next(iter(layout.shelves[one.place]), one.place)
        expected = f"its tier, such as '{tier}', for a tray that is shared stands in one place"
        log.add(one.row.cell("place"), f"'{one.place}'", expected, "not-together")


def _check_alike(first: FoundRow, other: FoundRow, log: FaultLog) -> None:
    """Both are of one stage, place and day, in one kind of unit, and rafts of one order."""
    told = {
        "stage": (first.stage.kind.value, other.stage.kind.value),
        "place": (first.place, other.place),
        "since": (str(first.row.date("since")), str(other.row.date("since"))),
        "crop": (first.stage.unit, other.stage.unit),
        "order": (_text(first.row.whole_or_none("order")), _text(other.row.whole_or_none("order"))),
    }
    for column, (wanted, got) in told.items():
        if wanted != got:
            where = first.row.cell(column)
            expected = f"'{wanted}' as in {where}, for both stand in '{first.together}'"
            log.add(other.row.cell(column), f"'{got}'", expected, "not-together")


def _text(number: int | None) -> str:
    return "" if number is None else str(number)


def _check_room_in(rows: Sequence[FoundRow], log: FaultLog) -> None:
    """All plants of a unit have room in it: each takes its share of the places its own crop has there."""
    used = Fraction(0)
    for one in rows:
        used += Fraction(one.row.whole("plants"), max(one.stage.plants_per_unit, 1))
        if used > 1:
            found = f"{one.row.whole('plants')} plants more in '{one.together}'"
            expected = f"no more than one {one.stage.kind} holds, all its rows together"
            log.add(one.row.cell("plants"), found, expected, "too-many-plants")
            return


def first_of_each(found: Sequence[FoundRow]) -> list[FoundRow]:
    """Return the rows with units of their own and the first of each that share one: units count once."""
    seen = set[str]()
    units = []
    for one in found:
        if one.together not in seen:
            units.append(one)
        if one.together:
            seen.add(one.together)
    return units


def raft_ranks(rafts: Sequence[FoundRow]) -> Iterator[tuple[FoundRow, int]]:
    """Yield the rafts of a row in order, each with its rank; rows of one raft have one rank."""
    ranks: dict[str | int, int] = {}
    ranked = [(one, ranks.setdefault(one.together or one.row.number, len(ranks) + 1)) for one in rafts]
    yield from sorted(ranked, key=lambda each: each[1])
