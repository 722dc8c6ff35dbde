"""From radiation to growth: light that comes down, light at the plants, and the pace it allows.

Light is counted as mol of photons between 400 and 700 nm on a square metre in a day. The figures stand
with their sources in shared/reference/light.csv.
"""

CLOUDY_SHARE, SUNNY_SHARE = 0.25, 0.50
"""Shares of the radiation above the air that come down without sun, and on top of that in full sun
(fao56, equation 35)."""

MOL_PER_MJ = 0.45 * 4.57
"""Mol of photons in one MJ of sunlight: 45 percent of its energy lies between 400 and 700 nm (from memory;
50 is given as well), at 4.57 micromol a joule there (thimijan_heins_1983, seen on a calculator page)."""

SUNSHINE = 50
"""Percent of the daylight hours with sun, for a month without a figure (estimate)."""

FULL_LIGHT = 17
"""Light at which the days of the cards hold, mol/m2/d: the best of 8 to 22 for head lettuce on rafts
(both_dli). Most cards say 12 to 17, so this is on the slow side."""

FULL_WATER = 18
"""Temperature of the water in degrees C from which the days of the cards hold: the lowest good one of the
lettuce cards (common practice, no source)."""

LEAST_WATER = 4
"""Temperature of the water in degrees C at which nothing grows: the base temperature usual for leaf crops
of the cool season (estimate)."""

SECONDS_PER_HOUR = 3600
MICRO = 1e-6


def radiation_at_ground(above_air: float, sunshine: float) -> float:
    """Return the radiation that comes down outside, MJ/m2/d (fao56, equation 35).

    Args:
        above_air: radiation above the air, MJ/m2/d.
        sunshine: share of the daylight hours with sun, 0 to 1.
    """
    return (CLOUDY_SHARE + SUNNY_SHARE * sunshine) * above_air


def sunlight(radiation: float) -> float:
    """Return the light in sunshine of ``radiation`` MJ/m2/d, in mol/m2/d."""
    return radiation * MOL_PER_MJ


def lamplight(flux: float, hours: float) -> float:
    """Return the light of lamps, mol/m2/d, from micromol/m2/s and hours a day.

    1000 micromol/m2/s for 16 hours are 57.6 mol (frantz_2004).
    """
    return flux * hours * SECONDS_PER_HOUR * MICRO


def pace_of_light(light: float, full: float) -> float:
    """Return the pace that ``light`` at the plants allows, at most 1: in step with it below ``full``.

    Growth in step with light is the plainest form there is (estimate): plants use weak light somewhat
    better than strong, so long winters come out on the slow side.
    """
    return min(1.0, light / full)


def pace_of_water(temperature: float, full: float) -> float:
    """Return the pace that water of so many degrees C allows, 0 to 1.

    In step with the degrees above ``LEAST_WATER`` up to ``full`` (estimate). Warm water slows nothing here:
    it is heat, which has a rule of its own.
    """
    return max(0.0, min(1.0, (temperature - LEAST_WATER) / (full - LEAST_WATER)))
