"""Sowings that would stand in heat: on boards and rafts above the crop's limit, or as seed that fails.

A sowing counts as standing in heat when, going on without a wait, it would meet a day that is too warm for
it in any of the places it may go, before its first harvest day. What is known is the mean of a month or a
reading, so a hot spell within a mild month is not seen.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.growth.climate import Climate
from scheduler.farm.growth.course import Homes, Stay, course_of, homes_of
from scheduler.farm.growth.pace import Pace
from scheduler.farm.places import Place

BLOCK = 128
"""Days by which a list of hot days is made longer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HotSowings:
    """Sowings of one crop from ``first`` through ``last`` that would stand in heat, and where.

    ``homes`` are the shelves and troughs that are too warm for at least one of them.
    """

    first: int
    last: int
    homes: tuple[str, ...]


@dataclass(slots=True)
class _HotDays:
    """The hot days of one place for one limit, from day 0 on, found as far as they are asked for."""

    is_hot: Callable[[int], bool]
    known: int = 0
    days: list[int] = field(default_factory=list)

    def within(self, first: int, end: int) -> bool:
        """Say whether a day from ``first`` up to, not including, ``end`` is hot."""
        while self.known < end:
            self.days += [day for day in range(self.known, self.known + BLOCK) if self.is_hot(day)]
            self.known += BLOCK
        at = bisect_left(self.days, first)
        return at < len(self.days) and self.days[at] < end


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatFinder:
    """Finds the sowings of a farm that would stand in heat, from day 0 on.

    Attributes:
        first_day: the date of day 0.
        places, pace, climate: of the farm.
    """

    first_day: date
    places: Sequence[Place]
    pace: Pace
    climate: Climate
    _hot: dict[tuple[str, int], _HotDays] = field(default_factory=dict, init=False, repr=False)

    def hot_sowings(self, crop: Crop, days: Iterable[int]) -> list[HotSowings]:
        """Return the runs of days, out of ``days`` in order, on which a sowing would stand in heat."""
        if not self._is_at_risk(crop):
            return []
        homes = homes_of(self.places, crop)
        return list(_runs((day, tuple(dict.fromkeys(self._too_hot(crop, homes, day)))) for day in days))

    def _is_at_risk(self, crop: Crop) -> bool:
        """Say whether it is ever too warm for the crop anywhere; most crops and books need no more."""
        air = self.climate.air
        known = [at for table in (air.months, air.read) for row in table.values() for at in row.values()]
        limits = [limit for limit in (crop.heat_limit, crop.seed_heat) if limit is not None]
        return bool(known and limits) and max(known) >= min(limits)

    def _too_hot(self, crop: Crop, homes: Homes, sown: int) -> Iterator[str]:
        """Yield the shelves and troughs in which one sowing would stand in heat."""
        if crop.seed_heat is not None:
            for shelf in homes[StageKind.TRAY]:
                if self._days(shelf, crop.seed_heat).within(sown, sown + 1):
                    yield shelf
        course = course_of(crop, homes, self.pace, sown)
        if course is None or crop.heat_limit is None:
            return
        above = crop.heat_limit + 1
        for stay in course.stays:
            if stay.kind is not StageKind.TRAY and self._stands_in(stay, above):
                yield stay.home

    def _stands_in(self, stay: Stay, degrees: int) -> bool:
        return self._days(stay.home, degrees).within(stay.first, stay.end)

    def _days(self, home: str, degrees: int) -> _HotDays:
        """Return the days on which the air of a place has so many hundredths of a degree or more."""

        def is_hot(day: int) -> bool:
            air = self.climate.air_on(home, day, self.first_day)
            return air is not None and air >= degrees

        return self._hot.setdefault((home, degrees), _HotDays(is_hot))


def _runs(found: Iterable[tuple[int, tuple[str, ...]]]) -> Iterator[HotSowings]:
    """Join days with hot places that follow each other."""
    run: list[tuple[int, tuple[str, ...]]] = []
    for day, homes in found:
        if run and not (homes and day == run[-1][0] + 1):
            yield _joined(run)
            run = []
        if homes:
            run.append((day, homes))
    if run:
        yield _joined(run)


def _joined(run: Sequence[tuple[int, tuple[str, ...]]]) -> HotSowings:
    homes = dict.fromkeys(home for _, each in run for home in each)
    return HotSowings(first=run[0][0], last=run[-1][0], homes=tuple(homes))


def hot_sowings(farm: Farm) -> dict[str, list[HotSowings]]:
    """Return crop name -> the runs of days within its sowing windows on which sowings would stand in heat."""
    finder = HeatFinder(
        first_day=farm.calendar.first_day, places=farm.places, pace=farm.pace, climate=farm.climate
    )
    days = range(farm.calendar.span + 1)
    return {
        name: finder.hot_sowings(crop, [day for day in days if crop.in_window(day)])
        for name, crop in farm.crops.items()
    }


def without_hot_sowings(farm: Farm) -> Farm:
    """Return a farm whose crops refuse sowings that would stand in heat, where its rules ask for that."""
    if farm.rules.heat != "refuse":
        return farm
    crops = {
        name: replace(farm.crops[name], too_hot=tuple((run.first, run.last) for run in runs))
        for name, runs in hot_sowings(farm).items()
    }
    return replace(farm, crops=crops)
