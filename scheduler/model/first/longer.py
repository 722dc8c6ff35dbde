"""Cycles of several weeks: for crops that are wanted at less than a raft a week.

A steady week sows each crop every week or never. Where that leaves deliveries short, two weeks are looked at,
starting from the week run twice.
"""

from concurrent.futures import ThreadPoolExecutor

from scheduler.model.build import build
from scheduler.model.first.box_cycle import steady_frame, takes_turns
from scheduler.model.first.convoys import Cycle
from scheduler.model.first.laying import laid
from scheduler.model.first.start import CYCLE_GAP, homes_of, nothing, solve_cycle
from scheduler.model.goals import steady_blend, steady_terms
from scheduler.model.options.frame import Frame
from scheduler.model.options.pools import Bundle
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.manners import Around
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.solver.engine import Engine

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


def best_cycle(engine: Engine, season: Frame, bundles: tuple[Bundle, ...], seconds: float) -> Cycle | None:
    """Return the best of cycles that are looked for side by side, each by one worker; None without any.

    What is found for so many variables in so little time is a matter of luck, and two workers on one search
    find no better week than one does. Where boxes take turns they do: there is one cycle then, as there is in
    deterministic mode.

    Raises:
        Stopped: the search was to end meanwhile.
    """

    def find(number: int) -> Cycle | None:
        one = engine.beside(number) if engine.hands > 1 else engine
        return CycleSearch(one, season, bundles).find(seconds)

    if takes_turns(season.farm):
        return CycleSearch(engine, season, bundles).find(seconds)
    hands = min(engine.hands, MOST_AT_ONCE)
    with ThreadPoolExecutor(hands) as pool:
        found = [cycle for cycle in pool.map(find, range(hands)) if cycle is not None]
    return min(found, key=_weighed, default=None)


class CycleSearch:
    """Looks for a cycle that leaves little short: a week, and where that is not enough two.

    ``engine`` is the one that runs its models.
    """

    def __init__(self, engine: Engine, season: Frame, bundles: tuple[Bundle, ...]) -> None:
        """Take the season the cycle is for."""
        self.engine, self._season, self._bundles = engine, season, bundles

    def find(self, seconds: float) -> Cycle | None:
        """Return the best cycle found in some seconds; None when there was no time for any.

        Raises:
            Stopped: the search was to end meanwhile.
        """
        start = self.engine.spent
        week = solve_cycle(self.engine, self._season, self._bundles, seconds * 0.4)
        if week is None:
            return None
        if takes_turns(self._season.farm):
            return self._doubled(week, start + seconds)
        if not short_of(week):
            return week
        week = self._improved(week, start + seconds * 0.5)
        if short_of(week) <= FEW * _wanted(week):
            return week
        return min(week, self._doubled(week, start + seconds), key=_weighed)

    def _improved(self, cycle: Cycle, until: float) -> Cycle:
        goal = steady_terms(cycle.built.chosen)
        best = Incumbent(cycle.built, Parts(cycle.built.model), cycle.values, goal=goal)
        self._repair(best, until)
        return self._cycle(best)

    def _doubled(self, cycle: Cycle, until: float) -> Cycle:
        """Return a cycle of twice as many days, begun with the given one run twice."""
        frame = steady_frame(self._season, 2 * cycle.built.chosen.frame.period)
        built = build(frame, self._bundles, pulse=self.engine.check)
        built.model.minimize(steady_blend(built.chosen))
        goal = steady_terms(built.chosen)
        best = Incumbent(built, Parts(built.model), nothing(built), goal=goal)
        best.take(laid(self.engine, best, cycle))
        seconds = (until - self.engine.spent) * 0.7
        best.take(self.engine.run(built.model, seconds, best.values, gap=CYCLE_GAP).values)
        self._repair(best, until)
        return self._cycle(best)

    def _repair(self, best: Incumbent, until: float) -> None:
        rounds = (ALONE, *ROUNDS) if best.built.chosen.picks else ROUNDS
        Repair(self.engine, best, lambda _: None, rounds=rounds).shortages(until)

    def _cycle(self, best: Incumbent) -> Cycle:
        homes = homes_of(best.built, best.values, self._season, self._bundles)
        return Cycle(built=best.built, values=best.values, homes=homes)
