"""Sums growers do on paper: density, area, seed, and how long a hole is held."""

from collections.abc import Iterable
from fractions import Fraction

SQUARE_MM_PER_M2 = 1_000_000


def plants_per_m2(holes: int, width_mm: float, length_mm: float) -> float:
    """Return the density of a board or raft with all holes planted.

    Args:
        holes: holes planted.
        width_mm: its outside width; 2 ft is 609.6 mm exactly.
        length_mm: its outside length; 4 ft is 1219.2 mm exactly.

    Raises:
        ValueError: a side is not above 0.
    """
    if width_mm <= 0 or length_mm <= 0:
        raise ValueError(f"a board of {width_mm} x {length_mm} mm has no area")
    return holes * SQUARE_MM_PER_M2 / (width_mm * length_mm)


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


def yield_a_year(area_m2: float, kg_per_m2: float, weeks_a_crop: int, weeks: int = 52) -> float:
    """Return kilograms a year of a staggered farm: each week one of ``weeks_a_crop`` equal parts is cut."""
    return area_m2 / weeks_a_crop * kg_per_m2 * weeks
