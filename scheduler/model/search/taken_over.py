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
