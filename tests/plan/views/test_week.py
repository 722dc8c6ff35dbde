"""The work sheets: which weeks and days they have, in which order work stands, and what a day adds up to."""

from dataclasses import replace

import pytest
from farms import EVER, delivery, make_crop, make_farm, target
from plans import Batch, build
from reports import lines_of

from scheduler.farm.calendar import Work
from scheduler.plan.rows import Plan
from scheduler.plan.views.lines import DAY_ORDER
from scheduler.plan.views.week import week_sheets

MONDAY, THURSDAY = 0, 3


def sheet_of(farm, *batches, day, fills=()):
    """Return one day of the sheets of a plan."""
    weeks = week_sheets(farm, build(farm, *batches, fills=fills))
    return next(each for week in weeks for each in week.days if each.day == day)


def test_a_sheet_has_the_days_of_one_calendar_week_and_the_last_ends_with_the_plan():
    farm = make_farm(days=17)
    weeks = week_sheets(farm, build(farm))
    assert [(week.number, week.first, week.last, len(week.days)) for week in weeks] == [
        (1, 0, 6, 7),
        (2, 7, 13, 7),
        (3, 14, 16, 3),
    ]


def test_the_first_sheet_begins_today_and_weeks_keep_their_numbers():
    farm = make_farm(days=28, today=9)
    weeks = week_sheets(farm, build(farm))
    assert [(week.number, week.first, week.last) for week in weeks] == [(2, 9, 13), (3, 14, 20), (4, 21, 27)]


def test_a_plan_that_begins_in_the_middle_of_a_week_has_a_short_first_sheet():
    farm = make_farm(days=14)
    farm = replace(farm, calendar=replace(farm.calendar, first_day=farm.date_of(THURSDAY)))
    weeks = week_sheets(farm, build(farm))
    assert [(week.number, week.first, week.last) for week in weeks] == [(1, 0, 3), (2, 4, 10), (3, 11, 13)]


def test_an_empty_plan_has_its_days_and_nothing_to_do():
    farm = make_farm(days=7)
    (week,) = week_sheets(farm, build(farm))
    assert [day.work for day in week.days] == [{}] * 7
    assert week.minutes == {}
    assert week.deliveries == ()


def test_what_leaves_a_place_stands_before_what_comes_into_it():
    farm = make_farm(lane_slots=2, wash_days=1)
    first = Batch(board_day=10, raft_day=20, cuts=((34, 6),))
    second = Batch(sown=24, board_day=20 + 14, raft_day=44, cuts=((58, 6),))
    third = Batch(sown=14, board_day=24, raft_day=34, cuts=((48, 6),))
    fourth = Batch(sown=34, board_day=44, raft_day=54, cuts=((68, 6),))
    day = sheet_of(farm, first, second, third, fourth, day=34)
    assert list(day.work) == ["cut", "out", "raft", "transplant", "sow", "wash"]
    assert [DAY_ORDER.index(work) for work in day.work] == sorted(DAY_ORDER.index(work) for work in day.work)


def test_lines_of_a_kind_stand_in_the_order_of_their_places():
    farm = make_farm(lanes=3)
    there = [Batch(lane=f"Trough {lane}", sown=sown) for sown, lane in ((0, 3), (1, 1), (2, 2))]
    moved = [replace(batch, board_day=12, raft_day=22, cuts=((36, 6),)) for batch in there]
    day = sheet_of(farm, *moved, day=36)
    assert [line.row.place for line in day.work["cut"]] == ["Trough 1", "Trough 2", "Trough 3"]


def test_a_tray_that_two_lots_share_is_counted_once():
    basil = make_crop("Basil")
    farm = make_farm(crops=[make_crop("Lettuce"), basil])
    plan = build(farm, Batch(rows=3), Batch(crop="Basil", rows=2))
    shared = replace(
        plan,
        contents=tuple(replace(row, unit="T1") if row.unit == "T2" else row for row in plan.contents),
        units=tuple(row for row in plan.units if row.unit != "T2"),
        positions=tuple(row for row in plan.positions if row.unit != "T2"),
    )
    day = week_sheets(farm, shared)[0].days[0]
    assert [line.units for line in day.work["sow"]] == [1, 0]
    assert day.amounts("sow").units == 1
    assert day.amounts("sow").plants == 20


def test_the_week_adds_up_its_days():
    crop = make_crop("Lettuce", minutes={"cut": 100, "board": 1200})
    farm = make_farm(crops=[crop], crew=60_00)
    first = Batch(board_day=10, raft_day=19, cuts=((33, 6),))
    second = Batch(sown=1, board_day=11, raft_day=20, rafts=(6,), cuts=((34, 6),))
    weeks = week_sheets(farm, build(farm, first, second))
    assert weeks[1].minutes == {"transplant": 2400}
    assert weeks[4].minutes == {"cut": 1800}
    assert [(day.total, day.crew) for day in weeks[4].days[-2:]] == [(1200, 60_00), (600, 60_00)]
    assert (weeks[4].amounts("cut").units, weeks[4].amounts("cut").plants) == (3, 18)


def test_deliveries_of_a_week_are_sorted_by_customer_and_those_that_are_short_are_among_them():
    demands = [
        delivery("Lettuce", 33, 6, customer="The Salted Pear"),
        delivery("Lettuce", 34, 6, customer="Harbour Table"),
        delivery("Lettuce", 32, 6, customer="Harbour Table"),
        target("Lettuce", 28, 2, order="Market"),
        delivery("Lettuce", 41, 6, customer="Harbour Table"),
        delivery("Lettuce", 31, 6, customer="Harbour Table", reported=False),
    ]
    farm = make_farm(days=60, demands=demands)
    fills = [("Lettuce 34", "LET-260302", 34, 6), ("Lettuce 28", "LET-260302", 34, 2)]
    week = week_sheets(farm, build(farm, Batch(), fills=fills))[4]
    assert [(each.customer, each.day, each.filled) for each in week.deliveries] == [
        ("Harbour Table", 32, 0),
        ("Harbour Table", 34, 6),
        ("The Salted Pear", 33, 0),
    ]
    assert [(each.order, each.filled, each.amount) for each in week.targets] == [("Market", 2, 2)]


def test_only_deliveries_that_hold_something_are_to_be_made():
    farm = make_farm(days=60, demands=[delivery("Lettuce", 34, 6), delivery("Lettuce", 35, 6)])
    plan = build(farm, Batch(), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    weeks = week_sheets(farm, plan)
    assert [line.demand for _, work, line in lines_of(weeks) if work == "deliver"] == ["Lettuce 34"]


def test_a_closed_day_says_which_work_is_closed_where_it_would_have_been_done():
    farm = make_farm(
        days=14, work_days={Work.SOW: [MONDAY], Work.RAFT: [THURSDAY]}, closed={w: [7] for w in Work}
    )
    weeks = week_sheets(farm, build(farm))
    assert weeks[1].days[0].closed == (Work.SOW, Work.TRANSPLANT, Work.HARVEST)
    assert weeks[1].days[1].closed == ()


@pytest.mark.parametrize(
    ("day", "troughs", "shelves"),
    [(0, (), ("Shelf",)), (10, ("Trough",), ()), (20, ("Trough",), ()), (34, ("Trough",), ()), (12, (), ())],
)
def test_a_day_names_the_troughs_and_shelves_it_changes(day, troughs, shelves):
    farm = make_farm(wash_days=1)
    found = sheet_of(farm, Batch(), day=day)
    assert (found.troughs, found.shelves) == (troughs, shelves)


def test_places_that_closed_before_do_not_hide_what_stands_in_them():
    farm = make_farm(lane_slots=((EVER, 6), (30, 0)))
    day = sheet_of(farm, Batch(), day=34)
    assert day.work["cut"][0].row.slots == (1, 2)


def test_units_without_a_place_are_left_out_rather_than_stopping_the_sheets():
    farm = make_farm()
    plan: Plan = build(farm, Batch())
    homeless = replace(plan, positions=())
    works = {work for _, work, _ in lines_of(week_sheets(farm, homeless))}
    assert works == {"sow", "transplant"}
