"""One bed: what stands in its positions on a day, and what is set in, picked and pulled out."""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import Plan
from scheduler.plan.views.trace import Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class InBed:
    """Plants in the bed in the evening of a day; ``next_pick`` is None when they are not picked any more."""

    row: PlantingRow
    crop: Crop
    next_pick: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BedEvent:
    """What happens to one planting on one day.

    Attributes:
        day: day number.
        what: ``in``, ``pick`` or ``out``.
        row, crop: the planting and its crop.
        heads: pieces or grams picked.
        number: which picking of these plants it is; 0 for the others.
    """

    day: int
    what: str
    row: PlantingRow
    crop: Crop
    heads: int = 0
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BedPage:
    """All that is shown of a bed on a day.

    Attributes:
        bed: its name.
        last: last day of ``coming``.
        open: positions that are open.
        standing: what stands in it, by its first position.
        free: open positions with nothing in them.
        cleaned: positions that were cleared and are not free yet.
        coming: what happens from the day through ``last``.
    """

    bed: str
    last: int
    open: int
    standing: tuple[InBed, ...]
    free: tuple[int, ...]
    cleaned: tuple[int, ...]
    coming: tuple[BedEvent, ...]


def bed_page(farm: Farm, plan: Plan, name: str, day: int, days: int) -> BedPage:
    """Return what is shown of a bed when the work of a day is done, and ``days`` days of what happens.

    Raises:
        KeyError: the farm has no such place.
    """
    place, trace = farm.place(name), Trace(farm, plan)
    rows = [row for lot in trace.lots for row in trace.plantings(lot) if row.bed == name]
    here = [row for row in rows if row.enters <= day < row.leaves]
    cleaned = {at for row in rows if row.leaves <= day < row.free for at in _taken(row)}
    used = {at for row in here for at in _taken(row)} | cleaned
    number, last = place.slots.on(day), min(day + days, farm.calendar.days) - 1
    events = [event for row in rows for event in _events(trace, row) if day <= event.day <= last]
    return BedPage(
        bed=name,
        last=last,
        open=number,
        standing=tuple(
            InBed(row=row, crop=trace.crop(row.lot), next_pick=_next(trace.pickings(row.planting), day))
            for row in sorted(here, key=_taken)
        ),
        free=tuple(at for at in range(1, number + 1) if at not in used),
        cleaned=tuple(sorted(cleaned)),
        coming=tuple(
            sorted(events, key=lambda event: (event.day, WHAT.index(event.what), event.row.planting))
        ),
    )


WHAT = ("pick", "out", "in")
"""Order of what happens on one day: out precedes in."""


def _events(trace: Trace, row: PlantingRow) -> Iterator[BedEvent]:
    crop = trace.crop(row.lot)
    if row.from_day is not None:
        yield BedEvent(day=row.enters, what="in", row=row, crop=crop)
    for pick in trace.pickings(row.planting):
        yield BedEvent(day=pick.day, what="pick", row=row, crop=crop, heads=pick.heads, number=pick.number)
    yield BedEvent(day=row.leaves, what="out", row=row, crop=crop)


def _next(picks: list[PickingRow], day: int) -> int | None:
    return next((pick.day for pick in picks if pick.day > day), None)


def _taken(row: PlantingRow) -> list[int]:
    return positions_in(row.positions) or []
