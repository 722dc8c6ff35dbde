"""Fills deliveries by solving the season around them again, and proves the answer by a whole plan."""

import threading
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.model.answers.solution import decided
from scheduler.model.explain.season import Eased, Season
from scheduler.model.search.part import PartModel
from scheduler.model.solver.engine import Engine
from scheduler.plan.audit import audit
from scheduler.plan.decided import Decided
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan
from scheduler.plan.tally import demand_filled

STEP_SECONDS = (2.0, 4.0, 8.0)
"""Time for one look around a delivery, fewer variables first."""

WHOLE_SECONDS = 20.0
"""Time for a look at a whole small season."""

POLISH_SECONDS = 2.0
"""Time to make a first answer cheaper."""

SETTLE_SECONDS = 0.5
"""The same where many answers follow one another."""

Watch = tuple[Callable[[str], None], threading.Event | None]
"""What is told each step in words, and an event that ends the search soon when set."""

ANY = 1e15
"""A gap so wide that the first answer is good enough."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """An answer in which the deliveries are filled, and the plan of it, which keeps every rule.

    Attributes:
        values: the answer.
        amounts: what it decides.
        plan: its plan.
        cost: cost of the whole plan, hundredths of money.
        step: how far around the deliveries was looked, 0 for the nearest.
    """

    values: list[int]
    amounts: Decided
    plan: Plan
    cost: int
    step: int


class Filler:
    """Asks again and again whether some deliveries of a plan could be filled, within one time budget."""

    def __init__(self, engine: Engine, before: Plan) -> None:
        """Take the plan that is not to become worse.

        ``until`` is the time at which to end; ``sure`` says of the last question that was answered with no
        whether the whole season holds no such answer.
        """
        self.engine, self.before = engine, before
        self.until = engine.settings.seconds
        self.sure = False

    @property
    def over(self) -> bool:
        """Whether the time is up."""
        return self.engine.stopped or self.engine.spent >= self.until

    def fill(
        self,
        season: Season,
        names: Sequence[str],
        eased: Eased | None = None,
        less: Iterable[str] = (),
        steps: Container[int] = range(len(STEP_SECONDS)),
    ) -> Filled | None:
        """Return an answer in which some deliveries are filled, and nothing else gets less.

        Args:
            season: the season's model.
            names: the deliveries.
            eased: the farm with more of something.
            less: deliveries that may get less.
            steps: how far around to look, one after the other; a whole small season has one step.
        """
        eased = eased or season.as_it_is()
        promise = Promise(names=tuple(names), less=frozenset(less))
        for step, values in self._answers(season, promise, eased, steps):
            amounts = decided(eased.chosen, values)
            plan = proven(eased.farm, amounts, self.before, promise)
            if plan is not None:
                return Filled(values=values, amounts=amounts, plan=plan, cost=season.cost(values), step=step)
            self.sure = False
        return None

    def settle(self, season: Season, name: str, less: Iterable[str] = ()) -> bool:
        """Fill one delivery more and let the season go on from there; nothing is proven yet."""
        promise = Promise(names=(name,), less=frozenset(less))
        steps = range(len(STEP_SECONDS))
        for _, values in self._answers(season, promise, season.as_it_is(), steps, SETTLE_SECONDS):
            season.keep(values)
            return True
        return False

    def _answers(
        self,
        season: Season,
        promise: "Promise",
        eased: Eased,
        steps: Container[int],
        polish: float = POLISH_SECONDS,
    ) -> Iterator[tuple[int, list[int]]]:
        """Yield how far around was looked, and an answer of the whole season, nearest first."""
        frees = season.frees(promise.names, promise.less)
        self.sure = False
        for step, free in enumerate(frees):
            if self.over:
                self.sure = False
                return
            if step not in steps and len(frees) > 1:
                continue
            part = season.part(promise.names, free, eased.highs)
            found = self._solved(part, WHOLE_SECONDS if season.whole else STEP_SECONDS[step], polish)
            self.sure = self.sure and season.whole
            if found is not None:
                yield step, season.whole_answer(part, found)

    def _solved(self, part: PartModel, seconds: float, polish: float) -> list[int] | None:
        """Return an answer of a part, made a little cheaper, or None."""
        left = max(0.0, self.until - self.engine.spent)
        answer = self.engine.run(part.model, min(seconds, left), part.hint, gap=ANY)
        self.sure, first = answer.proven and answer.values is None, answer.values
        if first is None:
            return None
        if self.over:
            return first
        return self.engine.run(part.model, polish, first).values or first


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What a plan must keep: some deliveries are filled, and none but some others gets less than before."""

    names: tuple[str, ...]
    less: frozenset[str] = frozenset()


def proven(farm: Farm, amounts: Decided, before: Plan, promise: Promise) -> Plan | None:
    """Return the plan of some amounts, if it keeps every rule and what was promised."""
    plan = lay_out(farm, amounts, (), dict(before.made))
    if audit(farm, plan):
        return None
    filled = demand_filled(farm, plan)
    wanted = {demand.name: demand.amount for demand in farm.demands}
    if any(filled[name] < wanted[name] for name in promise.names):
        return None
    spared = promise.less | set(promise.names)
    worse = (filled.get(row.demand, 0) < row.filled for row in before.demands if row.demand not in spared)
    return None if any(worse) else plan
