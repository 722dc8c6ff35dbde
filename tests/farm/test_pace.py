"""Pace: which figure counts on a day, and the days on which a stage is over."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.farm.growth.pace import Pace, half_month

FIRST = date(2026, 3, 2)
HALVES = tuple(range(500, 980, 20))
"""500 in the first half of January, 960 in the second half of December; 580 and 600 in March."""


def pace_of(**changes):
    return replace(Pace(first_day=FIRST, months={}, halves={"Trough": HALVES}), **changes)


@pytest.mark.parametrize(
    ("when", "half"),
    [
        (date(2026, 1, 1), 0),
        (date(2026, 1, 15), 0),
        (date(2026, 1, 16), 1),
        (date(2028, 2, 15), 2),
        (date(2028, 2, 29), 3),
        (date(2026, 12, 31), 23),
    ],
)
def test_the_first_half_of_a_month_ends_with_the_15th(when, half):
    assert half_month(when) == half


def test_what_is_worked_out_changes_twice_a_month():
    pace = pace_of()
    assert [pace.on("Trough", day) for day in (0, 13, 14, 29, 30)] == [580, 580, 600, 600, 620]
    assert pace.on("Shelf", 0) == 1000


def test_it_turns_with_the_year_and_goes_back_before_the_first_day():
    pace = pace_of(first_day=date(2026, 12, 31))
    assert [pace.on("Trough", day) for day in (-16, -15, 0, 1, 366)] == [940, 960, 960, 500, 500]


def test_a_leap_day_belongs_to_the_second_half_of_february():
    pace = pace_of(first_day=date(2028, 2, 28))
    assert [pace.on("Trough", day) for day in (0, 1, 2)] == [560, 560, 580]


def test_a_month_without_a_figure_of_any_kind_grows_at_the_card_s_days():
    pace = pace_of(halves={"Trough": (None,) * 4 + HALVES[4:]})
    assert (pace.on("Trough", -2), pace.on("Trough", -1)) == (1000, 580)


def test_a_pace_given_in_the_book_goes_before_one_worked_out_own_or_general_and_may_pass_1():
    assert pace_of(months={"Trough": {3: 1500}}).on("Trough", 0) == 1500
    assert pace_of(months={"": {3: 700}}).on("Trough", 0) == 700
    assert pace_of(months={"Trough": {3: 1500}, "": {3: 700}}).on("Trough", 0) == 1500
    assert pace_of(months={"Trough": {4: 1500}}).on("Trough", 0) == 580


def test_a_pace_of_days_on_which_something_was_read_goes_before_the_half_month_s():
    pace = pace_of(read={"Trough": {1: 400}})
    assert [pace.on("Trough", day) for day in (0, 1, 2)] == [580, 400, 580]
    assert replace(pace, months={"": {3: 700}}).on("Trough", 1) == 700


def test_the_slowest_pace_is_that_of_any_place_at_any_time_but_never_above_1():
    assert pace_of().slowest() == 500
    assert pace_of(read={"Trough": {1: 400}}).slowest() == 400
    assert pace_of(months={"Shelf": {1: 300}}).slowest() == 300
    assert Pace(first_day=FIRST, months={"": {1: 1500}}).slowest() == 1000
    assert Pace(first_day=FIRST, months={}).slowest() == 1000


def test_places_of_equal_pace_have_equal_signatures_and_others_have_not():
    pace = pace_of(halves={"A": HALVES, "B": HALVES, "C": HALVES[1:] + HALVES[:1]})
    assert pace.signature("A") == pace.signature("B") != pace.signature("C")
    assert pace.signature("D") == (1000,) * 24
    assert replace(pace, read={"B": {1: 400}}).signature("B") != pace.signature("A")
    assert replace(pace, months={"": dict.fromkeys(range(1, 13), 900)}).signature("C") == (900,) * 24


PACES = st.integers(50, 3000)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    halves=st.tuples(*[PACES] * 24),
    read=st.dictionaries(st.integers(-30, 60), PACES, max_size=5),
    asked=st.lists(st.tuples(st.integers(-900, 900), st.integers(0, 120)), min_size=1, max_size=4),
)
def test_a_stage_is_over_on_the_first_day_on_which_daily_paces_add_up_to_its_days(halves, read, asked):
    pace = Pace(first_day=FIRST, months={}, halves={"Trough": halves}, read={"Trough": read})
    for start, days in asked:
        first = pace.first_day_reached("Trough", start, days)
        last = pace.last_day_within("Trough", start, days)
        assert pace.grown("Trough", start, first) >= days * 1000
        assert first == start or pace.grown("Trough", start, first - 1) < days * 1000
        assert pace.grown("Trough", start, last) <= days * 1000 < pace.grown("Trough", start, last + 1)
        latest = pace.latest_start("Trough", start, days)
        assert pace.grown("Trough", latest, start) >= days * 1000
        assert latest == start or pace.grown("Trough", latest + 1, start) < days * 1000
