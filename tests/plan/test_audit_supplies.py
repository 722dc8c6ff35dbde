"""Bookkeeping of supplies: stock never runs out, and every order is the one that is due."""

from dataclasses import fields, replace

import pytest
from farms import delivery, make_crop, make_farm, target
from hypothesis import given, settings
from hypothesis import strategies as st
from plans import Batch, build, drop, edit
from samples import any_plan

from scheduler.farm.supplies import Supply
from scheduler.plan.audit import audit
from scheduler.plan.rows import SupplyRow
from scheduler.plan.supplies import supply_rows

SEED = Supply(
    item="Seed",
    kind="seed",
    crop="Lettuce",
    in_stock=15,
    pack_size=10,
    lead_days=3,
    price=500,
    order_days=frozenset({0, 3}),
)
BAG = Supply(
    item="Bag", kind="packaging", products=("Lettuce",), pack_size=4, least_packs=2, lead_days=2, spare=2000
)
FARM = replace(
    make_farm(demands=[delivery("Lettuce", 35, 12), target("Lettuce", 49, 12)], lane_slots=12),
    supplies=(SEED, BAG),
)
"""Two lots of 12 seeds, sown on days 0 and 14: the second needs 9 seeds more than there are."""

FIRST, SECOND = "LET-260302", "LET-260316"
LATER = Batch(sown=14, board_day=24, raft_day=34, cuts=((49, 6),))


def planned(farm=FARM):
    fills = [("Lettuce 35", FIRST, 34, 12), ("Lettuce 49", SECOND, 49, 12)]
    plan = build(farm, Batch(), LATER, fills=fills)
    return replace(plan, supplies=tuple(supply_rows(farm, plan)))


PLAN = planned()


def faults_of(plan, farm=FARM):
    return [str(fault) for fault in audit(farm, plan)]


def changed(item="Seed", **new):
    return faults_of(edit(PLAN, "supplies", {"item": item}, **new))


def test_the_plan_the_tests_below_change_is_sound():
    assert faults_of(PLAN) == []
    assert [(row.item, row.order_by, row.arrive_by, row.needed, row.packs) for row in PLAN.supplies] == [
        ("Seed", 10, 14, 9, 1),
        ("Bag", 32, 34, 30, 8),
    ]


def test_a_missing_order_leaves_stock_below_zero():
    assert faults_of(drop(PLAN, "supplies", item="Seed")) == [
        "bookkeeping | Seed | 2026-03-16: 9 are missing, and no order comes"
    ]
    assert faults_of(drop(PLAN, "supplies", item="Bag")) == [
        "bookkeeping | Bag | 2026-04-05: 15 are missing, and no order comes",
        "bookkeeping | Bag | 2026-04-20: 15 are missing, and no order comes",
    ]


@pytest.mark.parametrize(("stock", "sound"), [(24, True), (23, False)])
def test_without_orders_stock_must_last_to_the_last_seed(stock, sound):
    farm = replace(FARM, supplies=(replace(SEED, in_stock=stock),))
    assert (faults_of(replace(PLAN, supplies=()), farm) == []) is sound


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ({"packs": 2, "amount": 20, "cost": 1000}, "2 packs are ordered, 1 cover what is needed"),
        ({"amount": 9}, "amount of the order is 9, it must be 10"),
        ({"cost": 499}, "cost of the order is 4.99, it must be 5.00"),
        ({"kind": "packaging"}, "kind of the order is packaging, it must be seed"),
        ({"crop_or_product": "Basil"}, "crop_or_product of the order is Basil, it must be Lettuce"),
        ({"needed": 10}, "10 are said to be needed, 9 are"),
        ({"covers_until": 70}, "covers until 2026-05-11, its weeks end on 2026-05-10"),
        ({"order_by": 11}, "is ordered by 2026-03-13, to come by 2026-03-16 it must be 2026-03-12"),
        ({"order_by": 7}, "is ordered by 2026-03-09, to come by 2026-03-16 it must be 2026-03-12"),
        ({"late": True}, "the order is said to be late, it is in time"),
    ],
)
def test_a_figure_of_an_order_that_is_not_so_is_told(new, said):
    faults = changed(**new)
    assert len(faults) == 1
    assert faults[0].startswith("bookkeeping | Seed | ")
    assert faults[0].endswith(f": {said}")


def test_an_order_that_comes_a_day_late_leaves_a_day_below_zero():
    faults = changed(order_by=10, arrive_by=15, covers_until=70, needed=0)
    assert "bookkeeping | Seed | 2026-03-16: 9 are missing, and no order comes" in faults


def test_an_order_that_comes_a_day_early_is_not_due():
    faults = changed(order_by=10, arrive_by=13, covers_until=68)
    assert faults == [
        "bookkeeping | Seed | 2026-03-15: an order comes, but the stock of 3 lasts for the 0 used that day"
    ]


def test_the_same_order_twice_is_one_too_many():
    faults = faults_of(replace(PLAN, supplies=(PLAN.supplies[0], *PLAN.supplies)))
    assert any("the stock of 13 lasts for the 12 used that day" in fault for fault in faults)


def test_fewer_packs_than_the_supplier_sends_are_told():
    small = replace(FARM, supplies=(SEED, replace(BAG, pack_size=30)))
    plan = planned(small)
    assert [row.packs for row in plan.supplies if row.item == "Bag"] == [2]
    faults = faults_of(edit(plan, "supplies", {"item": "Bag"}, packs=1, amount=30), small)
    assert faults == ["bookkeeping | Bag | 2026-04-05: 1 packs are ordered, 2 cover what is needed"]


def test_an_order_of_what_is_no_supply_is_told():
    faults = faults_of(edit(PLAN, "supplies", {"item": "Seed"}, item="Seeds"))
    assert "bookkeeping | Seeds | 2026-03-12: is ordered, but is no supply of the book" in faults


@pytest.mark.parametrize("day", [-1, 98])
def test_an_order_for_a_day_outside_the_plan_is_told(day):
    assert any("comes outside the days of the plan" in fault for fault in changed(arrive_by=day))


def test_an_order_that_was_to_be_placed_before_today_is_late_and_must_say_so():
    late = replace(FARM, supplies=(replace(SEED, lead_days=14, order_days=frozenset({6})), BAG))
    plan = planned(late)
    assert [(row.order_by, row.late) for row in plan.supplies if row.item == "Seed"] == [(-1, True)]
    assert faults_of(plan, late) == []
    assert faults_of(edit(plan, "supplies", {"item": "Seed"}, late=False), late) == [
        "bookkeeping | Seed | 2026-03-01: the order is said to be in time, it is late"
    ]


def test_seed_that_soaks_overnight_is_taken_the_day_before():
    soaked = replace(
        FARM,
        crops={
            "Lettuce": replace(
                FARM.crops["Lettuce"], handling=make_crop("L", handling={"soak_hours": 2000}).handling
            )
        },
    )
    plan = planned(soaked)
    assert [row.arrive_by for row in plan.supplies if row.item == "Seed"] == [13]
    assert faults_of(plan, soaked) == []
    assert faults_of(replace(plan, supplies=PLAN.supplies), soaked) != []


@pytest.mark.parametrize("at", [0, 1])
@pytest.mark.parametrize("column", [field.name for field in fields(SupplyRow)])
def test_no_cell_of_the_table_may_be_changed(at, column):
    row = PLAN.supplies[at]
    value = getattr(row, column)
    others = (
        [f"{value}x"]
        if isinstance(value, str)
        else [not value]
        if column == "late"
        else [value - 1, value + 1]
    )
    for other in others:
        rows = list(PLAN.supplies)
        rows[at] = replace(row, **{column: other})
        assert faults_of(replace(PLAN, supplies=tuple(rows))) != []


@settings(max_examples=40)
@given(plan=any_plan(), own=st.booleans())
def test_a_damaged_table_is_judged_and_never_a_crash(plan, own):
    is_judged(plan, own)


@pytest.mark.soak
@settings(max_examples=500)
@given(plan=any_plan(), own=st.booleans())
def test_a_damaged_table_is_judged_and_never_a_crash_long(plan, own):
    is_judged(plan, own)


def is_judged(plan, own):
    faults = faults_of(replace(PLAN, supplies=plan.supplies) if own else plan)
    assert faults != []


@given(
    supply=st.builds(
        Supply,
        item=st.just("Thing"),
        kind=st.just("seed"),
        crop=st.just("Lettuce"),
        in_stock=st.integers(0, 40),
        pack_size=st.integers(1, 30),
        least_packs=st.integers(1, 3),
        lead_days=st.integers(0, 20),
        spare=st.sampled_from([0, 333, 5000]),
        price=st.integers(0, 10_000),
        order_days=st.frozensets(st.integers(0, 6), min_size=1),
    ),
    packs=st.booleans(),
    per_unit=st.sampled_from([83, 500, 1000, 2500]),
    weeks=st.integers(1, 9),
)
def test_whatever_is_bought_the_orders_are_sound(supply, packs, per_unit, weeks):
    if packs:
        supply = replace(supply, kind="packaging", crop="", products=("Lettuce",), per_unit=per_unit)
    farm = replace(FARM, rules=replace(FARM.rules, supply_weeks=weeks), supplies=(supply,))
    assert faults_of(planned(farm), farm) == []
