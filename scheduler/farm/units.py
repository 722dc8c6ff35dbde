"""Whole-number arithmetic: every rounding rule of the project stands here.

Shares (germination, survival, margins) are whole parts of ten thousand, pace and stage
progress are whole thousandths of a day, money and minutes are whole hundredths. Whole
numbers make the planner, the audit and the printed tables agree to the last digit.
"""

from fractions import Fraction
from math import ceil

WHOLE_SHARE = 10_000
"""Parts that make 1: a share of 9500 is 95 percent."""

MILLI = 1_000
"""Thousandths that make 1 day of pace, or one plant per sale unit."""

CENT = 100
"""Hundredths that make one minute or one unit of money."""

MM_PER = {"m": Fraction(1000), "ft": Fraction(3048, 10)}
"""Millimetres in one unit of length; the foot is exactly 0.3048 m."""

SQUARE_MM_PER_M2 = 1_000_000

HOUR = 60 * CENT
"""Hundredths of a minute in an hour."""


def ceil_div(number: int, by: int) -> int:
    """Divide and round up: seed, cells, trays, boards and rafts."""
    return -(-number // by)


def nearest(number: Fraction) -> int:
    """Return the nearest whole number, a half rounded up: what is only told or printed."""
    return (number * 2 + 1) // 2


def cents(number: Fraction) -> int:
    """Return money in hundredths, rounded half up."""
    return nearest(number * CENT)


def hundredths_up(number: Fraction) -> int:
    """Return minutes, percent or weights in whole hundredths, rounded up: never counted short."""
    return ceil(number * CENT)


def spread(number: int, units: int, full: int) -> list[int]:
    """Spread plants over units: ``full`` into each as long as that leaves one for every unit behind it."""
    sizes = []
    for behind in range(units - 1, -1, -1):
        sizes.append(min(full, number - behind))
        number -= sizes[-1]
    return sizes


def share_down(count: int, share: int) -> int:
    """Take a share of a count and round down: plants and heads that are left after losses."""
    return count * share // WHOLE_SHARE


def needed_for(count: int, share: int) -> int:
    """Return the smallest number whose share, rounded down, is at least ``count``.

    Raises:
        ValueError: the share is 0, so no number is enough.
    """
    if share <= 0:
        raise ValueError("a share must be above 0")
    return ceil_div(count * WHOLE_SHARE, share)
