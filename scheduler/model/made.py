"""How a plan was made, for the folder it lies in."""

from importlib.metadata import version
from platform import python_version

from scheduler import __version__
from scheduler.farm.farm import Farm
from scheduler.model.settings import SolveSettings
from scheduler.plan.exact import EDITION, KEY


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
