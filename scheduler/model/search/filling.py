"""From one plan to a better one, until the time is up: what is short is filled, then cost is saved.

Where parts bring nothing more the model is given more choice: more rows for crops that stay short, then every
way of raising and cutting them.
"""

from collections.abc import Callable, Set

from scheduler.model.bounds.proof import Proof
from scheduler.model.build import Built, build
from scheduler.model.first.line_up import has_many_rows
from scheduler.model.goals import blend
from scheduler.model.options.frame import Frame
from scheduler.model.options.pools import Bundle
from scheduler.model.search.every_way import in_every_way, to_be_widened
from scheduler.model.search.goal_by_goal import fill_as_one
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.manners import filling_until
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.search.widen import carried_over, wider_homes
from scheduler.model.sizes import LARGEST_WHOLE, MEDIUM_WHOLE, MOST_VARIABLES, SMALL_WHOLE
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.model.variables.decisions import Homes, Pulse, no_pulse
from scheduler.plan.collecting import nothing_collected

SLOWLY, QUICKLY = (0.25, 0.6, 1.0), (0.2, 0.3, 0.45)
"""Shares of the time of repair until that is done for crops that are short, then for all, then until nothing
more is filled part by part; quickly where the model of every way can still be solved as one."""

TIMES_LARGER = 3
"""How much larger a model of every way is, about."""

BEFORE_SAVING = 0.9
"""Share of the time until which what is still short is filled in other ways than part by part."""

AS_ONE = 0.3
"""Share of what is left of that in which it is solved as one; then plans as short are gone through."""

ROOM_FOR_ANOTHER = 0.5
"""Share of the memory that may be taken when a second model is written."""

BEFORE_WIDENING = 0.12
"""Share of the time after which crops that are short are given more rows, and again others that still are."""

WIDENINGS, LAST_WIDENING = 2, 0.75
"""Times that is done at most, and share of the time after which it is not: each writes the model anew."""

Say = Callable[[str, Incumbent], None]
"""Told what is done, and the best plan so far."""


@nothing_collected()
def written(frame: Frame, bundles: tuple[Bundle, ...], homes: Homes | None, pulse: Pulse = no_pulse) -> Built:
    """Write the model of a season, with its blended goal; ``pulse`` is called meanwhile, and may raise."""
    built = build(frame, bundles, homes, pulse)
    pulse()
    built.model.minimize(blend(built.chosen))
    pulse()
    return built


class Filling:
    """Fills and saves with one engine, and says what it does."""

    def __init__(self, engine: Engine, proof: Proof, beyond: Set[int], say: Say) -> None:
        """Take what is known to be out of reach, ``beyond``: that is not repaired."""
        self._engine, self._proof, self._beyond, self._say = engine, proof, beyond, say
        self._latest: Incumbent

    def filled(self, best: Incumbent, until: float) -> Incumbent:
        """Fill what is short and save cost; where memory runs out meanwhile the plan is the one so far."""
        self._latest = best
        try:
            return self._filled(best, until)
        except MemoryError:
            return self._latest

    def quickly(self, best: Incumbent, until: float) -> None:
        """Fill what is easily filled, in the rows the crops have."""
        self._repair(best).quickly(until)

    def in_every_way(self, best: Incumbent, most: int = SMALL_WHOLE) -> Incumbent:
        """Return a plan as an answer of the model of every way, up to ``most`` cuts, if it may need one."""
        if self._engine.stopped or not (crops := to_be_widened(best, self._beyond, most)):
            return best
        self._say("looking at every day of sowing and cutting", best)
        return in_every_way(self._engine, best, crops) or best

    def _filled(self, best: Incumbent, until: float) -> Incumbent:
        """Fill what is short, with more rows for crops that stay short; then save cost."""
        farm = best.built.chosen.farm
        begun, filling = self._engine.spent, filling_until(farm, until)
        repair, some = self._repair(best), until * BEFORE_WIDENING
        repair.one_by_one(min(filling, self._engine.spent + 2 * some))
        for _ in range(WIDENINGS):
            late = self._engine.spent > until * LAST_WIDENING
            if late or self._engine.stopped or (homes := self._wider(best, repair)) is None:
                break
            try:
                best = self._with_homes(best, homes)
            except Stopped:
                return best
            repair = self._repair(best)
            repair.shortages(min(filling, self._engine.spent + some))
        first, *others = QUICKLY if len(best.values) <= MOST_VARIABLES // TIMES_LARGER else SLOWLY
        repair.shortages(min(filling, begun + (until - begun) * first))
        for share in others:
            if self._engine.spent >= until:
                break
            if (wider := self.in_every_way(best, MEDIUM_WHOLE)) is not best:
                best, repair = wider, self._repair(wider)
            repair.shortages(min(filling, begun + (until - begun) * share))
        best, repair = self._to_the_last(best, repair, min(filling, until * BEFORE_SAVING))
        self._proof.look(best.score, shortages_done=True)
        repair.thin_beds(until)
        repair.sell(until)
        repair.sweep(until)
        return best

    def _to_the_last(self, best: Incumbent, repair: Repair, end: float) -> tuple[Incumbent, Repair]:
        """Fill what no part can by itself: in the whole at once, and from plan to plan that is as short.

        Where the whole leaves nothing open but ways that it does not have, it is given those.
        """
        engine = self._engine
        while engine.spent < end and not engine.stopped and len(best.values) <= MOST_VARIABLES:
            self._say("filling shortages, all at once", best)
            if not fill_as_one(engine, best, self._beyond, engine.spent + (end - engine.spent) * AS_ONE):
                break
            if (wider := self.in_every_way(best, LARGEST_WHOLE)) is best:
                return best, repair
            best, repair = wider, self._repair(wider)
            repair.shortages((engine.spent + end) / 2)
        repair.drift(end)
        return best, repair

    def _wider(self, best: Incumbent, repair: Repair) -> Homes | None:
        """Return more rows for crops that are short; None where they have them, or rows are too many.

        Also None where a second and larger model would take more memory than there may be.
        """
        chosen = best.built.chosen
        if has_many_rows(chosen.farm) or self._engine.memory_taken > ROOM_FOR_ANOTHER:
            return None
        boxed = {index for found in chosen.box_wishes.values() for index in found}
        short = {*repair.short(1), *boxed.intersection(repair.short(2))}
        return wider_homes(chosen, chosen.homes, short)

    @nothing_collected()
    def _with_homes(self, best: Incumbent, homes: Homes) -> Incumbent:
        self._say("giving short crops more rows", best)
        chosen = best.built.chosen
        built = written(chosen.frame, chosen.bundles, homes, self._engine.check)
        parts = Parts(built.model, self._engine.check)
        wider = Incumbent(built, parts, carried_over(best, built))
        wider.improved = best.improved
        return wider

    def _repair(self, best: Incumbent) -> Repair:
        self._latest = best

        def tell(phase: str) -> None:
            self._proof.look(best.score)
            self._say(phase, best)

        lost = self._beyond - best.served()
        return Repair(self._engine, best, tell, lost, settled=self._proof.settled)
