"""Output against the number of rows, board slots, tray places or bed positions, each point solved again."""

import threading
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import MILLI
from scheduler.model.capacity.bound import Bound
from scheduler.model.capacity.limit import rooms_of
from scheduler.model.capacity.resized import rows_of, slots_of, with_row, with_slots, without_row
from scheduler.model.capacity.ways import lane_groups
from scheduler.model.capacity.week import SteadyWeek
from scheduler.model.capacity.whole import whole_week
from scheduler.model.settings import SolveSettings, Tell, silent
from scheduler.model.solver.engine import Engine
from scheduler.plan.capacity import Frontier, Point, Room, bends_of

ROWS, TOGETHER = "rows", "together"
SLOTS = {"boards": PlaceKind.ZONE, "trays": PlaceKind.TIER, "beds": PlaceKind.BED}
WHAT = (ROWS, *SLOTS, TOGETHER)

MOST_POINTS = 24
"""Most numbers that are looked at; of a wider range only every second or third."""

WHOLE_POINTS = 6
"""Numbers for which a week of whole units is looked for as well, spread over the range."""

REACH = 2
"""The range goes up to so many times what the farm has."""


def frontier(
    week: SteadyWeek,
    what: str,
    settings: SolveSettings,
    known: float | None = None,
    tell: Tell = silent,
    stop: threading.Event | None = None,
) -> Frontier:
    """Return the frontier of one kind of room, or of all together in percent.

    Args:
        week: the steady week and its mix.
        what: one of :data:`WHAT`.
        settings: effort of all weeks of whole units in all; 0 points of them where seconds are 0.
        known: units a week that whole units are known to carry on the farm as it is.
        tell: called with each step in words.
        stop: when set, no further week of whole units is looked for.

    Raises:
        ValueError: the farm has none of it, so that there is nothing to multiply.
    """
    sizes = _Sizes(week)
    now = sizes.now(what)
    if not now:
        raise ValueError(f"the farm has no {what}")
    numbers = numbers_of(what, now)
    whole = _Whole(settings, set(_spread(numbers, WHOLE_POINTS)), stop or threading.Event())
    points: list[Point] = []
    for number in numbers:
        point, times, one = _linear_point(week, sizes.farm(what, number), number)
        if whole.looks_at(number):
            tell(f"{what}: {number}")
        carried = whole.carried(number, one, times, known if number == now else None)
        points.append(replace(point, whole=carried))
    made = tuple(points)
    return Frontier(what=what, now=now, points=made, bends=bends_of(made))


class _Whole:
    """Weeks of whole units, looked for at some of the numbers, which come in their order."""

    def __init__(self, settings: SolveSettings, numbers: set[int], stop: threading.Event) -> None:
        self._numbers = numbers if settings.seconds > 0 else set()
        self._effort = replace(settings, seconds=settings.seconds / max(len(self._numbers), 1))
        self._stop = stop
        self._best: float | None = None

    def looks_at(self, number: int) -> bool:
        """Say whether a week is looked for at a number."""
        return number in self._numbers and not self._stop.is_set()

    def carried(self, number: int, week: SteadyWeek, times: float, known: float | None) -> float | None:
        """Return the units that are carried at a number, some of them known; None where nothing is.

        What carries so much with less carries it with more: a search without luck takes nothing away.
        """
        found = [known]
        if self.looks_at(number):
            whole = whole_week(Engine(self._effort, self._stop), week, times, self._effort.seconds)
            # that nothing is carried with less says nothing of what is carried with more
            found += [self._best or None, whole.times * _units(week) / MILLI if whole else None]
        most = max((units for units in found if units is not None), default=None)
        self._best = self._best if most is None else max(most, self._best or 0.0)
        return most


def _linear_point(week: SteadyWeek, farm: Farm, number: int) -> tuple[Point, float, SteadyWeek]:
    """Return what the linear bound allows on a farm of that size, the times of the mix, and its week."""
    one = _with_farm(week, farm)
    bound = Bound(one)
    answer = bound.solve()
    binding = tuple((room.kind, room.name) for room in _binding(rooms_of(bound, answer)))
    point = Point(number=number, linear=answer.times * _units(week), whole=None, binding=binding)
    return point, answer.times, one


def _units(week: SteadyWeek) -> float:
    """Return units a week of the mix as it is asked for."""
    return sum(week.amounts.values()) / week.weeks


def numbers_of(what: str, now: int) -> list[int]:
    """Return the numbers that are looked at: from one to twice what there is, what there is among them."""
    if what == TOGETHER:
        return list(range(25, 100 * REACH + 1, 25))
    step = -(-now * REACH // MOST_POINTS)
    return sorted({*range(step, now * REACH + 1, step), 1, now})


def _with_farm(week: SteadyWeek, farm: Farm) -> SteadyWeek:
    return replace(week, frame=replace(week.frame, farm=farm))


class _Sizes:
    """Farms of other sizes. Rows come and go one by one, each where it is worth most by the linear bound."""

    def __init__(self, week: SteadyWeek) -> None:
        self._week = week
        self._by_rows = {rows_of(week.farm): week.farm}

    def now(self, what: str) -> int:
        """Return how much the farm has; 100 (percent) of all places."""
        if what == TOGETHER:
            return 100
        return rows_of(self._week.farm) if what == ROWS else slots_of(self._week.farm, SLOTS[what])

    def farm(self, what: str, number: int) -> Farm:
        """Return the farm with so much of it, all else as it is."""
        if what == ROWS:
            return self._of_rows(number)
        if what in SLOTS:
            return with_slots(self._week.farm, number, SLOTS[what])
        farm = self._week.farm
        if self.now(ROWS):
            farm = self._of_rows(max(1, self.now(ROWS) * number // 100))
        for name, kind in SLOTS.items():
            if self.now(name):
                farm = with_slots(farm, max(1, self.now(name) * number // 100), kind)
        return farm

    def _of_rows(self, number: int) -> Farm:
        if number not in self._by_rows:
            more = number > self.now(ROWS)
            before = self._of_rows(number - 1 if more else number + 1)
            rows = [group.places[-1] for group in lane_groups(before)]
            farms = [(with_row if more else without_row)(before, row) for row in rows]
            self._by_rows[number] = max(farms, key=self._carries)
        return self._by_rows[number]

    def _carries(self, farm: Farm) -> float:
        return Bound(_with_farm(self._week, farm)).solve().times


def _binding(rooms: tuple[Room, ...]) -> list[Room]:
    return sorted((room for room in rooms if room.binds), key=lambda room: -room.worth)


def _spread(numbers: list[int], most: int) -> list[int]:
    """Return up to so many numbers, the first and the last among them, spread evenly."""
    if len(numbers) <= most:
        return numbers
    return [numbers[round(at * (len(numbers) - 1) / (most - 1))] for at in range(most)]
