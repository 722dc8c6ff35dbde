"""Pickings: on which days plants in beds are picked, and how much of a week they may give."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.bed_rows import PickingRow, PlantingRow

WEEK = 7 * MILLI

_Group = tuple[str, int | None, int, int, tuple[int, ...], int]
"""Lot, day its plants entered the stage before, day set in, day pulled out, pace of the bed, entry."""


@dataclass(slots=True)
class _Week:
    """Pickings of one picking week of one group: plants of each planting, heads by day, days there are."""

    plants: list[int]
    heads: dict[int, int]
    days: list[int]


def pickings(ledger: Ledger) -> Iterator[AuditFault]:
    """Report pickings on wrong days, in a wrong order, and of more than ripens."""
    of: dict[str, list[PickingRow]] = defaultdict(list)
    for row in ledger.plan.pickings:
        of[row.planting].append(row)
    groups: dict[_Group, list[PlantingRow]] = defaultdict(list)
    for name, planting in ledger.plantings.items():
        yield from _numbers(ledger, planting, of[name])
        yield from _days(ledger, planting, of[name])
        entry = ledger.planted.get(name)
        pace = ledger.farm.pace.signature(planting.bed)
        key = (planting.lot, planting.from_day, planting.enters, planting.leaves, pace, id(entry))
        groups[key].append(planting)
    for plantings in groups.values():
        yield from _amounts(ledger, plantings, of)


def _numbers(ledger: Ledger, planting: PlantingRow, rows: list[PickingRow]) -> Iterator[AuditFault]:
    """Pickings are numbered in order of their days, after those that were done before the plan."""
    entry = ledger.planted.get(planting.planting)
    before = entry.cuts_done if entry else 0
    for number, row in enumerate(sorted(rows, key=lambda row: row.day), before + 1):
        if row.number != number:
            message = f"picking {row.number} of {planting.planting} is number {number} by its day"
            yield ledger.fault("bookkeeping", planting.planting, row.day, message)
            return


def _days(ledger: Ledger, planting: PlantingRow, rows: list[PickingRow]) -> Iterator[AuditFault]:
    farm, picking = ledger.farm, ledger.crop_of(planting.lot).picking
    for row in rows:
        what = f"{planting.planting} is picked"
        if row.heads < 0:
            message = f"{row.heads} heads of picking {row.number}"
            yield ledger.fault("whole units", planting.planting, row.day, message)
        if not planting.enters <= row.day <= planting.leaves:
            message = f"{what} while it does not stand there"
            yield ledger.fault("bookkeeping", planting.planting, row.day, message)
        elif row.day < farm.today:
            yield ledger.fault(
                "work days", planting.lot, row.day, f"{what} before {farm.date_of(farm.today)}"
            )
        elif picking is None or not picking.is_day(row.day):
            yield ledger.fault("picking", planting.bed, row.day, f"{what}, but that is no picking day")
        elif _week_of(ledger, planting, row.day) is None:
            message = f"{what}, but not within its picking weeks"
            yield ledger.fault("picking", planting.bed, row.day, message)


def _week_of(ledger: Ledger, planting: PlantingRow, day: int) -> int | None:
    """Return the picking week a day lies in, 0 for the first; None before and after all of them."""
    crop = ledger.crop_of(planting.lot)
    grown = ledger.growth.at(planting.bed, planting.enters, day) - crop.finish.days * MILLI
    weeks = len(crop.picking.curve) if crop.picking else 0
    return grown // WEEK if 0 <= grown < weeks * WEEK else None


def _amounts(
    ledger: Ledger, plantings: list[PlantingRow], of: dict[str, list[PickingRow]]
) -> Iterator[AuditFault]:
    """Judge each picking week of plants of one lot that were set in and are pulled out together."""
    first = plantings[0]
    crop = ledger.crop_of(first.lot)
    if crop.picking is None:
        return
    plants = [planting.plants for planting in plantings]
    heads: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for planting in plantings:
        for row in of[planting.planting]:
            week = _week_of(ledger, planting, row.day)
            if week is not None:
                heads[week][row.day] += row.heads
    for week, taken in heads.items():
        there = _days_of_week(ledger, first, week)
        share = crop.picking.curve[week] * crop.heads_share
        yield from _one_week(ledger, first, _Week(plants, taken, there), share)


def _days_of_week(ledger: Ledger, planting: PlantingRow, week: int) -> list[int]:
    """Return the picking days of a picking week, those before the plan included."""
    picking = ledger.crop_of(planting.lot).picking
    return [
        day
        for day in (picking.days if picking else ())
        if day >= planting.enters and _week_of(ledger, planting, day) == week
    ]


def _one_week(ledger: Ledger, planting: PlantingRow, week: _Week, share: int) -> Iterator[AuditFault]:
    """Up to each day no more than its part of the week, rounded down over the lot.

    On one day no more than an even part, which each planting may round up.

    What was picked before the plan began, up to a growing planting's last picking, is gone.
    """
    entry = ledger.planted.get(planting.planting)
    start = ledger.farm.today
    if entry is not None and entry.last_cut is not None:
        start = max(start, entry.last_cut + 1)
    left = [day for day in week.days if day >= start]
    parts = len(week.days) * MILLI * WHOLE_SHARE
    total, plants = 0, sum(week.plants)
    for number, day in enumerate(left, 1):
        taken = week.heads.get(day, 0)
        total += taken
        limit = number * plants * share // parts
        most = sum(ceil_div(each * share, parts) for each in week.plants)
        if total > limit:
            message = f"{total} picked of {plants} plants so far in this picking week, which give {limit}"
            yield ledger.fault("picking", planting.lot, day, message)
            return
        if taken > most:
            message = f"{taken} picked of {plants} plants on one day, which give {most}"
            yield ledger.fault("picking", planting.lot, day, message)
            return
