"""Published tables by quantity, and sums that publications do on paper, for tests against their figures."""

from crops.published import table
from scheduler.farm.units import SQUARE_MM_PER_M2


def quantities(name: str) -> dict[str, float]:
    """Return the values of a table with one quantity a row, by the quantity's name."""
    return {row["quantity"]: float(row["value"]) for row in table(name)}


def plants_per_m2(holes: int, width_mm: float, length_mm: float) -> float:
    """Return the density of a board or raft with all holes planted."""
    return holes * SQUARE_MM_PER_M2 / (width_mm * length_mm)


def yield_a_year(area_m2: float, kg_per_m2: float, weeks_a_crop: int, weeks: int = 52) -> float:
    """Return kilograms a year of a staggered farm: each week one of ``weeks_a_crop`` equal parts is cut."""
    return area_m2 / weeks_a_crop * kg_per_m2 * weeks
