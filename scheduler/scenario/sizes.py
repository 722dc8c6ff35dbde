"""Usual sizes of troughs, from ``shared/reference/trough_sizes.csv``."""

from fractions import Fraction

from crops.published import table


def usual_widths(unit: str) -> tuple[Fraction, ...]:
    """Return the usual inside widths in a unit of length, narrowest first."""
    return tuple(sorted(_sizes("width", unit)))


def usual_step(unit: str) -> Fraction:
    """Return by how much troughs are usually lengthened, in a unit of length."""
    return min(_sizes("length_step", unit))


def _sizes(size: str, unit: str) -> list[Fraction]:
    rows = (row for row in table("trough_sizes") if row["size"] == size and row["unit"] == unit)
    return [Fraction(row["value"]) for row in rows]
