"""A plan as an answer of a model of its farm, whatever that model has to choose from."""

from scheduler.model.answers.read_back import NotReadBack, values_of
from scheduler.model.build import build
from scheduler.model.goals import blend
from scheduler.model.options.frame import Frame
from scheduler.model.options.options import Options
from scheduler.model.options.pools import Bundle
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.solver.engine import Engine
from scheduler.model.variables.decisions import Homes
from scheduler.plan.rows import Plan

PICKS_A_STEP = 4
"""Pickings that make a model as large as one possible cut does: they follow from their planting."""


def steps_of(options: Options, bundles: tuple[Bundle, ...]) -> int:
    """Return the possible cuts of some options, times bundles of rows: how large a model of them would be."""
    steps = sum(len(option.cuttings) for option in options.raft_sets)
    in_trays = sum(len(out.cuts) for out in options.tray_outs)
    picks = sum(len(option.picks) for option in options.bed_sets)
    return steps * len(bundles) + in_trays + picks // PICKS_A_STEP


def taken_over(
    engine: Engine,
    of: tuple[Frame, tuple[Bundle, ...], Homes | None],
    plan: Plan,
    options: Options | None = None,
) -> Incumbent | None:
    """Return a plan as an answer of the model of a frame, bundles and homes; None where it holds it not.

    ``options`` are those of the frame where they are listed already.

    Raises:
        Stopped: the time was up before the model was there.
    """
    built = build(*of, engine.check, options)
    built.model.minimize(blend(built.chosen))
    parts = Parts(built.model, engine.check)
    try:
        values = values_of(built, plan)
    except NotReadBack:
        return None
    return Incumbent(built, parts, values) if parts.holds(values) else None
