"""How parts of a plan are searched: how much is freed around what is short, how long, and until when."""

from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.model.goals import FLEXIBLE_TAIL
from scheduler.model.solver.engine import Hand


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """How much to free around a short delivery.

    Attributes:
        days: days before and after those that serve it.
        neighbours: other crops of the same rows.
        later: whether batches that serve it by a later cut than their first are freed too.
        seconds: time for one step.
    """

    days: int
    neighbours: int
    later: bool
    seconds: float


ROUNDS = (
    Around(days=0, neighbours=0, later=False, seconds=0.8),
    Around(days=7, neighbours=1, later=False, seconds=1.5),
    Around(days=7, neighbours=2, later=True, seconds=3.0),
    Around(days=14, neighbours=4, later=True, seconds=5.0),
    Around(days=21, neighbours=8, later=True, seconds=8.0),
    Around(days=42, neighbours=100, later=True, seconds=15.0),
)
"""Rounds of repair: narrow and quick first, wide and slow where that brings nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How parts are searched: in words, with seconds for one, by whom, and how far from proven at the end.

    One that ``drifts`` looks for other plans that are no shorter of anything, whatever they cost.
    """

    phase: str
    seconds: float
    gap: float = FLEXIBLE_TAIL * 0.9
    hand: Hand = Hand.ONE
    drifts: bool = False


DRAWING = Manner(phase="filling shortages, parts drawn by chance", seconds=0.5, hand=Hand.ONE_WITH_EVERY_ROW)
DRIFTING = Manner(
    phase="filling shortages, from another plan as good",
    seconds=1.0,
    gap=0.0,
    hand=Hand.ONE_WITH_EVERY_ROW,
    drifts=True,
)
SELLING = Manner(phase="selling what is left", seconds=2.0, gap=0.0)
THINNING = Manner(phase="thinning out the beds", seconds=12.0, gap=0.0)
SAVING = Manner(phase="saving seed, work and space", seconds=4.0, gap=0.0)


BEFORE_SELLING = 0.9
"""Share of the time after which nothing more is filled where outlets sell what is left."""

BEFORE_THINNING, BEFORE_BOTH = 0.95, 0.8
"""The same where beds are thinned out, and where outlets sell what they give as well."""


def filling_until(farm: Farm, until: float) -> float:
    """Return how long shortages are filled in a search that lasts ``until``."""
    thins = any(crop.picking for crop in farm.crops.values())
    if farm.outlets:
        return until * (BEFORE_BOTH if thins else BEFORE_SELLING)
    return until * BEFORE_THINNING if thins else until
