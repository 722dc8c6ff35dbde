"""The days a model is about: one season from start to end, or one steady cycle that repeats.

In a cycle every day stands for itself and all days whole periods away, so what stands on a day is the
sum over all copies of a batch, past and future.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Demand, Farm, Substitute
from scheduler.farm.orders.goods import crops_for
from scheduler.farm.orders.outlets import OutletWeek
from scheduler.farm.places import Steps

OUTLET = 3
"""Level of the days of outlets: what is sold there is no shortage and weighs in the cost alone."""

Days = NDArray[np.int64]
"""Day numbers, or numbers by day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One demand as the planner sees it.

    Attributes:
        name: the demand's name.
        product: what is wanted.
        first, last: days on which it may be served.
        amount: units wanted.
        age: greatest days from cutting to serving.
        weight: what one missing unit weighs within its level.
        level: 1 firm, 2 flexible, 3 a day of an outlet, which is never short of anything.
        price: hundredths of money for one unit.
        substitutes: products that may stand in for the one wanted, first choice first.
        is_target: a week of a target, or what is left of one, rather than a delivery.
    """

    name: str
    product: str
    first: int
    last: int
    amount: int
    age: int
    weight: int
    level: int
    price: int = 0
    substitutes: tuple[Substitute, ...] = ()
    is_target: bool = False

    @property
    def products(self) -> tuple[str, ...]:
        """The product wanted, then those that may stand in for it, first choice first."""
        return (self.product, *(each.product for each in self.substitutes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """One product that may go into a wish.

    Attributes:
        wish: index of the wish.
        product: what goes in.
        rank: 0 for the product wanted itself, else that of the substitute.
        lost: hundredths of money that a unit brings less than one of the product wanted.
    """

    wish: int
    product: str
    rank: int = 0
    lost: int = 0


def parcels_of(wishes: Sequence[Wish]) -> tuple[Parcel, ...]:
    """Return what may go into some wishes.

    First comes each wish with the product it asks for, under the wish's own number; then all substitutes.
    """
    found = [Parcel(wish=number, product=wish.product) for number, wish in enumerate(wishes)]
    for number, wish in enumerate(wishes):
        found += [
            Parcel(wish=number, product=each.product, rank=each.rank, lost=max(0, wish.price - each.price))
            for each in wish.substitutes
        ]
    return tuple(found)


Raised = tuple[str, int, int | None, int]
"""How a batch is raised: crop, sowing day, board day (None without boards), raft day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A season (``period`` is 0) or a cycle of ``period`` days that starts on ``start``.

    With ``beds`` a cycle has crops that are picked in beds as well: so many set in in every period.
    ``outlets`` are the weeks whose days are wishes of level 3.
    ``sources`` is how many ways of raising a crop for one raft day are looked at; 0 for all. Those in
    ``kept`` are looked at in any case, and all of crops ``in_every_way``, with every day of their next cuts.
    """

    farm: Farm
    wishes: tuple[Wish, ...]
    start: int
    end: int
    period: int = 0
    sources: int = 0
    kept: frozenset[Raised] = frozenset()
    outlets: tuple[OutletWeek, ...] = ()
    beds: bool = False
    in_every_way: frozenset[str] = frozenset()

    def fold(self, day: int) -> int:
        """Return the day of the cycle a day stands for; in a season the day itself."""
        if not self.period:
            return day
        return self.start + (day - self.start) % self.period

    def copies(self, enters: int, leaves: int, day: int) -> int:
        """Return how many copies of what stands from ``enters`` until ``leaves`` stand on ``day``."""
        if not self.period:
            return int(enters <= day < leaves)
        before_leaving = (leaves - 1 - day) // self.period
        before_entering = (enters - 1 - day) // self.period
        return before_leaving - before_entering

    def copies_of(self, enters: Days, leaves: Days, day: int) -> Days:
        """Return :meth:`copies` of many stays at once."""
        if not self.period:
            return ((enters <= day) & (day < leaves)).astype(np.int64)
        found: Days = (leaves - 1 - day) // self.period - (enters - 1 - day) // self.period
        return found

    def check_days(self, entering: set[int], changes: set[int]) -> list[int]:
        """Return the days on which a limit must be checked: in between nothing can grow tighter."""
        if self.period:
            return list(range(self.start, self.start + self.period))
        days = {day for day in entering | changes if self.start <= day <= self.end}
        return sorted(days | {self.start})

    def usual(self, steps: Steps, day: int) -> int:
        """Return what changes with the days on one of them; in a cycle, what it mostly is on such days.

        Days on which it is 0 (a place that is closed, a week without a crew) count only where they are more
        than three quarters of all: the middle of a season, where the cycle lies, may be such a time.
        """
        if not self.period:
            return steps.on(day)
        today = self.farm.today
        values = [steps.on(each) for each in range(today, max(self.farm.calendar.days, today + self.period))]
        mostly_zero = 4 * values.count(0) > 3 * len(values)
        same = values[(day - today) % self.period :: self.period]
        counts = Counter(value for value in same if value or mostly_zero)
        return max(counts, key=lambda value: (counts[value], value), default=0)

    def serves(self, cut: int, wish: Wish) -> bool:
        """Say whether heads cut on a day (folded in a cycle) may go into a wish."""
        if not self.period:
            return wish.first - wish.age <= cut <= wish.last
        room = wish.last - wish.first + wish.age
        return (cut - (wish.first - wish.age)) % self.period <= room

    def nights(self, cut: int, wish: Wish) -> range:
        """Return the days (of the cycle, if any) after which heads cut on one for a wish still stand there.

        Heads for a target's week are handed over as they are cut.
        """
        if wish.is_target or not wish.age:
            return range(0)
        return range(cut, cut + (wish.first - cut) % self.period if self.period else wish.first)

    def useful_days(self) -> dict[str, frozenset[int]]:
        """Return for each crop the days on which a cut could serve some demand."""
        found: dict[str, set[int]] = defaultdict(set)
        for wish in self.wishes:
            for crop in crops_for(self.farm, wish):
                found[crop].update(range(wish.first - wish.age, wish.last + 1))
        if not self.period:
            return {crop: frozenset(days) for crop, days in found.items()}
        every = range(self.start, self.end + 1)
        folded = {crop: {self.fold(day) for day in days} for crop, days in found.items()}
        return {crop: frozenset(d for d in every if self.fold(d) in days) for crop, days in folded.items()}


def wish_of(demand: Demand) -> Wish:
    """Turn a demand of the farm into a wish."""
    return Wish(
        name=demand.name,
        product=demand.product,
        first=demand.first,
        last=demand.last,
        amount=demand.amount - demand.in_hand,
        age=demand.max_age,
        weight=demand.weight,
        level=1 if demand.firm else 2,
        price=demand.price,
        substitutes=demand.substitutes,
        is_target=demand.is_target,
    )


def _stalls(week: OutletWeek) -> Iterator[Wish]:
    """Turn the days of an outlet's week into wishes that weigh nothing."""
    for stall in week.stalls:
        yield Wish(
            name=stall.name,
            product=week.product,
            first=stall.day,
            last=stall.day,
            amount=week.most,
            age=week.max_age,
            weight=0,
            level=OUTLET,
        )


def season(farm: Farm) -> Frame:
    """Return the frame of the whole season of a farm, what comes after its last reported day included."""
    return Frame(
        farm=farm,
        wishes=(
            *(wish_of(demand) for demand in farm.demands if demand.amount > demand.in_hand),
            *(wish for week in farm.outlets for wish in _stalls(week)),
        ),
        outlets=farm.outlets,
        start=farm.today,
        end=max(farm.calendar.span, farm.calendar.days) + 1,
    )
