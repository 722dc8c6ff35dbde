"""The fullest day of places, week by week: slots in use of slots open."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.rows import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Full:
    """One day, the fullest among some: ``used`` slots or units of those ``there`` are, which are open."""

    day: int
    used: int
    there: int

    @property
    def share(self) -> float:
        """Slots in use, as a part of those open; 0 where none is open."""
        return self.used / self.there if self.there else 0.0

    @property
    def full(self) -> bool:
        """Say whether no open slot is left; a closed place is not full."""
        return 0 < self.there <= self.used


def week_spans(farm: Farm) -> tuple[tuple[int, int], ...]:
    """Return first and last day of every week, Monday to Sunday, from today to the last reported day.

    The first and the last week are cut to the days that are planned. All views of weeks begin here.
    """
    calendar, first = farm.calendar, farm.today
    weeks = []
    while first < calendar.days:
        last = min(calendar.week_start(first) + WEEK, calendar.days) - 1
        weeks.append((first, last))
        first = last + 1
    return tuple(weeks)


def week_of(farm: Farm, day: int) -> int:
    """Return which week a day lies in, 0 for today's; days outside count to the nearest."""
    within = min(max(day, farm.today), farm.calendar.days - 1)
    return (within - farm.calendar.week_start(farm.today)) // WEEK


def fullest(days: Iterable[tuple[int, int, int]]) -> Full | None:
    """Return the fullest of some days given as (day, used, slots).

    That is the day with the largest share in use, then the most slots in use, then the earliest; where
    no slot is open on any day, the first of them. None without days.
    """
    ranked = [(used / slots if slots else -1.0, used, -day, slots) for day, used, slots in days]
    if not ranked:
        return None
    _, used, day, slots = max(ranked)
    return Full(day=-day, used=used, there=slots)


def place_weeks(farm: Farm, plan: Plan) -> dict[str, tuple[Full | None, ...]]:
    """Return the fullest day of each week for every place, in the book's order; None without rows."""
    by_week: dict[str, list[list[tuple[int, int, int]]]] = {
        place.name: [[] for _ in week_spans(farm)] for place in farm.places
    }
    for row in plan.use:
        if farm.today <= row.day < farm.calendar.days and row.place in by_week:
            by_week[row.place][week_of(farm, row.day)].append((row.day, row.used, row.slots))
    return {name: tuple(map(fullest, weeks)) for name, weeks in by_week.items()}


def weeks_full(weeks: Iterable[Full | None]) -> int:
    """Return how many weeks have a day on which no open slot is left."""
    return sum(week is not None and week.full for week in weeks)


def kind_weeks(farm: Farm, plan: Plan) -> Mapping[PlaceKind, tuple[Full | None, ...]]:
    """Return the fullest day of each week for all tiers, all board zones and all rows together.

    Kinds the farm has no place of are left out.
    """
    spans = week_spans(farm)
    return {
        kind: tuple(
            fullest((day, *sums[day]) for day in range(first, last + 1) if day in sums)
            for first, last in spans
        )
        for kind, sums in _kind_days(farm, plan).items()
    }


def kind_season(farm: Farm, plan: Plan) -> Mapping[PlaceKind, Full]:
    """Return the fullest day of the whole plan for each kind of place that has rows."""
    found = {
        kind: fullest((day, *sums[day]) for day in sums) for kind, sums in _kind_days(farm, plan).items()
    }
    return {kind: each for kind, each in found.items() if each is not None}


def _kind_days(farm: Farm, plan: Plan) -> dict[PlaceKind, dict[int, tuple[int, int]]]:
    """Return (used, slots) of each kind of place by day, reported days from today on."""
    kind_of = {place.name: place.kind for place in farm.places}
    sums: dict[PlaceKind, dict[int, list[int]]] = {
        kind: defaultdict(lambda: [0, 0]) for kind in PlaceKind if farm.places_of(kind)
    }
    for row in plan.use:
        if farm.today <= row.day < farm.calendar.days and row.place in kind_of:
            total = sums[kind_of[row.place]][row.day]
            total[0] += row.used
            total[1] += row.slots
    return {
        kind: {day: (used, slots) for day, (used, slots) in sorted(days.items())}
        for kind, days in sums.items()
    }
