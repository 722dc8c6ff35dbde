"""Frames: what stands on a day, when a cut serves, and a cycle that repeats for ever."""

from farms import delivery, make_farm, target
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.model.options.frame import Frame, Wish, season, wish_of

some = settings(max_examples=200, deadline=None, derandomize=True)


def cycle(start, period, wishes=()):
    return Frame(farm=make_farm(), wishes=tuple(wishes), start=start, end=start + 60, period=period)


def wish(first, last, age):
    return Wish(name="W", product="Lettuce", first=first, last=last, amount=5, age=age, weight=1, level=1)


@some
@given(st.integers(-30, 60), st.integers(0, 50), st.integers(0, 40))
def test_in_a_season_a_stay_stands_once_from_its_day_through_the_day_before_it_leaves(enters, stay, day):
    frame = season(make_farm())
    assert frame.copies(enters, enters + stay, day) == (day in range(enters, enters + stay))


@some
@given(st.integers(0, 30), st.integers(1, 28), st.integers(-30, 60), st.integers(0, 80), st.integers(0, 27))
def test_in_a_cycle_a_stay_stands_as_often_as_counting_all_its_repetitions_gives(
    start, period, enters, stay, ahead
):
    frame, day = cycle(start, period), start + ahead % period
    shifts = range(-200 * period, 201 * period, period)
    assert frame.copies(enters, enters + stay, day) == sum(
        enters + shift <= day < enters + stay + shift for shift in shifts
    )


@some
@given(st.integers(0, 30), st.integers(1, 28), st.integers(-99, 99))
def test_a_day_folds_onto_the_day_of_the_cycle_that_is_whole_periods_away(start, period, day):
    folded = cycle(start, period).fold(day)
    assert start <= folded < start + period
    assert (folded - day) % period == 0
    assert season(make_farm()).fold(day) == day


@some
@given(st.integers(0, 20), st.integers(0, 6), st.integers(0, 5), st.integers(0, 40))
def test_a_cut_serves_a_wish_from_its_greatest_age_before_through_its_last_day(first, length, age, cut):
    asked = wish(first, first + length, age)
    assert season(make_farm()).serves(cut, asked) == (first - age <= cut <= first + length)


@some
@given(st.integers(7, 20), st.integers(0, 6), st.integers(0, 5), st.integers(0, 40))
def test_in_a_cycle_a_cut_serves_when_any_repetition_of_it_does(first, length, age, cut):
    asked = wish(first, first + length, age)
    serves = any(first - age <= cut + 7 * n <= first + length for n in range(-12, 12))
    assert cycle(7, 7).serves(cut, asked) == serves


@some
@given(
    st.lists(st.tuples(st.integers(0, 30), st.integers(1, 20)), max_size=5),
    st.lists(st.tuples(st.integers(0, 40), st.integers(0, 9)), max_size=4),
)
def test_between_the_days_that_are_checked_nothing_grows_tighter(stays, changes):
    frame = season(make_farm(days=40))
    checked = set(frame.check_days({start for start, _ in stays}, {day for day, _ in changes}))
    limit = lambda day: next((n for start, n in sorted(changes, reverse=True) if start <= day), 9)  # noqa: E731
    tight = [
        day
        for day in range(frame.start, frame.end + 1)
        if sum(start <= day < start + stay for start, stay in stays) > limit(day)
    ]
    assert bool(tight) == any(day in checked for day in tight)


def test_useful_days_are_those_on_which_some_wish_of_the_crop_is_served():
    farm = make_farm(
        days=30,
        products={"Mix": {"Lettuce": 1000}},
        demands=[delivery("Mix", 9, 3, max_age=2), target("Lettuce", 14, 5)],
    )
    assert season(farm).useful_days() == {"Lettuce": frozenset({7, 8, 9, *range(14, 21)})}


def test_in_a_cycle_useful_days_repeat():
    frame = cycle(14, 7, [wish(16, 16, 1)])
    assert {day for day in frame.useful_days()["Lettuce"] if day < 35} == {15, 16, 22, 23, 29, 30}


def test_one_rank_of_priority_outweighs_ten_times_the_price():
    weights = [delivery("Lettuce", 9, 1, price=200, priority=rank).weight for rank in (1, 2, 3, 4, 5)]
    assert weights == [2_000_000, 200_000, 20_000, 2_000, 200]
    assert delivery("Lettuce", 9, 1, price=0, priority=5).weight == 1


def test_firm_demand_is_level_1_and_the_rest_level_2():
    assert wish_of(delivery("Lettuce", 9, 1)).level == 1
    assert wish_of(delivery("Lettuce", 9, 1, firm=False)).level == 2
    assert wish_of(target("Lettuce", 7, 1)).level == 2


def test_demand_past_the_last_reported_day_is_planned_for_as_well():
    farm = make_farm(
        days=30, span=60, demands=[delivery("Lettuce", 45, 5, reported=False), delivery("Lettuce", 20, 0)]
    )
    frame = season(farm)
    assert [wish.name for wish in frame.wishes] == ["Lettuce 45"]
    assert frame.end >= 60
