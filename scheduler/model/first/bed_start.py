"""Plantings in beds, found first as a model of their own: courses of months fit no week that repeats."""

from scheduler.model.goals import FLEXIBLE_TAIL
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.selection import Part, Selection
from scheduler.model.solver.engine import Engine


def plant_beds(engine: Engine, best: Incumbent, seconds: float) -> None:
    """Plan all crops that end in beds over the whole season, with everything else as it is in ``best``.

    Their trays, work and deliveries are part of it. What is found stands while the rest is planned, and can
    be freed again by the repair.
    """
    chosen = best.built.chosen
    crops = frozenset(option.crop for option in chosen.options.bed_sets)
    first = min((option.day for option in chosen.options.bed_sets), default=0)
    free = Selection(chosen).variables(
        Part(crops=crops, first=min(first, chosen.frame.start), last=chosen.frame.end)
    )
    cut = best.parts.cut(best.values, free - best.held)
    answer = engine.run(cut.model, seconds, cut.hint, gap=FLEXIBLE_TAIL * 0.9)
    if answer.values is not None:
        best.take(cut.whole(best.values, answer.values))
