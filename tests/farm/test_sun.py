"""The sun at the ends of the earth and of the year."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.farm.growth import light, sun

MIDSUMMER, MIDWINTER = sun.day_of_year(6, 21), sun.day_of_year(12, 21)


def test_days_are_numbered_as_in_a_year_of_365_days():
    assert (sun.day_of_year(1, 1), sun.day_of_year(2, 28), sun.day_of_year(3, 1)) == (1, 59, 60)
    assert sun.day_of_year(12, 31) == 365


def test_a_leap_day_is_taken_for_the_day_before_it():
    assert sun.day_of_year(2, 29) == sun.day_of_year(2, 28)


@pytest.mark.parametrize("latitude", [67, 70, 80, 90])
def test_beyond_the_polar_circle_there_is_a_night_without_sun_and_a_day_without_end(latitude):
    assert sun.daylight_hours(latitude, MIDWINTER) == 0
    assert sun.radiation_above_air(latitude, MIDWINTER) == 0
    assert sun.daylight_hours(latitude, MIDSUMMER) == 24
    assert sun.radiation_above_air(latitude, MIDSUMMER) > 40
    assert sun.daylight_hours(-latitude, MIDSUMMER) == 0
    assert sun.daylight_hours(-latitude, MIDWINTER) == 24


def test_this_side_of_the_polar_circle_the_sun_rises_every_day():
    assert min(sun.daylight_hours(65, number) for number in range(1, 366)) > 0


@pytest.mark.parametrize("latitude", [-90.1, 91, math.nan])
def test_a_latitude_off_the_globe_is_refused(latitude):
    with pytest.raises(ValueError, match="between -90 and 90"):
        sun.sunset_angle(latitude, 1)


@settings(deadline=None)
@given(latitude=st.floats(-90, 90), number=st.integers(1, 365))
def test_north_and_south_share_the_24_hours_of_a_day(latitude, number):
    there = sun.daylight_hours(latitude, number)
    assert 0 <= there <= 24
    assert math.isclose(there + sun.daylight_hours(-latitude, number), 24, abs_tol=1e-9)


@settings(deadline=None)
@given(latitude=st.floats(-90, 90), number=st.integers(1, 365))
def test_radiation_is_never_negative_and_never_above_what_a_day_of_full_sun_overhead_gives(latitude, number):
    most = sun.SOLAR_CONSTANT * sun.MINUTES_PER_DAY * sun.sun_distance(number)
    assert 0 <= sun.radiation_above_air(latitude, number) <= most


def test_the_south_has_its_summer_in_december():
    assert sun.radiation_above_air(-34, MIDWINTER) > 2 * sun.radiation_above_air(-34, MIDSUMMER)


def test_the_year_turns_without_a_jump():
    for of in (sun.daylight_hours, sun.radiation_above_air):
        last, first = of(52.0, 365), of(52.0, 1)
        steps = [abs(of(52.0, number + 1) - of(52.0, number)) for number in range(1, 365)]
        assert abs(last - first) <= max(steps)


def test_pace_goes_in_step_with_light_up_to_1():
    assert [light.pace_of_light(at, 16) for at in (0, 4, 16, 40)] == [0, 0.25, 1, 1]


def test_pace_goes_in_step_with_degrees_above_4_up_to_1():
    assert [light.pace_of_water(at, 18) for at in (-1, 4, 11, 18, 30)] == [0, 0, 0.5, 1, 1]
