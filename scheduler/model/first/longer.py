"""Cycles of several weeks: for crops that are wanted at less than a raft a week.

A steady week sows each crop every week or never. Where that leaves deliveries short, two weeks are looked at,
starting from the week run twice.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

from scheduler.model.build import Built, build
from scheduler.model.first.box_cycle import steady_frame, takes_turns
from scheduler.model.first.convoys import Cycle
from scheduler.model.first.laying import laid
from scheduler.model.first.start import CYCLE_GAP, copied, homes_of, nothing, steady_week
from scheduler.model.goals import steady_blend, steady_terms
from scheduler.model.options.frame import Frame
from scheduler.model.options.pools import Bundle
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.manners import Around
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.settings import silent
from scheduler.model.solver.engine import Engine

Found = TypeVar("Found")

ALWAYS = 100_000
"""Days before and after that cover every day of a cycle."""

ROUNDS = tuple(
    Around(days=ALWAYS, neighbours=neighbours, later=True, seconds=seconds)
    for neighbours, seconds in ((1, 1.0), (2, 2.0), (4, 3.0))
)
"""Whole crops are freed: days of a cycle have no beginning and no end."""

ALONE = Around(days=ALWAYS, neighbours=0, later=True, seconds=1.0)
"""Before these, where there are boxes: one product of a place at a time."""


MOST_AT_ONCE = 8
"""Cycles that are looked for side by side at most."""

WHOLE, FOR_A_WEEK = 0.27, 0.65
"""Shares of the time in which a week is solved whole, and until which it is then improved crop by crop."""

WHOLE_IN_TURNS = 0.4
"""The share where boxes take turns, and it is not improved."""

AS_ONE = 0.7
"""Share of what is left then in which two weeks are solved whole."""

FEW = 0.01
"""Part of what is wanted that a week may leave short without two weeks being looked at."""


def short_of(cycle: Cycle) -> float:
    """Return the units a cycle leaves short in one day."""
    short = sum(cycle.values[some.index] for some in cycle.built.chosen.short.values())
    return short / cycle.built.chosen.frame.period


def _weighed(cycle: Cycle) -> tuple[float, float]:
    """Return what a cycle leaves short of firm deliveries in one day by its weight, and of all in units.

    Weight goes first: what a cycle is short of the season is short of, week after week.
    """
    chosen = cycle.built.chosen
    firm = sum(
        cycle.values[short.index] * chosen.frame.wishes[index].weight
        for index, short in chosen.short.items()
        if chosen.frame.wishes[index].level == 1
    )
    return firm / chosen.frame.period, short_of(cycle)


def _wanted(cycle: Cycle) -> float:
    """Return the units a cycle is asked for in one day."""
    frame = cycle.built.chosen.frame
    return sum(wish.amount for wish in frame.wishes) / frame.period


class CycleSearch:
    """Looks for a cycle that leaves little short: a week, and where that is not enough two.

    What is found for so many variables in so little time is a matter of luck, and two workers on one search
    find no better week than one does: so each looks for one of its own, with its own seed, and then each for
    two weeks begun from the best of these. Where boxes take turns two workers do find a better cycle: there
    all look for one together, as they do in deterministic mode.
    """

    def __init__(self, engine: Engine, season: Frame, bundles: tuple[Bundle, ...]) -> None:
        """Take the season the cycle is for."""
        self._engine, self._season, self._bundles = engine, season, bundles
        self._in_turns = takes_turns(season.farm)
        hands = 1 if self._in_turns else min(engine.hands, MOST_AT_ONCE)
        self.engines = [engine] if hands == 1 else [engine.beside(number) for number in range(hands)]

    def find(self, seconds: float) -> Cycle | None:
        """Return the best cycle found in some seconds; None when there was no time for any.

        Raises:
            Stopped: the search was to end meanwhile.
        """
        begun = self._engine.spent
        whole = WHOLE_IN_TURNS if self._in_turns else WHOLE
        week = self._best_week(seconds * whole, begun + seconds * FOR_A_WEEK)
        if week is None or not (self._in_turns or short_of(week) > FEW * _wanted(week)):
            return week
        longer = self._best_two_weeks(week, begun + seconds)
        return longer if self._in_turns else min(week, longer, key=_weighed)

    def _best_week(self, seconds: float, until: float) -> Cycle | None:
        """Return the best week: solved whole for some seconds, then improved where it is short."""
        steady = steady_week(self._season, self._bundles, self._engine.check)
        parts = None if self._in_turns else Parts(steady.strict.model)

        def search(engine: Engine) -> Cycle | None:
            own = steady.copied()
            values = own.solve(engine, seconds)
            if values is None:
                return None
            week = self._cycle(own.strict, values)
            if parts is None or not short_of(week):
                return week
            best = Incumbent(own.strict, parts, values, goal=steady_terms(own.strict.chosen))
            self._repair(engine, best, until)
            return min(week, self._cycle(own.strict, best.values), key=_weighed)

        return min(filter(None, self._side_by_side(search)), key=_weighed, default=None)

    def _best_two_weeks(self, week: Cycle, until: float) -> Cycle:
        """Return the best cycle of twice as many days as a week, begun with that run twice."""
        frame = steady_frame(self._season, 2 * week.built.chosen.frame.period)
        built = build(frame, self._bundles, pulse=self._engine.check)
        built.model.minimize(steady_blend(built.chosen))
        parts, goal = Parts(built.model), steady_terms(built.chosen)
        begun = Incumbent(built, parts, nothing(built), goal=goal)
        begun.take(laid(self._engine, begun, week))

        def search(engine: Engine) -> Cycle:
            own = copied(built)
            best = Incumbent(own, parts, begun.values, goal=goal)
            seconds = (until - engine.spent) * AS_ONE
            best.take(engine.run(own.model, seconds, best.values, gap=CYCLE_GAP).values)
            self._repair(engine, best, until)
            return self._cycle(own, best.values)

        return min(self._side_by_side(search), key=_weighed)

    def _side_by_side(self, search: Callable[[Engine], Found]) -> list[Found]:
        with ThreadPoolExecutor(len(self.engines)) as pool:
            return list(pool.map(search, self.engines))

    def _repair(self, engine: Engine, best: Incumbent, until: float) -> None:
        rounds = (ALONE, *ROUNDS) if best.built.chosen.picks else ROUNDS
        Repair(engine, best, silent, rounds=rounds).shortages(until)

    def _cycle(self, built: Built, values: list[int]) -> Cycle:
        return Cycle(built=built, values=values, homes=homes_of(built, values, self._season, self._bundles))
