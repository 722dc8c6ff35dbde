"""Limits that no plan of a farm can pass, from a linear relaxation of its whole season.

The relaxation is built from the farm alone and is wider than any plan: every sowing day, every way through
the nursery and every cut, plants instead of whole units, and rows without order. So its limits hold for
every plan that keeps the rules, however it was found.
"""

import math
import time
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.model.bounds.program import Limit
from scheduler.model.bounds.relaxation import Relaxation, relaxed
from scheduler.model.frame import Frame, Wish

FIRM, FLEXIBLE = 1, 2

RUNS = 3
"""Runs of the solver: one for each goal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Least values of the goals, in the units of :mod:`scheduler.model.goals`.

    Attributes:
        firm: weighted shortage of firm deliveries; 0 where nothing more is known.
        flexible: weighted shortage of flexible deliveries and targets of plans whose firm shortage is at
            most the one reached; 0 where nothing more is known.
        cost: cost of plans whose shortages are at most those reached; None where nothing is known.
    """

    firm: int = 0
    flexible: int = 0
    cost: int | None = None


def bounds(
    farm: Farm,
    frame: Frame,
    reached: tuple[int, int] | None,
    seconds: float,
    deterministic: bool = False,
) -> Bounds:
    """Return what no plan of a season can stay below.

    Args:
        farm: the farm.
        frame: its season; a steady cycle has no bounds here.
        reached: weighted firm and flexible shortage of a plan that is there; without one the flexible
            bound holds for any plan, and there is none for the cost.
        seconds: time for all of it, writing the programs aside. When it is over, what is not known stays at
            0 or None; what nothing can ever fill is known without.
        deterministic: count the solver's own units instead of seconds, so that every machine gives the same.

    Raises:
        ValueError: the frame is a cycle.
    """
    if frame.period:
        raise ValueError("bounds are of a season, not of a steady cycle")
    clock = _Clock(seconds, deterministic)
    last = max([frame.end, *(wish.last for wish in frame.wishes)])
    firm = flexible = 0
    cost = None
    if reached is None or reached[0]:
        firm = _least_short(relaxed(farm, _of(frame.wishes, FIRM), last), FIRM, clock)
    if reached is None:
        flexible = _least_short(relaxed(farm, _of(frame.wishes, FLEXIBLE), last), FLEXIBLE, clock)
    elif clock.limit().seconds > 0:
        season = relaxed(farm, frame.wishes, last)
        season.keep_short(FIRM, reached[0])
        if reached[1]:
            flexible = _least_short(season, FLEXIBLE, clock)
        season.keep_short(FLEXIBLE, reached[1])
        cost = _least_cost(season, clock)
    return Bounds(firm=firm, flexible=flexible, cost=cost)


class _Clock:
    """Shares out the time between the runs of the solver."""

    def __init__(self, seconds: float, deterministic: bool) -> None:
        self._seconds, self._deterministic = seconds, deterministic
        self._started = time.monotonic()

    def limit(self) -> Limit:
        """Return the limit of the next run: what is left, or an even share of the solver's units."""
        if self._deterministic:
            return Limit(seconds=self._seconds / RUNS, deterministic=True)
        return Limit(seconds=self._seconds - (time.monotonic() - self._started))


def _of(wishes: Iterable[Wish], level: int) -> list[Wish]:
    return [wish for wish in wishes if wish.level == level]


def _least_short(season: Relaxation, level: int, clock: _Clock) -> int:
    """Return the least weighted shortage of a level: a multiple of what all its weights have in common."""
    proven = season.least_short(level, clock.limit())
    step = season.step(level)
    return season.lost(level) + (0 if proven is None else max(0, math.ceil(proven / step) * step))


def _least_cost(season: Relaxation, clock: _Clock) -> int | None:
    proven = season.least_cost(clock.limit())
    return None if proven is None else math.ceil(proven)
