"""The fullest day of places by week: largest share first, weeks cut off at the ends, only reported days."""

from farms import EVER, make_farm
from plans import Batch, build

from scheduler.farm.places import PlaceKind
from scheduler.plan.views.fullest import (
    Full,
    fullest,
    kind_season,
    kind_weeks,
    place_weeks,
    week_of,
    week_spans,
    weeks_full,
)
from scheduler.plan.views.season import season
from scheduler.plan.views.weeks import weeks
from scheduler.plan.views.weeks_total import weeks_total


def test_weeks_run_from_monday_to_sunday_and_are_cut_off_at_both_ends():
    farm = make_farm(days=17)
    assert week_spans(farm) == ((0, 6), (7, 13), (14, 16))
    thursday = make_farm(first_day=farm.date_of(3), days=12)
    assert week_spans(thursday) == ((0, 3), (4, 10), (11, 11))
    assert [week_of(thursday, day) for day in (0, 3, 4, 10, 11)] == [0, 0, 1, 1, 2]


def test_weeks_begin_today_in_every_view():
    farm = make_farm(days=35, today=9)
    plan = build(farm, Batch())
    spans = ((9, 13), (14, 20), (21, 27), (28, 34))
    assert week_spans(farm) == spans
    assert [week_of(farm, day) for day in (0, 9, 13, 14, 34)] == [0, 0, 0, 1, 3]
    assert tuple((week.first, week.last) for week in weeks(farm, plan)) == spans
    assert tuple((week.first, week.last) for week in season(farm, plan).weeks) == spans
    assert {(week.first, week.last) for week in weeks_total(farm, plan)} <= set(spans)
    assert all(week.day >= 9 for of in place_weeks(farm, plan).values() for week in of if week)
    assert sum(week.cells + week.trays for week in weeks(farm, plan)) == 0, "done before today"
    assert sum(week.rafts for week in weeks(farm, plan)) == 2


def test_a_day_outside_the_plan_counts_to_the_nearest_week():
    farm = make_farm(days=17)
    assert [week_of(farm, day) for day in (-9, 99)] == [0, 2]


def test_the_fullest_day_has_the_largest_share_then_the_most_then_is_the_earliest():
    assert fullest([(0, 4, 8), (1, 3, 4)]) == Full(day=1, used=3, there=4)
    assert fullest([(0, 2, 4), (1, 4, 8)]) == Full(day=1, used=4, there=8)
    assert fullest([(5, 2, 4), (3, 2, 4)]) == Full(day=3, used=2, there=4)
    assert fullest([]) is None


def test_a_closed_place_is_not_full_and_an_open_empty_day_comes_before_a_closed_one():
    assert fullest([(0, 0, 0), (1, 0, 6)]) == Full(day=1, used=0, there=6)
    closed = fullest([(1, 0, 0), (0, 0, 0)])
    assert closed == Full(day=0, used=0, there=0)
    assert not closed.full
    assert closed.share == 0
    assert not Full(day=0, used=5, there=6).full
    assert Full(day=0, used=6, there=6).full


def test_each_place_has_its_fullest_day_of_each_week_reported_days_only():
    farm = make_farm(days=31, span=60)
    weeks = place_weeks(farm, build(farm, Batch()))
    assert list(weeks) == ["Shelf 1", "Trough boards", "Trough 1"]
    # two rafts stand in the row from day 20, a Sunday, to day 33
    assert [week.used for week in weeks["Trough 1"]] == [0, 0, 2, 2, 2]
    assert [week.day for week in weeks["Trough 1"]] == [0, 7, 20, 21, 28]
    assert weeks_full(weeks["Trough 1"]) == 0


def test_weeks_without_a_free_slot_are_counted():
    farm = make_farm(days=31, lane_slots=((EVER, 2), (28, 1)), span=60)
    weeks = place_weeks(farm, build(farm, Batch()))
    assert weeks_full([*weeks["Trough 1"], None]) == 3


def test_a_week_without_rows_is_not_known():
    farm = make_farm(days=14)
    plan = build(farm, Batch())
    empty = type(plan)(**{name: getattr(plan, name) for name in plan.__slots__} | {"use": ()})
    assert place_weeks(farm, empty)["Trough 1"] == (None, None)
    assert kind_weeks(farm, empty)[PlaceKind.LANE] == (None, None)
    assert kind_season(farm, empty) == {}


def test_places_of_one_kind_are_added_up_and_kinds_without_places_left_out():
    farm = make_farm(lanes=2, zones=0, days=28)
    batches = [Batch(board_day=None, raft_day=13, lane=lane) for lane in ("Trough 1", "Trough 2")]
    plan = build(farm, *batches)
    weeks = kind_weeks(farm, plan)
    assert list(weeks) == [PlaceKind.TIER, PlaceKind.LANE]
    assert [(week.used, week.there) for week in weeks[PlaceKind.LANE]] == [(0, 12), (4, 12), (4, 12), (4, 12)]
    assert kind_season(farm, plan)[PlaceKind.LANE] == Full(day=13, used=4, there=12)
