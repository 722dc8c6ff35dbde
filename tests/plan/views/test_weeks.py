"""Sums by week: they add up to the plan's own rows, and only what is reported counts."""

from dataclasses import replace

from farms import delivery, growing, make_crop, make_farm, target
from plans import Batch, build
from samples import demand, small_farm, small_plan

from scheduler.farm.crops import StageKind
from scheduler.farm.places import PlaceKind
from scheduler.plan.views.weeks import weeks


def test_units_sown_set_out_and_cut_count_in_the_week_they_are_done():
    farm = make_farm(days=35)
    found = weeks(farm, build(farm, Batch()))
    assert [(week.first, week.last) for week in found] == [(0, 6), (7, 13), (14, 20), (21, 27), (28, 34)]
    assert [week.cells for week in found] == [12, 0, 0, 0, 0]
    assert [week.trays for week in found] == [1, 0, 0, 0, 0]
    assert [week.boards for week in found] == [0, 1, 0, 0, 0]
    assert [week.rafts for week in found] == [0, 0, 2, 0, 0]
    assert [week.heads for week in found] == [0, 0, 0, 0, 12]


def test_what_grows_when_the_plan_begins_is_not_set_out_again():
    found = growing("Lettuce", StageKind.RAFT, since=0, plants=12, units=2)
    farm = make_farm(days=28, growing=[found])
    plan = build(farm, Batch(found=found, cuts=((14, 6),), rafts=(6, 6)))
    assert sum(week.rafts for week in weeks(farm, plan)) == 0
    assert sum(week.heads for week in weeks(farm, plan)) == 12


def test_what_lies_past_the_last_reported_day_does_not_count():
    farm = make_farm(days=28, span=60)
    found = weeks(farm, build(farm, Batch()))
    assert len(found) == 4
    assert sum(week.heads for week in found) == 0
    assert sum(week.rafts for week in found) == 2


def test_what_is_ordered_is_filled_short_or_out_of_reach():
    rows = (
        demand("a", 1, amount=10, filled=10),
        demand("b", 2, amount=10, filled=4, state="short"),
        demand("c", 3, amount=10, filled=1, state="too early"),
        demand("d", 4, amount=10, filled=0, state="out of reach"),
        demand("e", 8, amount=5, filled=5, target=True, firm=False, last=14),
        demand("f", 9, amount=99, filled=0, state="short", reported=False),
    )
    first, second, *_ = weeks(small_farm(), small_plan(demands=rows))
    assert (first.deliveries, first.complete) == (4, 1)
    assert (first.ordered, first.filled, first.short, first.unreachable) == (40, 15, 6, 19)
    assert (second.ordered, second.filled, second.short) == (5, 5, 0)


def test_a_delivery_that_gets_more_than_was_asked_for_is_not_short_by_less_than_nothing():
    assert demand("a", 1, amount=10, filled=12).missing == 0


def test_sums_of_all_weeks_are_those_of_the_rows():
    wanted = [delivery("Lettuce", 35, 8), target("Lettuce", 28, 9)]
    crop = make_crop("Lettuce", minutes={"sow": 500, "board": 300, "raft": 300, "cut": 40})
    farm = make_farm(days=70, crops=[crop], demands=wanted)
    plan = build(farm, Batch(), fills=[("Lettuce 35", "LET-260302", 34, 8)])
    found = weeks(farm, plan)
    assert sum(week.minutes for week in found) == sum(row.minutes for row in plan.hours) > 0
    assert sum(week.ordered for week in found) == sum(row.amount for row in plan.demands) == 17
    assert sum(week.filled for week in found) == sum(row.filled for row in plan.demands)


def test_the_crew_has_hours_only_from_today_on():
    farm = make_farm(days=14, crew=60_00, today=5)
    assert [week.crew for week in weeks(farm, build(farm))] == [2 * 60_00, 7 * 60_00]
    assert weeks(make_farm(days=7), build(make_farm(days=7)))[0].crew is None


def test_use_is_given_for_each_kind_of_place_the_farm_has():
    farm = make_farm(days=28, zones=0)
    (*_, last) = weeks(farm, build(farm, Batch(board_day=None)))
    assert list(last.use) == [PlaceKind.TIER, PlaceKind.LANE]
    assert last.use[PlaceKind.LANE].used == 2


def test_a_unit_of_a_kind_nobody_knows_is_left_out():
    plan = small_plan()
    odd = replace(plan, units=(*plan.units, replace(plan.units[0], unit="X", item="crate")))
    assert weeks(small_farm(), odd) == weeks(small_farm(), plan)
