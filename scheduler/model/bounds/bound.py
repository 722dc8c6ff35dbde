"""Limits that no plan of a farm can pass, from a linear relaxation of its whole season.

The relaxation is built from the farm alone and is wider than any plan: every sowing day, every way through
the nursery and every cut, plants instead of whole units, and rows without order; in a second look at books
that are not large rafts are whole. So its limits hold for every plan that keeps the rules, however it was
found.
"""

import math
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from scheduler.farm.farm import Farm
from scheduler.model.bounds.program import Limit, never
from scheduler.model.bounds.relaxation import Relaxation, relaxed
from scheduler.model.options.frame import Frame, Wish
from scheduler.model.solver.engine import Stopped

FIRM, FLEXIBLE = 1, 2

RUNS = 6
"""Runs of the solver at most: one for each goal, without and with whole rafts."""

MOST_COLUMNS = 12_000
"""Columns of the relaxation of all wishes up to which whole rafts are looked at; more would take minutes."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How long bounds are looked for.

    Attributes:
        seconds: time for all of it; of the clock with the programs written, or of the solver's own units
            without.
        deterministic: count those units, so that every machine gives the same.
        stop: asked again and again; once it says so, nothing more is looked for.
    """

    seconds: float
    deterministic: bool = False
    stop: Callable[[], bool] = never


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
        seconds: time for all of it. When it is over, what is not known stays at 0 or None; what nothing can
            ever fill is known without.
        deterministic: count the solver's own units instead of seconds, so that every machine gives the same.

    Raises:
        ValueError: the frame is a cycle.
    """
    effort = Effort(seconds=seconds, deterministic=deterministic)
    return [Bounds(), *stages(farm, frame, reached, effort)][-1]


def stages(
    farm: Farm, frame: Frame, reached: tuple[int, int] | None, effort: Effort, firm: int | None = None
) -> Iterator[Bounds]:
    """Yield the bounds of :func:`bounds` as they become known: firm, flexible, then cost.

    A ``firm`` bound that is known already is not looked for again.

    Raises:
        ValueError: the frame is a cycle.
    """
    if frame.period:
        raise ValueError("bounds are of a season, not of a steady cycle")
    try:
        yield from _stages(_Asked(farm, frame, effort), reached, firm)
    except Stopped:
        return


class _Asked:
    """One asking for bounds: writes relaxations, and shares out the time between the runs of the solver.

    Attributes:
        columns: the most that a relaxation had so far.
    """

    def __init__(self, farm: Farm, frame: Frame, effort: Effort) -> None:
        self._farm, self._frame, self._effort = farm, frame, effort
        self._last = max([frame.end, *(wish.last for wish in frame.wishes)])
        self._started = time.monotonic()
        self.columns = 0

    def limit(self) -> Limit:
        """Return the limit of the next run: what is left, or an even share of the solver's units."""
        effort = self._effort
        if effort.deterministic:
            return Limit(seconds=effort.seconds / RUNS, deterministic=True, stop=effort.stop)
        return Limit(seconds=effort.seconds - (time.monotonic() - self._started), stop=effort.stop)

    def relaxed(self, level: int | None = None, whole: bool = False) -> Relaxation:
        """Write the relaxation for the wishes of one level, or of all; ``whole`` with whole rafts.

        Raises:
            Stopped: it is to stop.
        """
        wishes: Iterable[Wish] = self._frame.wishes
        if level is not None:
            wishes = [wish for wish in wishes if wish.level == level]
        season = relaxed(self._farm, wishes, self._last, self._check, whole)
        self.columns = max(self.columns, season.columns)
        return season

    def _check(self) -> None:
        if self._effort.stop():
            raise Stopped


def _stages(asked: _Asked, reached: tuple[int, int] | None, firm: int | None) -> Iterator[Bounds]:
    found = Bounds(firm=firm or 0)
    for whole in (False, True):
        if whole and asked.columns > MOST_COLUMNS:
            return
        if (whole or firm is None) and (reached is None or found.firm < reached[0]):
            found = _with_firm(asked, found, whole)
            yield found
        if reached is None:
            least = _least_short(asked.relaxed(FLEXIBLE, whole), FLEXIBLE, asked.limit())
            found = replace(found, flexible=max(found.flexible, least))
            yield found
        elif asked.limit().seconds > 0:
            for better in _as_good(asked, asked.relaxed(whole=whole), reached, found):
                found = better
                yield found


def _with_firm(asked: _Asked, known: Bounds, whole: bool) -> Bounds:
    least = _least_short(asked.relaxed(FIRM, whole), FIRM, asked.limit())
    return replace(known, firm=max(known.firm, least))


def _as_good(asked: _Asked, season: Relaxation, reached: tuple[int, int], known: Bounds) -> Iterator[Bounds]:
    """Yield the limits of flexible shortage and of cost of plans as good in the goals before."""
    season.keep_short(FIRM, reached[0])
    if known.flexible < reached[1]:
        flexible = _least_short(season, FLEXIBLE, asked.limit())
        known = replace(known, flexible=max(known.flexible, flexible))
        yield known
    season.keep_short(FLEXIBLE, reached[1])
    cost = _least_cost(season, asked.limit())
    if cost is not None and (known.cost is None or cost > known.cost):
        known = replace(known, cost=cost)
    yield known


def _least_short(season: Relaxation, level: int, limit: Limit) -> int:
    """Return the least weighted shortage of a level: a multiple of what all its weights have in common."""
    proven = season.least_short(level, limit)
    step = season.step(level)
    return season.lost(level) + (0 if proven is None else max(0, math.ceil(proven / step) * step))


def _least_cost(season: Relaxation, limit: Limit) -> int | None:
    proven = season.least_cost(limit)
    return None if proven is None else math.ceil(proven)
