"""The sun at a latitude: day length and the radiation that reaches the top of the air, day by day.

The equations are those of FAO-56 (fao56 in shared/reference/sources.csv). They take the year as 365 days,
the sun as a point and the air as bending nothing, so real days are up to half an hour longer; past 55
degrees of latitude the equations are weaker.
"""

import math
from datetime import date

SOLAR_CONSTANT = 0.0820
"""MJ a square metre and minute above the air (fao56, equation 21)."""

MINUTES_PER_DAY = 24 * 60
DAYS_OF_YEAR = 365
COMMON_YEAR = 2023
"""A year of 365 days: day numbers are those of such a year, so that every year is alike."""


def day_of_year(month: int, day: int) -> int:
    """Return the number of a day, 1 for 1 January to 365 for 31 December; 29 February counts as the 28th."""
    day = min(day, 28) if month == 2 else day
    return date(COMMON_YEAR, month, day).timetuple().tm_yday


def sun_distance(number: int) -> float:
    """Return the inverse relative distance to the sun on a day of the year (fao56, equation 23)."""
    return 1 + 0.033 * math.cos(2 * math.pi * number / DAYS_OF_YEAR)


def declination(number: int) -> float:
    """Return the sun's declination in radians on a day of the year (fao56, equation 24)."""
    return 0.409 * math.sin(2 * math.pi * number / DAYS_OF_YEAR - 1.39)


def sunset_angle(latitude: float, number: int) -> float:
    """Return the hour angle of sunset in radians (fao56, equation 25).

    It is 0 where the sun does not rise that day and pi where it does not set.

    Args:
        latitude: degrees, south of the equator negative.
        number: day of the year.

    Raises:
        ValueError: the latitude is not between -90 and 90.
    """
    if not -90 <= latitude <= 90:
        raise ValueError(f"a latitude lies between -90 and 90 degrees, not at {latitude:g}")
    height = -math.tan(math.radians(latitude)) * math.tan(declination(number))
    return math.acos(max(-1.0, min(1.0, height)))


def daylight_hours(latitude: float, number: int) -> float:
    """Return the hours from sunrise to sunset, 0 to 24 (fao56, equation 34); arguments as in sunset_angle."""
    return 24 * sunset_angle(latitude, number) / math.pi


def radiation_above_air(latitude: float, number: int) -> float:
    """Return the radiation above the air in MJ/m2/d (fao56, equation 21); arguments as in sunset_angle."""
    angle, north, sun = sunset_angle(latitude, number), math.radians(latitude), declination(number)
    height = angle * math.sin(north) * math.sin(sun) + math.cos(north) * math.cos(sun) * math.sin(angle)
    return max(0.0, MINUTES_PER_DAY / math.pi * SOLAR_CONSTANT * sun_distance(number) * height)
