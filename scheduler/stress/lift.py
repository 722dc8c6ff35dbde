"""The extra sowing that lifts a firm order to a wished chance, at least cost, proven by replaying with it.

Deliveries are taken by their day. For each one below the wish, more and more rows of cells are tried in the
lots that can reach it, cheapest first, until its chance in a replay of all runs is as wished; so what is
found for a delivery is the cheapest of all ways of sowing whole rows in these lots, given what was added
before. Every trial is a whole plan that the audit has judged.
"""

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import islice
from math import ceil

from scheduler.farm.farm import Demand, Farm
from scheduler.plan.rows import Plan
from scheduler.plan.views.money import money
from scheduler.stress.extra import settled, with_extra
from scheduler.stress.paths import Path, paths_to
from scheduler.stress.replay import Replay, Tally
from scheduler.stress.standing import NoRoom

MOST_PATHS = 4
"""Lots that are tried for one delivery, its own before others."""

MOST_TRIALS = 60
"""Plans that are replayed for one delivery before it is given up."""

Replayed = Callable[[Replay], Tally]
"""Replays all runs of a plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sowing:
    """Seed to be sown beyond the plan.

    Attributes:
        lot, crop: lot code and crop name.
        day: day it is sown.
        rows, cells: whole rows of cells, and their cells.
        units: trays, boards and rafts it takes beyond the plan's, by name of their kind.
    """

    lot: str
    crop: str
    day: int
    rows: int
    cells: int
    units: dict[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifted:
    """What was found for one delivery.

    Attributes:
        demand: the delivery.
        before, after: its chance without and with everything that was found for any of them.
        sowings: what is sown for it; empty where nothing helps or nothing was needed any more.
        cost: what the sowings cost, hundredths of money, rounded up: seed, filling and hours.
        why_not: what stood in the way, empty where the wish is met.
    """

    demand: Demand
    before: float
    after: float
    sowings: tuple[Sowing, ...]
    cost: int
    why_not: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """What was found for some deliveries.

    Attributes:
        lifted: the deliveries, by day.
        plan: the plan with all that is sown for them.
        tally: what all runs of that plan came to.
    """

    lifted: tuple[Lifted, ...]
    plan: Plan
    tally: Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ways:
    """Paths that extra seed may take for one delivery, and what they start from.

    Attributes:
        demand: the delivery.
        paths: the paths.
        crops: crops whose lots serve what these serve: all that a trial can change.
        plan, paid: the plan without this extra seed, and what it costs.
    """

    demand: Demand
    paths: tuple[Path, ...]
    crops: frozenset[str]
    plan: Plan
    paid: Fraction


@dataclass(order=True, slots=True)
class _Trial:
    """One way of sowing more: rows for each path; cheaper ones come first.

    ``best`` is the best chance of the trials it came from: one that brings no more is not gone on with.
    """

    cost: Fraction
    cells: int
    more_units: bool
    rows: tuple[int, ...]
    best: float = field(compare=False)
    plan: Plan = field(compare=False)
    sowings: tuple[Sowing, ...] = field(compare=False)


class _Waiting:
    """Trials for one delivery that are still to be replayed; they come out cheapest first.

    Attributes:
        why_not: what stood in the way of a trial last; empty where nothing did.
    """

    def __init__(self, farm: Farm, ways: _Ways) -> None:
        self._farm, self._ways = farm, ways
        self._seen: set[tuple[int, ...]] = set()
        self._trials: list[_Trial] = []
        self.why_not = "" if ways.paths else "no lot that can still be sown reaches it"

    def __iter__(self) -> Iterator[_Trial]:
        while self._trials:
            yield heapq.heappop(self._trials)

    def add_beyond(self, rows: tuple[int, ...], best: float) -> None:
        """Add what has one row of cells more on one of the paths, with new boards and rafts and without.

        ``best`` is the best chance of the trials up to there.
        """
        for at in range(len(rows)):
            more = _one_more(rows, at)
            if more not in self._seen:
                self._seen.add(more)
                self._add(more, best)

    def _add(self, rows: tuple[int, ...], best: float) -> None:
        for more_units in (False, True):
            try:
                trial = self._trial(rows, more_units=more_units, best=best)
            except NoRoom as full:
                self.why_not = str(full)
                continue
            # without new boards and rafts it is the trial before
            if any(each.units for each in trial.sowings) or not more_units:
                heapq.heappush(self._trials, trial)

    def _trial(self, rows: tuple[int, ...], *, more_units: bool, best: float) -> _Trial:
        ways, plan, sowings = self._ways, self._ways.plan, []
        for path, number in zip(ways.paths, rows, strict=True):
            if not number:
                continue
            extra = with_extra(self._farm, plan, path, number, more_units=more_units)
            plan = extra.plan
            sowings.append(
                Sowing(
                    lot=path.lot,
                    crop=path.crop,
                    day=path.sown,
                    rows=number,
                    cells=extra.cells,
                    units=extra.units,
                )
            )
        return _Trial(
            cost=_paid(self._farm, plan) - ways.paid,
            cells=sum(each.cells for each in sowings),
            more_units=more_units,
            rows=rows,
            best=best,
            plan=plan,
            sowings=tuple(sowings),
        )


class Lifter:
    """Looks for extra sowing, delivery after delivery."""

    def __init__(self, base: Replay, plan: Plan, replayed: Replayed, wish: float) -> None:
        """Begin with a plan; ``wish`` is the chance that is wished, from 0 to 1."""
        self.base, self.plan, self.replayed, self.wish = base, plan, replayed, wish
        self.farm: Farm = base.farm
        self.place = {demand.name: at for at, demand in enumerate(self.farm.demands)}

    def lift(self, demands: Sequence[Demand], before: Tally, tell: Callable[[str], None]) -> Lift:
        """Lift deliveries in the order of their days, all with one plan.

        Args:
            demands: the deliveries; those that are as sure as wished are left out.
            before: what all runs of the plan as it is came to.
            tell: called with each delivery in words.
        """
        found, now = [], before
        below = [each for each in demands if self._chance(before, each) < self.wish]
        for number, demand in enumerate(sorted(below, key=lambda each: (each.last, each.name)), start=1):
            tell(f"looking for extra sowing for {demand.name} ({number} of {len(below)})")
            trial, why_not = None, ""
            if self._chance(now, demand) < self.wish:
                trial, why_not, now = self._one(demand, now)
            if trial is not None:
                self.plan = trial.plan
            found.append((demand, trial, why_not))
        lifted = tuple(
            Lifted(
                demand=demand,
                before=self._chance(before, demand),
                after=self._chance(now, demand),
                sowings=trial.sowings if trial else (),
                cost=ceil(trial.cost) if trial else 0,
                why_not=why_not,
            )
            for demand, trial, why_not in found
        )
        return Lift(lifted=lifted, plan=self.plan, tally=now)

    def _chance(self, tally: Tally, demand: Demand) -> float:
        return tally.filled[self.place[demand.name]] / tally.runs

    def _one(self, demand: Demand, now: Tally) -> tuple[_Trial | None, str, Tally]:
        """Return the cheapest trial that meets the wish, else why there is none, and the tally with it."""
        ways = self._ways(demand)
        waiting = _Waiting(self.farm, ways)
        best = self._chance(now, demand)
        waiting.add_beyond((0,) * len(ways.paths), best)
        for trial in islice(waiting, MOST_TRIALS):
            few = self.replayed(self._replay(trial.plan, ways.crops))
            chance = self._chance(few, demand)
            if chance >= self.wish:
                try:
                    trial.plan = settled(self.farm, trial.plan)
                except NoRoom as full:
                    waiting.why_not = str(full)
                    continue
                tally = self.replayed(self._replay(trial.plan, None))
                if self._chance(tally, demand) >= self.wish:
                    return trial, "", tally
            best = max(best, chance)
            if chance > trial.best:
                waiting.add_beyond(trial.rows, chance)
        told = f"at most {100 * best:.1f} percent was reached"
        return None, f"{told}; {waiting.why_not}" if waiting.why_not else told, now

    def _replay(self, plan: Plan, only: frozenset[str] | None) -> Replay:
        return Replay(self.farm, plan, self.base.chances, self.base, only)

    def _ways(self, demand: Demand) -> _Ways:
        replay = self._replay(self.plan, None)
        order = next(each for each in replay.orders if each.demand.name == demand.name)
        paths = tuple(paths_to(replay.journey, order, self.farm.today)[:MOST_PATHS])
        return _Ways(
            demand=demand,
            paths=paths,
            crops=_served_alike(self.farm, {path.crop for path in paths}),
            plan=self.plan,
            paid=_paid(self.farm, self.plan),
        )


def _one_more(rows: tuple[int, ...], at: int) -> tuple[int, ...]:
    return tuple(number + (at == other) for other, number in enumerate(rows))


def _served_alike(farm: Farm, crops: set[str]) -> frozenset[str]:
    """Return some crops and all that serve a demand together with one of them, and so on."""
    sets = {
        frozenset(crop for name in demand.products for crop in farm.products[name].sources)
        for demand in farm.demands
    }
    found = frozenset(crops)
    while True:
        more = found.union(*(each for each in sets if each & found))
        if more == found:
            return found
        found = more


def _paid(farm: Farm, plan: Plan) -> Fraction:
    return sum(money(farm, plan).paid.values(), Fraction(0))
