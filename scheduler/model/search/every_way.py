"""Every way a batch could go: looked at where a plan is short and the book is small enough.

A search begins with few of the days on which a crop could be sown, moved and cut again, for all of them
together make it slow; now and then one of the others is the only one that fits.
"""

from collections.abc import Container
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.orders.goods import crops_for
from scheduler.model.answers.reached import SHORTAGES
from scheduler.model.answers.solution import decided
from scheduler.model.build import list_options
from scheduler.model.options.frame import Frame
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.taken_over import taken_over
from scheduler.model.sizes import steps_of
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan


def may_be_too_narrow(best: Incumbent, beyond: Container[int]) -> bool:
    """Say whether something is short, wishes ``beyond`` reach apart, in a model that leaves out ways."""
    if best.built.chosen.options.whole:
        return False
    return any(best.units_short(level, beyond) for level in SHORTAGES)


def cut_again_in(farm: Farm, plan: Plan) -> frozenset[str]:
    """Return the crops of a plan that are cut more than once: it may cut them on days rarely looked at."""
    return frozenset(lot.crop for lot in plan.lots if farm.crops[lot.crop].cuts > 1)


def to_be_widened(best: Incumbent, beyond: Container[int], most: int) -> frozenset[str]:
    """Return the crops to look at in every way: those that could fill what is short, and in the end all.

    Empty where nothing is left out of those, nothing is short, or the model would have more steps than
    ``most``.
    """
    if not may_be_too_narrow(best, beyond):
        return frozenset()
    chosen = best.built.chosen
    already = chosen.frame.in_every_way
    short = {index for level in SHORTAGES for index in best.short_wishes(level) if index not in beyond}
    serving = frozenset().union(*(crops_for(chosen.farm, chosen.frame.wishes[index]) for index in short))
    for crops in (already | serving, frozenset(chosen.farm.crops)):
        if crops > already and fits_every_way(best, crops, most):
            return crops
    return frozenset()


def fits_every_way(best: Incumbent, crops: frozenset[str], most: int) -> bool:
    """Say whether the model that has every way of some crops would have at most so many steps."""
    chosen = best.built.chosen
    # Looked at first, for listing every way of the largest farms takes long.
    if steps_of(chosen.options, chosen.bundles) > most:
        return False
    return steps_of(list_options(_every_way(chosen.frame, crops)), chosen.bundles) <= most


def _every_way(frame: Frame, crops: frozenset[str]) -> Frame:
    """Return the frame with every way of raising some crops, and every day of their cuts."""
    return replace(frame, in_every_way=crops)


def in_every_way(engine: Engine, best: Incumbent, crops: frozenset[str]) -> Incumbent | None:
    """Return a plan as an answer of the model that has every way of some crops.

    None if the time is up or it cannot be.
    """
    chosen = best.built.chosen
    plan = lay_out(chosen.farm, decided(chosen, best.values), (), {})
    try:
        wider = taken_over(engine, (_every_way(chosen.frame, crops), chosen.bundles, chosen.homes), plan)
    except Stopped:
        return None
    if wider is not None:
        wider.improved = best.improved
    return wider
