"""Data of the pages of a crop, a customer and a place, and the overview: sums agree with the plan's rows."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, target
from plans import Batch, build
from samples import demand, small_farm, small_plan, task

from scheduler.farm.crops import StageKind
from scheduler.outputs.words import WORK, work_order
from scheduler.plan.rows import HoursRow
from scheduler.plan.views.agenda import agenda
from scheduler.plan.views.crop_page import crop_page
from scheduler.plan.views.customer_page import customer_names, customer_page
from scheduler.plan.views.lines import DAY_ORDER
from scheduler.plan.views.overview import overview, unfilled
from scheduler.plan.views.place_page import place_page

LOT = "LET-260302"


@pytest.fixture
def farm():
    return make_farm(
        demands=[delivery("Lettuce", 35, 7), delivery("Lettuce", 36, 9), target("Lettuce", 42, 4)],
    )


@pytest.fixture
def plan(farm):
    return build(farm, Batch(), fills=[("Lettuce 35", LOT, 34, 7), ("Lettuce 36", LOT, 34, 3)])


def test_a_crop_stands_where_its_plants_are_on_the_evening_of_the_day(farm, plan):
    def here(day):
        return [
            (each.place, each.item, each.units, each.plants, each.lots)
            for each in crop_page(farm, plan, "Lettuce", day).here
        ]

    assert here(9) == [("Shelf 1", "tray", 1, 12, (LOT,))]
    assert here(10) == [("Trough boards", "board", 1, 12, (LOT,))]
    assert here(33) == [("Trough 1", "raft", 2, 12, (LOT,))]
    assert here(34) == []


def test_a_crop_s_sowings_are_listed_until_they_are_sown(farm, plan):
    (sowing,) = crop_page(farm, plan, "Lettuce", 0).sowings
    assert (sowing.lot, sowing.cells, sowing.trays, sowing.heads) == (LOT, 12, 1, 12)
    assert (sowing.boards, sowing.rafts, sowing.cuts) == ((10,), (20,), (34,))
    assert crop_page(farm, plan, "Lettuce", 1).sowings == ()


def test_a_crop_s_heads_of_a_week_go_to_those_who_get_them_and_the_rest_to_nobody(farm, plan):
    (week,) = crop_page(farm, plan, "Lettuce", 0).weeks
    assert (week.monday, week.heads, week.takers, week.unsold) == (28, 12, (("Harbour Table", 10),), 2)
    assert crop_page(farm, plan, "Lettuce", 34).weeks == (week,)
    assert crop_page(farm, plan, "Lettuce", 35).weeks == ()


def test_customers_come_before_targets_and_a_target_goes_by_its_order(farm, plan):
    assert customer_names(plan) == ["Harbour Table", "Lettuce"]


def test_a_customer_s_deliveries_come_with_state_and_lots_from_the_day_on(farm, plan):
    page = customer_page(farm, plan, "Harbour Table", 0)
    assert page.states == {("firm", "filled"): 1, ("firm", "short"): 1}
    assert [(due.row.day, due.row.filled, due.row.state, due.lots) for due in page.due] == [
        (35, 7, "filled", ((LOT, 7),)),
        (36, 3, "short", ((LOT, 3),)),
    ]
    assert page.products == (("Lettuce", 10),)
    assert [due.row.day for due in customer_page(farm, plan, "Harbour Table", 36).due] == [36]


def test_the_week_of_a_target_is_due_until_its_last_day(farm, plan):
    assert customer_page(farm, plan, "Lettuce", 48).due
    assert not customer_page(farm, plan, "Lettuce", 49).due


def test_a_row_shows_what_stands_and_what_happens_in_order_of_the_day(farm):
    first = Batch(rows=5, boards=(12,), rafts=(6, 6), cuts=((34, 6),))
    second = Batch(sown=10, board_day=20, raft_day=34, cuts=((48, 6),))
    page = place_page(farm, build(farm, first, second), "Trough 1", 33, 20)
    assert [(standing.slot, standing.unit) for standing in page.place.standing] == [(1, "R1"), (2, "R2")]
    assert [
        (each.day, each.what, each.lot, each.units, each.plants, each.heads, each.slots)
        for each in page.coming
    ] == [
        (34, "cut", LOT, 2, 12, 12, (1, 2)),
        (34, "in", "LET-260312", 2, 12, 0, (1, 2)),
        (48, "cut", "LET-260312", 2, 12, 12, (1, 2)),
    ]
    assert page.last == 52


def test_a_row_tells_the_slot_a_raft_is_cut_in_after_those_ahead_have_left(farm):
    plan = build(farm, Batch(rafts=(6,)), Batch(sown=1, raft_day=21, rafts=(6,), cuts=((36, 6),)))
    page = place_page(farm, plan, "Trough 1", 30, 20)
    assert [(each.day, each.slots) for each in page.coming] == [(34, (1,)), (36, (1,))]
    assert [standing.slot for standing in page.place.standing] == [1, 2]


def test_a_shelf_tells_what_comes_in_and_goes_out(farm, plan):
    page = place_page(farm, plan, "Shelf 1", 0, 14)
    assert [(each.day, each.what, each.plants) for each in page.coming] == [(0, "in", 12), (10, "out", 12)]


def test_a_tray_that_changes_its_tier_goes_out_of_one_and_comes_into_the_other():
    farm = make_farm(tiers=2)
    plan = build(farm, Batch())
    (stand,) = [row for row in plan.positions if row.unit == "T1"]
    moved = (replace(stand, until=4), replace(stand, place="Shelf 2", slot=3, enters=4))
    plan = replace(plan, positions=(*(row for row in plan.positions if row.unit != "T1"), *moved))
    assert [
        (each.day, each.what, each.slots) for each in place_page(farm, plan, "Shelf 1", 1, 14).coming
    ] == [(4, "out", (1,))]
    assert [
        (each.day, each.what, each.slots) for each in place_page(farm, plan, "Shelf 2", 1, 14).coming
    ] == [
        (4, "in", (3,)),
        (10, "out", (3,)),
    ]


def test_rafts_found_growing_and_thrown_away_go_out():
    found = growing("Lettuce", StageKind.RAFT, -30, 6, 1)
    kept = growing("Lettuce", StageKind.RAFT, -10, 6, 1, lot="H", order=2)
    farm = make_farm(growing=[found, kept])
    plan = build(
        farm,
        Batch(found=found, cuts=(), emptied=2, discarded=6),
        Batch(found=kept, cuts=((5, 6),)),
    )
    page = place_page(farm, plan, "Trough 1", 0, 14)
    assert [(each.day, each.what, each.lot, each.plants) for each in page.coming] == [
        (2, "out", "G", 6),
        (5, "cut", "H", 6),
    ]


def test_nothing_past_the_last_reported_day_is_told():
    farm = make_farm(days=30, span=60, crops=[make_crop("Lettuce")])
    page = place_page(farm, build(farm, Batch()), "Trough 1", 25, 20)
    assert (page.last, page.coming) == (29, ())


def test_an_agenda_sums_each_kind_of_work_in_the_order_of_a_day():
    tasks = (
        task("d", 1, "deliver", lot="", crop="Leaf lettuce", units=0, plants=9, to="Inn"),
        task("a", 1, "sow", units=1, plants=40),
        task("b", 1, "sow", units=2, plants=60),
        task("c", 1, "sow", crop="Chard", units=0, plants=7),
    )
    hours = (
        HoursRow(day=1, work="sow", minutes=100, crew=None),
        HoursRow(day=1, work="cut", minutes=50, crew=None),
    )
    quiet, day = agenda(small_farm(), small_plan(tasks=tasks, hours=hours), 0, 1, work_order)
    assert (quiet.works, quiet.minutes) == ((), 0)
    assert [(work.work, work.units, work.plants, work.parts) for work in day.works] == [
        ("deliver", 0, 9, (("Leaf lettuce", "Inn", 9),)),
        ("sow", 3, 107, (("Butterhead", "", 100), ("Chard", "", 7))),
    ]
    assert day.minutes == 150


def test_an_agenda_ends_with_the_last_reported_day():
    assert [day.day for day in agenda(small_farm(), small_plan(), 26, 40, work_order)] == [26, 27]


def test_the_overview_names_all_and_counts_only_what_is_reported():
    rows = (
        demand("a", 1),
        demand("b", 2, state="short", filled=0, customer="Inn"),
        demand("c", 40, reported=False, customer="Late"),
    )
    found = overview(small_farm(), small_plan(demands=rows, tasks=(task("t", 3, "sow"),)), 1)
    assert found.deliveries == {("firm", "filled"): 1, ("firm", "short"): 1}
    assert found.customers == ("Harbour Table", "Inn")
    assert found.next_work_day == 3
    assert overview(small_farm(), small_plan(), 1).next_work_day is None


def test_what_is_not_filled_is_sorted_firm_first_then_by_day():
    rows = (
        demand("a", 1, state="short", firm=False),
        demand("b", 9, state="short"),
        demand("c", 5, state="short"),
        demand("d", 2, state="too early"),
        demand("e", 3),
    )
    found = unfilled(small_plan(demands=rows))
    assert [row.demand for row in found["short"]] == ["c", "b", "a"]
    assert [row.demand for row in found["too early"]] == ["d"]
    assert found["out of reach"] == []


def test_a_day_s_work_stands_in_the_order_of_the_week_sheets():
    """What leaves a place goes before what comes into it: cut, then rafts, then boards, then seed."""
    order = sorted(WORK, key=work_order)
    assert order == [work for work in DAY_ORDER if work in WORK]
    assert [work for work in order if work in ("sow", "transplant", "raft", "cut")] == [
        "cut",
        "raft",
        "transplant",
        "sow",
    ]
