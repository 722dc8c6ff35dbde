"""Every way a batch could go: looked at where a plan is short and the book is small enough.

A search begins with few of the days on which a crop could be sown, moved and cut again, for all of them
together make it slow; now and then one of the others is the only one that fits.
"""

from collections.abc import Container
from dataclasses import replace

from scheduler.model.answers.reached import SHORTAGES
from scheduler.model.answers.solution import decided
from scheduler.model.build import list_options
from scheduler.model.options.frame import Frame
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.taken_over import steps_of, taken_over
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.plan.layout import lay_out


def may_be_too_narrow(best: Incumbent, beyond: Container[int]) -> bool:
    """Say whether something is short, wishes ``beyond`` reach apart, in a model that leaves out ways."""
    if best.built.chosen.options.whole:
        return False
    return any(best.units_short(level, beyond) for level in SHORTAGES)


def _every_way(frame: Frame) -> Frame:
    """Return the frame with every way of raising a crop, and every day of its cuts."""
    return replace(frame, sources=0, every_cut=True)


def may_be_widened(best: Incumbent, beyond: Container[int], most: int) -> bool:
    """Say whether a plan is short where it may be for what was left out, in a book that is not too large."""
    return may_be_too_narrow(best, beyond) and fits_every_way(best, most)


def fits_every_way(best: Incumbent, most: int) -> bool:
    """Say whether the model that has every way would have at most so many steps."""
    chosen = best.built.chosen
    # Looked at first, for listing every way of the largest farms takes long.
    if steps_of(chosen.options, chosen.bundles) > most:
        return False
    return steps_of(list_options(_every_way(chosen.frame)), chosen.bundles) <= most


def in_every_way(engine: Engine, best: Incumbent) -> Incumbent | None:
    """Return a plan as an answer of the model that has every way; None if the time is up or it cannot be."""
    chosen = best.built.chosen
    plan = lay_out(chosen.farm, decided(chosen, best.values), (), {})
    try:
        wider = taken_over(engine, (_every_way(chosen.frame), chosen.bundles, chosen.homes), plan)
    except Stopped:
        return None
    if wider is not None:
        wider.improved = best.improved
    return wider
