"""An earlier plan in the days of a later book: what of it still lies ahead, lot by lot."""

import re
from collections import defaultdict
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from scheduler.farm.farm import Farm
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.columns import columns
from scheduler.plan.rows import ContentRow, CutRow, Plan, PositionRow, UnitRow
from scheduler.plan.tally import first_positions


def in_days_of(farm: Farm, before: Farm, plan: Plan) -> Plan:
    """Return a plan with its days counted from the first day of another book of the same farm.

    Args:
        farm: whose first day is to be day 0.
        before: the farm of the plan.
        plan: the plan; the rows keep their order.
    """
    shift = (farm.calendar.first_day - before.calendar.first_day).days
    if not shift:
        return plan
    days = {
        table: [column.column for column in documented if column.type == "date"]
        for table, documented in columns().items()
    }
    moved: dict[str, Any] = {
        table: tuple(_shifted(row, names, shift) for row in getattr(plan, table))
        for table, names in days.items()
        if names
    }
    return replace(plan, **moved)


def _shifted(row: Any, names: Iterable[str], shift: int) -> Any:
    days = {name: getattr(row, name) for name in names}
    return replace(row, **{name: day - shift for name, day in days.items() if day is not None})


def lot_at_large(lot: str, known: Container[str]) -> str:
    """Return the lot that a numbered one is a part of: ``BUT-260302-2`` of ``BUT-260302``, if that is known.

    A plan numbers the rows of what grew on its first day from the second on.
    """
    match = re.fullmatch(r"(.+)-[0-9]{1,3}", lot)
    return match[1] if match and match[1] in known else lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Plants of a lot in one unit of the earlier plan; ``place`` is where the unit first stands."""

    unit: UnitRow
    content: ContentRow
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """What an earlier plan has for each lot.

    Attributes:
        plan: its rows, in the days of the later book.
        crop_of: lot at large -> crop.
        held: (lot at large, tray, board or raft) -> its plants there, by the day they enter and leave.
        cuts: (unit, lot at large) -> cuts, by number and day.
        planted: lot at large -> its plants in beds, by the day they are set in.
    """

    plan: Plan
    crop_of: Mapping[str, str]
    held: Mapping[tuple[str, str], tuple[Held, ...]]
    cuts: Mapping[tuple[str, str], tuple[CutRow, ...]]
    planted: Mapping[str, tuple[PlantingRow, ...]] = field(default_factory=dict)

    def of(self, lot: str, item: str) -> tuple[Held, ...]:
        """Return what is held of a lot in units of one kind."""
        return self.held.get((lot, item), ())


def earlier(plan: Plan) -> Earlier:
    """Sort the rows of a plan by lots at large."""
    names = {row.lot for row in plan.lots}
    units = {row.unit: row for row in plan.units}
    places: Mapping[str, PositionRow] = first_positions(plan.positions)
    held: dict[tuple[str, str], list[Held]] = defaultdict(list)
    for row in plan.contents:
        unit = units.get(row.unit)
        if unit is not None:
            place = places[row.unit].place if row.unit in places else ""
            held[lot_at_large(row.lot, names), unit.item].append(Held(unit=unit, content=row, place=place))
    cuts: dict[tuple[str, str], list[CutRow]] = defaultdict(list)
    for cut in plan.cuts:
        cuts[cut.unit, lot_at_large(cut.lot, names)].append(cut)
    planted: dict[str, list[PlantingRow]] = defaultdict(list)
    for planting in sorted(plan.plantings, key=lambda row: (row.enters, row.planting)):
        planted[lot_at_large(planting.lot, names)].append(planting)
    return Earlier(
        plan=plan,
        crop_of={lot_at_large(row.lot, names): row.crop for row in plan.lots},
        held={key: tuple(sorted(rows, key=_by_days)) for key, rows in held.items()},
        cuts={key: tuple(sorted(rows, key=lambda row: (row.number, row.day))) for key, rows in cuts.items()},
        planted={lot: tuple(rows) for lot, rows in planted.items()},
    )


def _by_days(held: Held) -> tuple[int, int, str]:
    return held.content.enters, held.content.leaves, held.content.unit
