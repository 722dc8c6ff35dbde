"""The plan of an answer, and how it was made, for the folder it lies in."""

from importlib.metadata import version
from platform import python_version

from scheduler import __version__
from scheduler.farm.farm import Farm
from scheduler.model.answers.solution import decided
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.settings import SolveSettings
from scheduler.plan.collecting import nothing_collected
from scheduler.plan.exact import EDITION, KEY
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan


def made_by(farm: Farm, settings: SolveSettings) -> dict[str, str | int | float | bool | None]:
    """Return how the plan was made: enough to make it again."""
    return {
        "raftway": __version__,
        "ortools": version("ortools"),
        "python": python_version(),
        "seconds": settings.seconds,
        "workers": 1 if settings.deterministic else settings.workers,
        "seed": settings.seed,
        "deterministic": settings.deterministic,
        KEY: EDITION,
        "today": farm.date_of(farm.today).isoformat(),
    }


def laid_out(farm: Farm, best: Incumbent, settings: SolveSettings) -> Plan | None:
    """Return the plan of an answer, its goals yet to be told; None where there is no memory for its rows."""
    try:
        with nothing_collected():
            return lay_out(farm, decided(best.built.chosen, best.values), (), made_by(farm, settings))
    except MemoryError:
        return None
