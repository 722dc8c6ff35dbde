"""Places that one farm has and another has not: empty when they open, and how they fill."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place
from scheduler.plan.harvest import harvests_of
from scheduler.plan.rows import Plan
from scheduler.plan.views.fullest import week_spans
from scheduler.plan.views.places import UNITS, whole_of

FULL = Fraction(9, 10)
"""From this share of its slots on a place counts as filled (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """Slots of one shelf, board zone or trough that are there in one farm and not in the other.

    Attributes:
        name: the shelf or trough; a board zone's own name.
        unit: tray, board or raft.
        slots: the most slots more there are on a day.
        opens: first day on which there are any, None when never within the reported days.
        first_in: first day on which something stands in it, None when nothing ever does.
        first_cut: first day on which something is cut in it, None for trays and boards, or when never.
        filled: first day on which nine tenths of its slots are taken, None when never.
        weeks: share of its slots in use in each week on average; None in weeks it has none.

    Where a place only grew, its own slots and the new ones are not told apart: use is that of the place.
    """

    name: str
    unit: str
    slots: int
    opens: int | None
    first_in: int | None
    first_cut: int | None
    filled: int | None
    weeks: tuple[Fraction | None, ...]


def opened(base: Farm, farm: Farm, plan: Plan) -> tuple[Opened, ...]:
    """Return what ``farm`` has more than ``base``: shelves, zones and troughs in the order of its book."""
    usual = {place.name: place for place in base.places}
    more: dict[str, list[Place]] = defaultdict(list)
    for place in farm.places:
        if _slots_more(farm, place, usual.get(place.name)):
            more[whole_of(place)].append(place)
    return tuple(_opened(farm, plan, (name, places), usual) for name, places in more.items())


def _slots_more(farm: Farm, place: Place, usual: Place | None) -> dict[int, int]:
    """Return day -> slots more than usual, days that have some, from today to the last reported day."""
    found = {}
    for day in range(farm.today, farm.calendar.days):
        more = place.slots.on(day) - (usual.slots.on(day) if usual else 0)
        if more > 0:
            found[day] = more
    return found


def _opened(farm: Farm, plan: Plan, named: tuple[str, list[Place]], usual: dict[str, Place]) -> Opened:
    name, places = named
    more: dict[int, int] = defaultdict(int)
    for place in places:
        for day, number in _slots_more(farm, place, usual.get(place.name)).items():
            more[day] += number
    names = {place.name for place in places}
    used: dict[int, int] = defaultdict(int)
    for row in plan.use:
        if row.place in names:
            used[row.day] += row.used
    there = {day: sum(place.slots.on(day) for place in places) for day in sorted(more)}
    return Opened(
        name=name,
        unit=UNITS[places[0].kind],
        slots=max(more.values()),
        opens=min(more),
        first_in=next((day for day in there if used[day]), None),
        first_cut=_first_cut(plan, names, min(more)),
        filled=next((day for day in there if used[day] >= FULL * there[day]), None),
        weeks=tuple(_share(used, there, range(first, last + 1)) for first, last in week_spans(farm)),
    )


def _share(used: dict[int, int], there: dict[int, int], days: Iterable[int]) -> Fraction | None:
    open_days = [day for day in days if there.get(day)]
    if not open_days:
        return None
    return Fraction(sum(used[day] for day in open_days), sum(there[day] for day in open_days))


def _first_cut(plan: Plan, places: set[str], opens: int) -> int | None:
    """Return the first day on which a raft or plants that came in once the place was open are harvested."""
    late = {unit.unit for unit in plan.units if unit.enters >= opens}
    stands = {row.unit for row in plan.positions if row.place in places} & late
    stands |= {row.planting for row in plan.plantings if row.bed in places and row.enters >= opens}
    return min((row.day for row in harvests_of(plan) if row.source in stands), default=None)
