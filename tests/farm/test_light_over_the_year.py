"""Pace from light where the year is hardest: the south, the polar night, a year's turn, a leap day."""

from datetime import date

import pytest
from helpers import farm_of

LIGHT = "place,cover_percent,lamp_light\nNorth trough,60,\n"
ORDERS = "order,customer,product,amount,weekdays,to\nR1,Inn,Butterhead head,1,Tue,2199-12-31\n"


def paces(folder, latitude, first_day, weeks, light=LIGHT):
    """Return date -> pace of the trough in thousandths."""
    settings = {"latitude": str(latitude), "first_day": first_day, "weeks": str(weeks)}
    farm = farm_of(folder, settings, light=light, orders=ORDERS)
    return {farm.date_of(day): farm.pace.on("North trough", day) for day in range(farm.calendar.days)}


@pytest.mark.parametrize("latitude", [34, 52, 60])
def test_the_south_is_slow_in_june_and_the_north_in_december(tmp_path, latitude):
    north, south = (paces(tmp_path, sign * latitude, "2026-01-05", 51) for sign in (1, -1))
    june, december = date(2026, 6, 20), date(2026, 12, 20)
    assert north[december] == min(north.values()) < 1000
    assert south[june] == min(south.values()) < 1000
    assert north[june] == south[december] == 1000


@pytest.mark.parametrize(("latitude", "dark"), [(78, date(2026, 12, 21)), (-78, date(2026, 6, 21))])
def test_the_polar_night_has_the_least_pace_and_lamps_lift_it(tmp_path, latitude, dark):
    night = paces(tmp_path, latitude, "2026-01-05", 51)
    assert night[dark] == min(night.values()) == 50
    lamps = paces(
        tmp_path, latitude, "2026-01-05", 51, light="place,cover_percent,lamp_light\nNorth trough,60,8.5\n"
    )
    assert lamps[dark] == 500


def test_pace_goes_on_over_the_turn_of_a_year_and_is_that_of_the_year_before(tmp_path):
    found = paces(tmp_path, 52, "2026-12-21", 60)
    assert found[date(2026, 12, 31)] == found[date(2027, 12, 31)]
    assert found[date(2027, 1, 1)] == found[date(2028, 1, 1)]
    assert abs(found[date(2026, 12, 31)] - found[date(2027, 1, 1)]) <= 30


def test_a_leap_day_has_the_pace_of_the_days_beside_it(tmp_path):
    found = paces(tmp_path, 52, "2028-02-21", 4)
    assert found[date(2028, 2, 28)] == found[date(2028, 2, 29)]
    assert len(found) == 28


@pytest.mark.parametrize("zone", ["America/New_York", "Europe/Berlin", "Australia/Sydney"])
def test_clocks_that_change_leave_pace_alone(tmp_path, monkeypatch, zone):
    before = paces(tmp_path, 40, "2026-03-02", 8)
    monkeypatch.setenv("TZ", zone)
    assert paces(tmp_path, 40, "2026-03-02", 8) == before
