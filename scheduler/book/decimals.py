"""Numbers as a book writes them: in plain digits with a point, and without zeros that say nothing."""

from fractions import Fraction

MOST_DECIMALS = 12
"""Most digits behind the point: as many as a cell is read with."""


def decimal_text(number: Fraction | int) -> str:
    """Write a number: ``24``, ``0.3``, ``-1.25``; what has more digits than a cell may have is cut off."""
    scaled = int(abs(number) * 10**MOST_DECIMALS)
    whole, rest = divmod(scaled, 10**MOST_DECIMALS)
    sign = "-" if number < 0 and scaled else ""
    return sign + without_idle_zeros(f"{whole}.{rest:0{MOST_DECIMALS}}")


def without_idle_zeros(digits: str) -> str:
    """Take off zeros behind a point that say nothing, and a point with nothing behind it."""
    return digits.rstrip("0").rstrip(".") if "." in digits else digits
