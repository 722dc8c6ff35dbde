"""Days on which a stage may end: those of one pace, and everything between the fastest and the slowest."""

import pytest
from farms import make_farm

from scheduler.model.bounds.growth import Growth

LAST = 120
PACES = {"Shelf": 700, "Trough": 1300}


@pytest.mark.parametrize("owner", list(PACES))
@pytest.mark.parametrize(("start", "days", "wait"), [(0, 10, 3), (7, 1, 0), (30, 25, 9)])
def test_with_one_pace_they_are_the_days_of_that_pace(owner, start, days, wait):
    farm = make_farm(pace=PACES)
    window = Growth(farm, [owner], LAST).window(start, days, wait)
    first = farm.pace.first_day_reached(owner, start, days)
    assert window == (first, farm.pace.last_day_within(owner, start, days + wait))


def test_between_two_places_the_fastest_says_when_first_and_the_slowest_when_last():
    farm = make_farm(pace=PACES)
    first, last = Growth(farm, PACES, LAST).window(4, 13, 1)
    assert first == farm.pace.first_day_reached("Trough", 4, 13)
    assert last == farm.pace.last_day_within("Shelf", 4, 14)


def test_what_grew_before_counts():
    farm = make_farm()
    assert Growth(farm, ["Shelf"], LAST).window(0, 10, 3, grown=4_000) == (6, 9)
    assert Growth(farm, ["Shelf"], LAST).window(0, 10, 3, grown=12_000) == (0, 1)


def test_what_has_grown_too_long_has_no_day_left():
    first, last = Growth(make_farm(), ["Shelf"], LAST).window(0, 10, 3, grown=14_000)
    assert last < first


def test_without_any_place_there_is_no_day():
    first, _ = Growth(make_farm(), [], LAST).window(0, 10, 3)
    assert first > LAST
