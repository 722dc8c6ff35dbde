"""Sums growers do on paper: area, seed, and how long a hole is held."""

from collections.abc import Iterable
from fractions import Fraction


def plants_standing(per_day: float, days: float) -> float:
    """Return the plants in a stage when ``per_day`` enter it and each stays ``days`` (Little's law)."""
    return per_day * days


def area_for(per_day: float, stays: Iterable[tuple[float, float]]) -> float:
    """Return the square metres that ``per_day`` plants need over all their stages.

    Args:
        per_day: plants that enter and leave each day.
        stays: for each stage the days in it and the plants per square metre.
    """
    return sum(plants_standing(per_day, days) / density for days, density in stays)


def seeds_to_sow(plants: int, percent: float) -> int:
    """Return the seeds to sow so that ``plants`` come up at this germination, rounded up.

    Args:
        plants: plants wanted.
        percent: share of the seeds that come up, above 0 and at most 100.

    Raises:
        ValueError: the percentage is outside that range.
    """
    if not 0 < percent <= 100:
        raise ValueError(f"germination of {percent} percent is not between 0 and 100")
    # A fraction of the decimal text: 100 plants at 80 percent are 125 seeds, never 126 by a binary rest.
    return -int(-plants * 100 // Fraction(str(percent)))


def days_hole_held(days_raft: float, cuts: int, cut_interval: float) -> float:
    """Return the days a raft hole is taken, from setting the plant to its last cut at full pace."""
    return days_raft + (cuts - 1) * cut_interval
