"""How hard and how to search, what is told on the way, and what comes back."""

from collections.abc import Callable
from dataclasses import dataclass

from scheduler.plan.rows import Plan

Tell = Callable[[str], None]
"""Called with what is searched, in words."""

LAYING_OUT = "laying out the rows of the plan"
"""Phase of a search that has ended, and with it its time."""


def silent(_: str) -> None:
    """Tell nobody what is searched."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolveSettings:
    """Choices for one solve.

    Attributes:
        seconds: time for the whole search; in deterministic mode the same number of the solver's own
            deterministic units, which take two seconds or so each on one core.
        workers: search threads; deterministic mode uses one, but where several searches take turns.
        seed: seed of the solver's own choices.
        deterministic: same book, settings, platform and versions give the same plan, byte for byte, as long
            as it does not end for want of memory.
        memory: gigabytes the process is to keep within, all that it holds counted; None without a limit.
    """

    seconds: float = 60.0
    workers: int = 2
    seed: int = 1
    deterministic: bool = False
    memory: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """Where the search stands.

    Attributes:
        phase: what is being searched, in words.
        short: units of reachable firm deliveries still short in the best plan so far; -1 before the first.
        value: weighted shortage of reachable firm deliveries in the best plan so far.
        bound: what of it is proven so far to be short in every plan.
        seconds: time spent.
    """

    phase: str
    short: int
    value: float
    bound: float
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a solve gives.

    Attributes:
        plan: the best plan found, or None.
        status: ``filled`` (every reachable firm delivery), ``short``, or ``no plan`` (nothing in time).
        without_memory: whether it was for want of memory that there is no plan.
    """

    plan: Plan | None
    status: str
    without_memory: bool = False
