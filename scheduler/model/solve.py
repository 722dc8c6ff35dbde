"""From a farm to a plan: the phases of the search, and what is said about the result.

Small books are solved whole, goal by goal, to a proven best. Larger ones have a first plan in seconds,
delivery by delivery, and start from a steady cycle laid over the season; then the plan is repaired where
deliveries are short, and then made cheaper stretch by stretch.
"""

import threading
from collections.abc import Callable
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.model.answers.limits import Limits
from scheduler.model.bounds.proof import Proof
from scheduler.model.build import Built, list_options
from scheduler.model.first.bed_start import plant_beds
from scheduler.model.first.beds_by_hand import plant_by_hand
from scheduler.model.first.box_cycle import takes_turns
from scheduler.model.first.by_date import by_date
from scheduler.model.first.laying import laid
from scheduler.model.first.line_up import has_many_rows, line_up
from scheduler.model.first.longer import CycleSearch
from scheduler.model.first.papers import Papers
from scheduler.model.first.start import idle
from scheduler.model.first.which_start import is_better_off, is_far_better, suits_paper
from scheduler.model.made import laid_out
from scheduler.model.options.beyond import beyond_reach, not_reported
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.filling import Filling, written
from scheduler.model.search.goal_by_goal import goal_by_goal
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import LAYING_OUT, Outcome, Progress, SolveSettings
from scheduler.model.sizes import SMALL_BOOK, steps_of
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.model.variables.decisions import Homes, Pulse, no_pulse
from scheduler.plan.collecting import nothing_collected
from scheduler.plan.shortage import is_short

MOST_SOURCES = 1
"""Ways of raising a crop for one raft day that are looked at in a larger book."""

OVERTAKING = 0.35
"""Share of the time in which a steady week has to overtake the first plan, or else that is gone on from."""

FEW_BESIDE = 2
"""Times as many units of firm deliveries that a plan has to be short of for those of another to be few."""

AT_FIRST = 0.1
"""Share of the time in which the first plan is repaired, so that one that can be used is there in seconds,
before a steady week is looked for."""

STEADY, TURNS = 0.3, 0.35
"""Shares of the time for finding a steady week: usually, and where boxes take turns, which is harder."""

ON_PAPER = 0.12
"""Share of the time for planning on paper."""

SOON = 0.15
"""Share of the time after which no second first plan is begun: on paper it takes some times as long."""

Tell = Callable[[Progress], None]


def plan_farm(
    farm: Farm,
    settings: SolveSettings,
    on_progress: Tell | None = None,
    stop: threading.Event | None = None,
) -> Outcome:
    """Find a plan for a farm.

    There always is one: a delivery may be short and what grows may be thrown away, each at its price. Only
    too little time gives none.

    Args:
        farm: the farm and its season.
        settings: time, workers, seed, deterministic or not.
        on_progress: called with each step of the search.
        stop: when set, the search ends soon with the best plan so far.
    """
    search = _Search(farm, Engine(settings, stop), on_progress)
    best = search.run()
    if best is None:
        return Outcome(plan=None, status="no plan", without_memory=search.without_memory)
    search.proof.prove(best.score)
    search.lays_out(best)
    if (plan := laid_out(farm, best, settings)) is None:
        return Outcome(plan=None, status="no plan", without_memory=True)
    plan = replace(plan, goals=search.limits(best).goals(best, plan))
    return Outcome(plan=plan, status="short" if is_short(plan) else "filled")


class _Search:
    """One search: holds what its phases share."""

    def __init__(self, farm: Farm, engine: Engine, tell: Tell | None) -> None:
        self._farm = farm
        self._engine = engine
        self._tell = tell
        self._frame = season(farm)
        self._bundles = bundles_of(farm)
        self._beyond = beyond_reach(self._frame)
        self._untold = self._beyond | not_reported(self._frame)
        self._lost = self._beyond
        self._lost_in: Built | None = None
        self.proof = Proof(engine, self._frame)
        self._all_proven = False
        self._first_plan: Incumbent | None = None
        self._already = 0
        self.without_memory = False

    def run(self) -> Incumbent | None:
        """Run all phases; return the best answer, or None when there was no time for any.

        The answer that sows nothing and throws away what grows is only a place to start from: a search that
        was stopped before it found a better one has found none.
        """
        seconds = self._engine.settings.seconds
        if steps_of(list_options(self._frame), self._bundles) <= SMALL_BOOK:
            built = self._built(None)
            best = self._first(built, Parts(built.model), seconds * 0.2)
            if best is not None:
                if self._whole_solved(best):
                    self._all_proven = built.chosen.options.whole
                    return best
                if self._engine.stopped and not best.improved:
                    return None
                best = self._filling().in_every_way(best)
        else:
            self._frame = replace(self._frame, sources=MOST_SOURCES)
            try:
                best = self._from_line_up() if has_many_rows(self._farm) else None
                best = best or self._from_few_rows(seconds)
            except (Stopped, MemoryError) as ended:
                self.without_memory = isinstance(ended, MemoryError)
                return self._first_plan
        if best is None or (self._engine.stopped and not best.improved):
            return self._first_plan
        first = self._first_plan
        if first is not None and first.score < best.score:
            best = self._overtaking(first, best, seconds)
        return self._better(self._filling().filled(best, seconds * 0.97))

    def _whole_solved(self, best: Incumbent) -> bool:
        """Solve a small book whole; say whether the plan is proven."""
        return goal_by_goal(
            self._engine, best, self.proof, self._beyond, lambda: self._say("solving the whole book", best)
        )

    def _overtaking(self, first: Incumbent, best: Incumbent, seconds: float) -> Incumbent:
        """Let the steady week overtake the first plan, which it mostly does; return the one to go on from.

        It has all the time where it is short of few units beside that, though they weigh more.
        """
        short = best.units_short(1)
        if short * FEW_BESIDE > self._already:
            if short < self._already:
                best = self._filling().filled(best, seconds * OVERTAKING)
            return self._better(best)
        return best

    def _better(self, best: Incumbent) -> Incumbent:
        """Return the better of a plan and the first one of all."""
        first = self._first_plan
        return first if first is not None and first.score < best.score else best

    def limits(self, best: Incumbent | None) -> Limits:
        """Return what is known about the shortages and the cost of a plan; None where there is none yet."""
        if best is not None and best.built is not self._lost_in:
            self._lost, self._lost_in = self._beyond - best.served(), best.built
        return Limits(proof=self.proof, frame=self._frame, lost=self._lost, together=self._all_proven)

    def lays_out(self, best: Incumbent) -> None:
        """Say that the search has ended, which can be a while before the plan is there."""
        self._say(LAYING_OUT, best)

    def _filling(self) -> Filling:
        return Filling(self._engine, self.proof, self._beyond, self._say)

    def _built(self, homes: Homes | None, pulse: Pulse = no_pulse) -> Built:
        return written(self._frame, self._bundles, homes, pulse)

    def _first(self, built: Built, parts: Parts, seconds: float, *, beds: bool = True) -> Incumbent | None:
        """Return an answer that sows nothing, but for ``beds``: those are planted as on paper."""
        values = idle(self._engine, built, parts, seconds)
        if values is None:
            return None
        best = Incumbent(built, parts, values)
        if beds:
            plant_by_hand(self._engine, best)
        return best

    def _from_few_rows(self, seconds: float) -> Incumbent | None:
        """Start delivery by delivery, then on paper where that serves a season better, or from a steady week.

        Raises:
            Stopped: the search was to end before there was a plan.
        """
        if self._farm.boxes:
            return self._from_paper(seconds) or self._from_cycle(seconds)
        self._first_plan = self._from_line_up()
        tried = self._engine.spent < seconds * SOON and suits_paper(self._frame, self._first_plan)
        found = self._from_paper(seconds) if tried else None
        return found or self._from_cycle(seconds)

    def _from_cycle(self, seconds: float) -> Incumbent | None:
        """Start from a steady week; the season keeps each crop to the rows it has there.

        Raises:
            Stopped: the search was to end before there was a plan.
        """
        first = self._first_plan
        if first is not None:
            self._already = first.units_short(1)
            self._filling().quickly(first, self._engine.spent + seconds * AT_FIRST)
            self._engine.check()
            if is_better_off(first):
                return first
        cycle = None
        if any(crop.picking is None for crop in self._farm.crops.values()):
            self._say("finding a steady week", None)
            share = TURNS if takes_turns(self._farm) else STEADY
            cycle = CycleSearch(self._engine, self._frame, self._bundles).find(seconds * share)
        self._say("laying the steady week over the season", None)
        built = self._built(cycle.homes if cycle else None, self._engine.check)
        best = self._first(built, Parts(built.model, self._engine.check), seconds * 0.1)
        if best is not None and best.built.chosen.options.bed_sets:
            self._say("planting the beds", best)
            plant_beds(self._engine, best, seconds * 0.1)
        if best is not None and cycle is not None:
            best.take(laid(self._engine, best, cycle))
            self._say("laying the steady week over the season", best)
        return best

    def _from_paper(self, seconds: float) -> Incumbent | None:
        """Start on paper, with all rows for all crops; None where that gives no plan, or no better one.

        Raises:
            Stopped: the search was to end before there was a plan.
        """
        first = self._first_plan
        self._say("planning on paper", first)
        built = self._built(None, self._engine.check)
        best = self._first(built, Parts(built.model, self._engine.check), seconds * 0.1)
        if best is None:
            return None
        papers = Papers(self._engine, best)
        papers.begin()
        best.take(papers.values())
        if first is not None and not is_far_better(best, first):
            return None
        papers.go_on(seconds * ON_PAPER)
        best.take(papers.values())
        self._say("planning on paper", best)
        return best if best.improved else None

    @nothing_collected()
    def _from_line_up(self) -> Incumbent | None:
        """Start delivery by delivery, with the rows lined up; None where that has no place for anything.

        Raises:
            Stopped: the search was to end before there was a plan.
        """
        self._say("lining up crops along the rows", None)
        line = line_up(self._frame, self._engine.check)
        if line is None:
            return None
        built = written(self._frame, line.bundles, line.homes, self._engine.check)
        parts = Parts(built.model, self._engine.check)
        self._engine.check()
        best = self._first(built, parts, self._engine.left * 0.1, beds=False)
        if best is not None:
            self._say("planning delivery by delivery", None)
            self._engine.check()
            best.take(by_date(self._engine, best))
            # Else beds are planned with the steady week, which is still to come.
            if best.built.chosen.options.bed_sets and has_many_rows(self._farm):
                plant_beds(self._engine, best, self._engine.left * 0.1)
            self._say("planning delivery by delivery", best)
        return best if best is not None and best.improved else None

    def _say(self, phase: str, best: Incumbent | None) -> None:
        if self._tell is None:
            return
        best = self._first_plan if best is None else self._better(best)
        # The answer that sows nothing is no plan: a search that ends with it has found none.
        if best is not None and not best.improved:
            best = None
        limits = self.limits(best)
        self._tell(
            Progress(
                phase=phase,
                short=-1 if best is None else best.units_short(1, self._untold),
                value=float(max(0, best.score[0] - limits.lost_of(1))) if best else 0.0,
                bound=float(limits.least(1, best)) if best else 0.0,
                seconds=self._engine.spent,
            )
        )
