"""Whether a new standing order can be taken on top of a plan: when, how much, and at whose expense."""

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.goods import reach_of
from scheduler.farm.orders.reach import earliest_reach
from scheduler.model.answers.solution import decided
from scheduler.model.explain.causes import fitting_season
from scheduler.model.explain.fill import Filled, Filler, Promise, proven
from scheduler.model.explain.season import Season
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.plan.offered import Greatest, Offered, Taken
from scheduler.plan.relief import less_than
from scheduler.plan.rows import Plan

FarmFor = Callable[[int, int], Farm]
"""Amount of each delivery and first day of the order -> the farm with it."""

MOST_DOUBLINGS = 10

TAKING, GROWING = 0.45, 0.8
"""Parts of the time after which the greatest amount is looked for, and then who would get less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is asked for: the order's name, units in one delivery, first day."""

    order: str
    amount: int
    first: int


@dataclass(frozen=True, slots=True)
class _Suffix:
    """The order's deliveries from one of them on, filled."""

    names: tuple[str, ...]
    filled: Filled


def offer(
    plan: Plan,
    farm_for: FarmFor,
    wanted: Wanted,
    settings: SolveSettings,
    stop: threading.Event | None = None,
) -> Offered:
    """Find out whether an order can be taken.

    Args:
        plan: a plan of the farm without the order, that keeps every rule.
        farm_for: makes the farm with the order; its demands bear the order's name.
        wanted: what is asked for.
        settings: time and way of the search.
        stop: when set, the search ends soon with what was found so far.

    Raises:
        NotReadBack: the plan is none the planner could have made.
    """
    return _Offer(plan, farm_for, wanted, Engine(settings, stop)).answer()


class _Offer:
    """The search for an answer: first as asked, then how much, then at whose expense."""

    def __init__(self, plan: Plan, farm_for: FarmFor, wanted: Wanted, engine: Engine) -> None:
        self._plan, self._farm_for, self._wanted, self._engine = plan, farm_for, wanted, engine
        self._filler = Filler(engine, plan)
        self._sure = self._cut_short = self._tried = False

    def answer(self) -> Offered:
        """Search until the time is up or all is known."""
        seconds = self._engine.settings.seconds
        asked_farm = self._farm_for(self._wanted.amount, self._wanted.first)
        mine = _of_order(asked_farm, self._wanted.order)
        reached = _reached(asked_farm, mine)
        if not reached:
            return Offered(
                asked=self._wanted.first, days=(), early=len(mine), taken=None, displacing=None, greatest=None
            )
        asked = reached[0].first
        taken = displacing = greatest = None
        late, fits = True, False
        try:
            self._filler.until = seconds * TAKING
            taken = self._taken(self._wanted.amount, asked)
            fits = taken is not None and taken.first == asked
            late = self._cut_short = self._filler.over and not fits
            self._filler.until = seconds * (1.0 if fits else GROWING)
            greatest = self._greatest(asked, fits)
            self._filler.until = seconds
            displacing = None if fits else self._displacing(asked)
            late = late or (not fits and displacing is None and self._filler.over)
        except Stopped:
            late = not fits
        return Offered(
            asked=asked,
            days=tuple(demand.first for demand in reached),
            early=len(mine) - len(reached),
            taken=taken,
            displacing=displacing,
            greatest=greatest,
            tried=self._tried,
            ended=not late,
        )

    def _season(self, amount: int, first: int) -> tuple[Season, list[Demand]]:
        farm = self._farm_for(amount, first)
        demands = _reached(farm, _of_order(farm, self._wanted.order))
        return fitting_season(farm, self._plan, [d.name for d in demands], self._engine), demands

    def _taken(self, amount: int, first: int) -> Taken | None:
        """Take the order from the earliest day from which all its deliveries can be filled."""
        season, demands = self._season(amount, first)
        self._tried = True
        before = season.cost(season.values)
        suffix = self._longest_suffix(season, [demand.name for demand in demands])
        if suffix is None:
            return None
        mine = demands[len(demands) - len(suffix.names) :]
        plan = suffix.filled.plan
        if len(mine) < len(demands):
            farm = self._farm_for(amount, mine[0].first)
            later = proven(farm, suffix.filled.amounts, self._plan, Promise(names=suffix.names))
            if later is None:
                return None
            plan = later
        return self._told(season, mine, plan, suffix.filled.cost - before)

    def _told(self, season: Season, mine: Sequence[Demand], plan: Plan, cost: int) -> Taken:
        return Taken(
            first=mine[0].first,
            deliveries=len(mine),
            earns=sum(demand.amount * demand.price for demand in mine),
            cost=cost if season.priced else None,
            less=less_than(self._plan, plan),
            plan=plan,
        )

    def _longest_suffix(self, season: Season, names: Sequence[str]) -> _Suffix | None:
        """Fill the order's deliveries from as early a one on as can be; by halving on a small farm."""
        if not season.whole:
            return self._one_by_one(season, names)
        best = None
        without, enough = -1, len(names)
        tried = 0
        while enough - without > 1 and not self._filler.over:
            filled = self._filler.fill(season, names[tried:])
            if filled is not None:
                best, enough = _Suffix(tuple(names[tried:]), filled), tried
            else:
                if not tried:
                    self._sure = self._filler.sure
                without = tried
            tried = (enough + without) // 2
        return best

    def _one_by_one(
        self, season: Season, names: Sequence[str], less: frozenset[str] = frozenset()
    ) -> _Suffix | None:
        """Fill the deliveries from the last to the first, each where nothing else gets less."""
        done: tuple[str, ...] = ()
        for name in reversed(names):
            if self._filler.over or not self._filler.settle(season, name, less):
                break
            done = (name, *done)
        if not done:
            return None
        amounts = decided(season.chosen, season.values)
        plan = proven(season.asked.farm, amounts, self._plan, Promise(names=done, less=less))
        if plan is None:
            return None
        cost = season.cost(season.values)
        return _Suffix(done, Filled(values=season.values, amounts=amounts, plan=plan, cost=cost, step=0))

    def _greatest(self, first: int, fits: bool) -> Greatest:
        """Look for the greatest amount from a day on: by doubling, then by halving."""
        wanted = self._wanted.amount
        enough, beyond, sure = (wanted, 0, False) if fits else (0, wanted, self._sure)
        doublings = MOST_DOUBLINGS if fits else 0
        try:
            while not beyond and doublings and not self._filler.over:
                doublings -= 1
                if self._all_fit(enough * 2, first):
                    enough *= 2
                elif not self._filler.over:
                    beyond, sure = enough * 2, self._filler.sure
            while beyond - enough > 1 and not self._filler.over:
                middle = (enough + beyond) // 2
                if self._all_fit(middle, first):
                    enough = middle
                elif not self._filler.over:
                    beyond, sure, self._cut_short = middle, self._filler.sure, False
        except Stopped:
            pass
        if beyond - enough != 1 or self._cut_short:
            return Greatest(amount=enough, beyond=None, proven=False)
        return Greatest(amount=enough, beyond=beyond, proven=sure)

    def _all_fit(self, amount: int, first: int) -> bool:
        season, demands = self._season(amount, first)
        names = [demand.name for demand in demands]
        if season.whole:
            return self._filler.fill(season, names) is not None
        suffix = self._one_by_one(season, names)
        return suffix is not None and len(suffix.names) == len(names)

    def _displacing(self, first: int) -> Taken | None:
        """Take the order as asked: at the expense of flexible deliveries, else of firm ones too."""
        flexible = frozenset(row.demand for row in self._plan.demands if not row.firm)
        every = frozenset(row.demand for row in self._plan.demands)
        for less in (flexible, every):
            if self._filler.over or (less == flexible and not flexible):
                continue
            season, demands = self._season(self._wanted.amount, first)
            before = season.cost(season.values)
            names = tuple(demand.name for demand in demands)
            filled = (
                self._filler.fill(season, names, less=less)
                if season.whole
                else _whole(self._one_by_one(season, names, less), names)
            )
            if filled is not None:
                return self._told(season, demands, filled.plan, filled.cost - before)
        return None


def _whole(suffix: _Suffix | None, names: tuple[str, ...]) -> Filled | None:
    return suffix.filled if suffix is not None and suffix.names == names else None


def _of_order(farm: Farm, order: str) -> list[Demand]:
    """Return the reported deliveries of an order, by day."""
    return [demand for demand in farm.demands if demand.order == order and demand.reported]


def _reached(farm: Farm, demands: Sequence[Demand]) -> list[Demand]:
    """Return the deliveries that a sowing can reach."""
    earliest = earliest_reach(farm)
    return [d for d in demands if (first := reach_of(d, earliest)) is not None and first <= d.first]
