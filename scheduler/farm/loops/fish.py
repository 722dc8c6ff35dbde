"""Fish tanks day by day: how many fish of what weight, and what they are fed; all masses in milligrams.

Fish grow by a table of weights, by so many percent a week, or by what they are fed; what is fed follows from
their growth and the feed ratio (kg of feed for one kg of growth), or from their weight. A tank of which only
the yield of a year is known is fed alike on every day.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from scheduler.farm.calendar import WEEK
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div

DAYS_IN_YEAR = 365
MILLIONTHS = 1_000_000
"""Parts of its weight in which what a fish is fed a day is told."""

Curve = tuple[tuple[int, int], ...]
"""Points (x, y) in order of x, x different in each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FishTank:
    """One tank of fish.

    Attributes:
        name, species: in the grower's words.
        stocked: day on which fish come in; negative before the plan.
        until: last day on which there are fish.
        fish: how many are stocked.
        start_mass: weight of one fish when it is stocked; 0 where only the yield is known.
        yearly: fish taken in a year; None where fish are followed one by one.
        ratio: thousandths of feed for one of growth; 0 where the feed does not follow from growth.
        weights: (days since stocked, weight of one fish); none where they grow otherwise.
        growth: growth of a week, parts of ten thousand of a fish's weight; 0 where they grow otherwise.
        feeding: (weight of one fish, feed of a day in parts of a million of it); none where not known.
        harvest_every: days from one harvest to the next; 0 for none.
        first_harvest: day of the first harvest.
        harvest_share: fish taken each time, parts of ten thousand, the oldest first.
        restocked: whether as many young fish take their place at once.
    """

    name: str
    species: str
    stocked: int
    until: int
    fish: int = 0
    start_mass: int = 0
    yearly: int | None = None
    ratio: int = 0
    weights: Curve = ()
    growth: int = 0
    feeding: Curve = ()
    harvest_every: int = 0
    first_harvest: int = 0
    harvest_share: int = WHOLE_SHARE
    restocked: bool = True

    def is_harvested(self, day: int) -> bool:
        """Say whether fish are taken on a day."""
        since = day - self.first_harvest
        return bool(self.harvest_every) and since >= 0 and since % self.harvest_every == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TankDay:
    """A tank on one day: feed of the day, and the fish and their weight in all; 0 where that is not known."""

    feed: int
    fish: int
    mass: int


@dataclass(slots=True)
class _School:
    """Fish that were stocked together."""

    number: int
    mass: int
    age: int


def at(curve: Curve, x: int) -> int:
    """Return the value of a curve: straight between its points, level beyond them, rounded down."""
    if x <= curve[0][0]:
        return curve[0][1]
    for (left, low), (right, high) in pairwise(curve):
        if x < right:
            return int(low + Fraction((high - low) * (x - left), right - left) // 1)
    return curve[-1][1]


def tank_days(tank: FishTank, days: int) -> tuple[TankDay, ...]:
    """Return a tank on days 0 to ``days - 1``; days without fish have none and no feed."""
    found = dict.fromkeys(range(days), TankDay(feed=0, fish=0, mass=0))
    for day, each in _steady(tank, days) if tank.yearly is not None else _followed(tank, days):
        if day >= 0:
            found[day] = each
    return tuple(found[day] for day in range(days))


def _steady(tank: FishTank, days: int) -> Iterator[tuple[int, TankDay]]:
    feed = (tank.yearly or 0) * tank.ratio // (MILLI * DAYS_IN_YEAR)
    for day in range(max(0, tank.stocked), min(days, tank.until + 1)):
        yield day, TankDay(feed=feed, fish=0, mass=0)


def _followed(tank: FishTank, days: int) -> Iterator[tuple[int, TankDay]]:
    schools = [_School(tank.fish, tank.start_mass, 0)]
    grown = _growth_of(tank)
    for day in range(tank.stocked, min(days, tank.until + 1)):
        if tank.is_harvested(day):
            schools = _harvested(tank, schools)
        number = sum(school.number for school in schools)
        mass = sum(school.number * school.mass for school in schools)
        feed = 0
        for school in schools:
            eaten, gain = grown(school)
            feed += school.number * eaten
            school.mass, school.age = school.mass + gain, school.age + 1
        yield day, TankDay(feed=feed, fish=number, mass=mass)


def _harvested(tank: FishTank, schools: list[_School]) -> list[_School]:
    """Take the share of all fish, rounded up, from the oldest on; young fish come in for them."""
    number = sum(school.number for school in schools)
    left = taken = ceil_div(number * tank.harvest_share, WHOLE_SHARE)
    for school in schools:
        out = min(school.number, left)
        school.number, left = school.number - out, left - out
    young = [_School(taken, tank.start_mass, 0)] if tank.restocked and taken else []
    return [*(school for school in schools if school.number), *young]


def _growth_of(tank: FishTank) -> Callable[[_School], tuple[int, int]]:
    """Return what tells feed and growth of one fish of a school on one day."""

    def gain(school: _School) -> int:
        if tank.weights:
            return max(0, at(tank.weights, school.age + 1) - at(tank.weights, school.age))
        if tank.growth:
            return _of_week(tank, school)
        return _eaten(tank, school) * MILLI // tank.ratio

    def day(school: _School) -> tuple[int, int]:
        grown = gain(school)
        if tank.feeding:
            return _eaten(tank, school), grown
        return grown * tank.ratio // MILLI, grown

    return day


def _eaten(tank: FishTank, school: _School) -> int:
    """Return what one fish of a school is fed on one day, by its weight."""
    return at(tank.feeding, school.mass) * school.mass // MILLIONTHS


def _of_week(tank: FishTank, school: _School) -> int:
    """Return one day's part of a week's growth, the same on all days of the week."""
    begun = school.mass * WEEK * WHOLE_SHARE // (WEEK * WHOLE_SHARE + school.age % WEEK * tank.growth)
    return begun * tank.growth // (WHOLE_SHARE * WEEK)
