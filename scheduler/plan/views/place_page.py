"""One row, board zone or tier: what stands in its slots on a day, and what comes, is cut and leaves."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import PlaceDay, standing_on
from scheduler.plan.views.trace import Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """What happens to one lot in the place on one day.

    Attributes:
        day: day number.
        what: ``in`` (the lot comes into the place), ``cut``, or ``out`` (it leaves the place).
        lot, crop: the lot and its crop.
        units: how many trays, boards or rafts.
        plants: plants (trays: cells) that come or go, or are cut.
        heads: heads cut.
        slots: slots in which they stood the evening before, or stand that evening if they come.
    """

    day: int
    what: str
    lot: str
    crop: Crop
    units: int
    plants: int
    heads: int
    slots: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacePage:
    """All that is shown of a place; ``coming`` from the shown day through ``last``."""

    place: PlaceDay
    last: int
    coming: tuple[Happening, ...]


WHAT = ("cut", "out", "in")
"""Order of what happens on one day: out precedes in."""


def place_page(farm: Farm, plan: Plan, name: str, day: int, days: int) -> PlacePage:
    """Return what is shown of a place when the work of a day is done, and ``days`` days of what happens.

    Raises:
        KeyError: the farm has no such place.
    """
    owner = farm.place(name).belongs_to
    (place,) = [each for each in standing_on(farm, plan, day, owner) if each.place == name]
    last = min(day + days, farm.calendar.days) - 1
    found: dict[tuple[int, int, str], list[tuple[str, int, int, int]]] = defaultdict(list)
    trace = Trace(farm, plan)
    for position in plan.positions:
        if position.place != name or position.unit not in trace.units:
            continue
        for at, what, lot, amounts in _happenings(trace, position.unit, name):
            # out and cut are told with the slot of the evening before, in with that of the day itself
            if day <= at <= last and position == trace.stand_on(
                position.unit, at if what == "in" else max(at - 1, 0)
            ):
                found[at, WHAT.index(what), lot].append((position.unit, *amounts, position.slot))
    return PlacePage(
        place=place,
        last=last,
        coming=tuple(
            Happening(
                day=at,
                what=WHAT[what],
                lot=lot,
                crop=trace.crop(lot),
                units=len({unit for unit, _, _, _ in parts}),
                plants=sum(plants for _, plants, _, _ in parts),
                heads=sum(heads for _, _, heads, _ in parts),
                slots=tuple(sorted({slot for _, _, _, slot in parts})),
            )
            for (at, what, lot), parts in sorted(found.items())
        ),
    )


def _happenings(trace: Trace, unit: str, place: str) -> list[tuple[int, str, str, tuple[int, int]]]:
    """Return (day, what, lot, (plants, heads)) of all that a unit brings to and takes from a place."""
    made: list[tuple[int, str, str, tuple[int, int]]] = []
    for lot in dict.fromkeys(row.lot for row in trace.inside(unit)):
        rows = [row for row in trace.inside(unit) if row.lot == lot]
        cuts = trace.cuts(unit, lot)
        for cut in cuts:
            made.append((cut.day, "cut", lot, (cut.plants, cut.heads)))
        for row in rows:
            first = trace.first_stand(unit)
            if first is not None and first.place == place and first.enters == row.enters:
                made.append((row.enters, "in", lot, (row.plants, 0)))
            if not cuts:
                made.append((row.leaves, "out", lot, (row.plants, 0)))
    for day, left, came_to in trace.moves(unit):
        for row in trace.inside(unit):
            if row.enters < day < row.leaves and place in (left, came_to):
                made.append((day, "in" if came_to == place else "out", row.lot, (row.plants, 0)))
    return made
