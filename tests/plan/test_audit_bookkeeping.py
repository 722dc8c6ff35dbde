"""Bookkeeping: names, days, demands, chains and totals agree; every table that does not is told."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, target
from plans import Batch, build, drop, edit, told

from scheduler.farm.crops import StageKind
from scheduler.plan.audit import audit
from scheduler.plan.exact import EDITION, KEY
from scheduler.plan.rows import FigureRow

LOT = "LET-260302"
FARM = make_farm(
    demands=[
        delivery("Lettuce", 34, 10),
        delivery("Lettuce", 35, 4),
        delivery("Lettuce", 20, 4),
        target("Lettuce", 70, 5),
    ]
)
PLAN = build(FARM, Batch(), fills=[("Lettuce 34", LOT, 34, 10), ("Lettuce 35", LOT, 34, 2)])


def faults_of(plan, farm=FARM):
    """The audit's faults with the derived tables left as they are."""
    return [str(fault) for fault in audit(farm, plan)]


def test_the_plan_the_tests_below_change_is_sound():
    assert faults_of(PLAN) == []
    assert [(row.demand, row.filled, row.state) for row in PLAN.demands] == [
        ("Lettuce 20", 0, "too early"),
        ("Lettuce 34", 10, "filled"),
        ("Lettuce 35", 2, "short"),
        ("Lettuce 70", 0, "short"),
    ]


@pytest.mark.parametrize(
    ("table", "where", "new", "fault"),
    [
        ("contents", {"unit": "B1"}, {"unit": "B9"}, "contents | 2026-03-12: there is no unit B9"),
        ("contents", {"unit": "B1"}, {"lot": "XXX"}, "contents | 2026-03-12: there is no lot XXX"),
        ("positions", {"unit": "B1"}, {"unit": "B9"}, "positions | 2026-03-12: there is no unit B9"),
        ("positions", {"unit": "B1"}, {"place": "Pond"}, "positions | 2026-03-12: there is no place Pond"),
        ("cuts", {"unit": "R1"}, {"unit": "R9"}, "cuts | 2026-04-05: there is no unit R9"),
        ("cuts", {"unit": "R1"}, {"lot": "XXX"}, "cuts | 2026-04-05: there is no lot XXX"),
        ("fills", {"heads": 2}, {"demand": "XXX"}, "fills | 2026-04-05: there is no demand XXX"),
        ("fills", {"heads": 2}, {"lot": "XXX"}, "fills | 2026-04-05: there is no lot XXX"),
        (
            "units",
            {"unit": "B1"},
            {"kind": "tub"},
            "B1 | 2026-03-12: tub is no tray, board or raft of the book",
        ),
        (
            "units",
            {"unit": "B1"},
            {"item": "raft"},
            "B1 | 2026-03-12: is a raft, but 12-hole board is a board",
        ),
        ("units", {"unit": "B1"}, {"unit": "T1"}, "units: T1 is listed 2 times"),
        ("lots", {}, {"crop": "Hops"}, f"{LOT} | 2026-03-02: Hops is no crop of the book"),
        (
            "lots",
            {},
            {"origin": "growing"},
            f"{LOT} | 2026-03-02: origin is growing, but it was not found growing",
        ),
        (
            "lots",
            {},
            {"origin": "bought"},
            f"{LOT} | 2026-03-02: origin is bought, but it was not found growing",
        ),
        ("lots", {}, {"sown": None}, f"{LOT}: has no sowing day"),
        (
            "lots",
            {},
            {"overdue": True},
            f"{LOT} | 2026-03-02: only what was found growing can be discarded or overdue",
        ),
        ("lots", {}, {"sown": 1}, f"{LOT} | 2026-03-03: Lettuce sown that day is lot LET-260303"),
        (
            "contents",
            {"unit": "T1"},
            {"from_day": 1},
            "T1 | 2026-03-02: from_day of LET-260302 in a tray is its sowing day",
        ),
        (
            "contents",
            {"unit": "B1"},
            {"from_day": 1},
            "B1 | 2026-03-12: from_day of LET-260302 is 2026-03-03, but it was sown on 2026-03-02",
        ),
        (
            "units",
            {"unit": "B1"},
            {"emptied": 21, "leaves": 21},
            "B1 | 2026-03-23: emptied on 2026-03-23, its last plants leave on 2026-03-22",
        ),
        (
            "units",
            {"unit": "B1"},
            {"leaves": 21},
            "B1 | 2026-03-23: emptied on 2026-03-22, but leaves on 2026-03-23",
        ),
        (
            "units",
            {"unit": "R1"},
            {"leaves": 33},
            "R1 | 2026-04-04: emptied on 2026-04-05, but leaves on 2026-04-04",
        ),
        (
            "units",
            {"unit": "R1"},
            {"enters": 19},
            "R1 | 2026-03-22: LET-260302 enters on 2026-03-22, R1 on 2026-03-21",
        ),
        ("contents", {"unit": "R1"}, {"leaves": 19}, "R1 | 2026-03-21: LET-260302 leaves before it enters"),
        ("fills", {"heads": 2}, {"crop": "Kale"}, "Lettuce 35 | 2026-04-05: LET-260302 is Lettuce, not Kale"),
        ("fills", {"heads": 2}, {"heads": 0}, "Lettuce 35 | 2026-04-05: 0 heads of LET-260302"),
        (
            "cuts",
            {"unit": "R1"},
            {"unit": "B1"},
            "B1 | 2026-04-05: LET-260302 is cut from B1, which holds none of it on a raft",
        ),
    ],
)
def test_names_and_days_that_do_not_agree_are_told(table, where, new, fault):
    assert f"bookkeeping | {fault}" in faults_of(edit(PLAN, table, where, **new))


def test_a_fill_of_an_unknown_demand_is_one_fault():
    changed = edit(PLAN, "fills", {"heads": 2}, demand="XXX")
    assert told(FARM, changed) == ["bookkeeping | fills | 2026-04-05: there is no demand XXX"]


def test_a_unit_that_holds_nothing_is_told():
    assert "bookkeeping | R2 | 2026-03-22: a raft that holds nothing" in told(
        FARM, drop(PLAN, "contents", unit="R2")
    )


def test_heads_of_a_crop_the_product_is_not_made_of_are_told():
    crops = [make_crop("Lettuce"), make_crop("Arugula")]
    farm = make_farm(crops=crops, products={"Rocket": {"Arugula": 1000}}, demands=[delivery("Rocket", 34, 5)])
    plan = build(farm, Batch(), fills=[("Rocket 34", LOT, 34, 5)])
    assert told(farm, plan) == [
        "products | Rocket 34 | 2026-04-05: 5 heads of Lettuce, which Rocket is not made of"
    ]


@pytest.mark.parametrize(
    ("new", "message"),
    [
        ({"amount": 11}, "amount is 11, in the book 10"),
        ({"customer": "Inn"}, "customer is Inn, in the book Harbour Table"),
        ({"firm": False}, "firm is False, in the book True"),
        ({"target": True}, "target is True, in the book False"),
        ({"price": 99}, "price is 99, in the book 100"),
        ({"priority": 1}, "priority is 1, in the book 2"),
        ({"reported": False}, "reported is False, in the book True"),
        ({"day": 33}, "day is 33, in the book 34"),
        ({"last": 33}, "last is 33, in the book 34"),
        ({"order": "R7"}, "order is R7, in the book Lettuce"),
        ({"product": "Kale"}, "product is Kale, in the book Lettuce"),
        ({"filled": 9}, "9 of 10 said to be filled, its heads make 10"),
        ({"state": "short"}, "state is short, but it is filled"),
        ({"earliest": None}, "earliest delivery from a new sowing is said to be never, it is 2026-04-05"),
    ],
)
def test_a_demand_with_a_changed_figure_is_told(new, message):
    changed = edit(PLAN, "demands", {"demand": "Lettuce 34"}, **new)
    assert faults_of(changed) == [f"bookkeeping | Lettuce 34 | 2026-04-05: {message}"]


def test_short_and_too_early_are_told_apart():
    changed = edit(PLAN, "demands", {"demand": "Lettuce 20"}, state="short")
    assert faults_of(changed) == [
        "bookkeeping | Lettuce 20 | 2026-03-22: state is short, but it is too early"
    ]
    changed = edit(PLAN, "demands", {"demand": "Lettuce 35"}, state="too early")
    assert faults_of(changed) == [
        "bookkeeping | Lettuce 35 | 2026-04-06: state is too early, but it is short"
    ]


def test_every_demand_is_listed_once():
    assert faults_of(drop(PLAN, "demands", demand="Lettuce 20")) == [
        "bookkeeping | Lettuce 20 | 2026-03-22: is missing from the plan's demands"
    ]
    assert faults_of(replace(PLAN, demands=(*PLAN.demands, PLAN.demands[0]))) == [
        "bookkeeping | Lettuce 20 | 2026-03-22: is listed twice"
    ]
    unknown = replace(PLAN.demands[0], demand="XXX")
    assert faults_of(replace(PLAN, demands=(*PLAN.demands, unknown))) == [
        "bookkeeping | XXX | 2026-03-22: is no demand of the book"
    ]


def test_sale_units_are_whole_and_rounded_down_crop_by_crop():
    farm = make_farm(products={"Lettuce": {"Lettuce": 2500}}, demands=[delivery("Lettuce", 34, 5)])
    plan = build(farm, Batch(), fills=[("Lettuce 34", LOT, 34, 12)])
    assert plan.demands[0].filled == 4
    assert told(farm, plan) == []
    assert faults_of(edit(plan, "demands", {}, filled=5, state="filled"), farm) == [
        "bookkeeping | Lettuce 34 | 2026-04-05: 5 of 5 said to be filled, its heads make 4",
        "bookkeeping | Lettuce 34 | 2026-04-05: state is filled, but it is short",
    ]


def test_where_it_is_all_or_nothing_an_incomplete_delivery_gets_nothing():
    demands = [delivery("Lettuce", 34, 10)]
    farm = make_farm(demands=demands, rules={"all_or_nothing": True})
    assert told(farm, build(farm, Batch(), fills=[("Lettuce 34", LOT, 34, 10)])) == []
    assert told(farm, build(farm, Batch(), fills=[("Lettuce 34", LOT, 34, 9)])) == [
        "bookkeeping | Lettuce 34 | 2026-04-05: gets 9 of 10, though a delivery counts only when complete"
    ]
    a_target = make_farm(demands=[target("Lettuce", 34, 10)], rules={"all_or_nothing": True})
    assert told(a_target, build(a_target, Batch(), fills=[("Lettuce 34", LOT, 34, 9)])) == []


@pytest.mark.parametrize(
    ("table", "where", "new", "fault"),
    [
        (
            "use",
            {"place": "Trough 1", "day": 20},
            {"used": 1},
            "use | 2026-03-22: Trough 1: used is 1, the rows give 2",
        ),
        (
            "use",
            {"place": "Trough 1", "day": 20},
            {"slots": 7},
            "use | 2026-03-22: Trough 1: slots is 7, the rows give 6",
        ),
        (
            "equipment",
            {"kind": "6-hole raft", "day": 20},
            {"in_use": 3},
            "equipment | 2026-03-22: 6-hole raft: in_use is 3, the rows give 2",
        ),
        ("seed", {}, {"seeds": 13}, "seed | 2026-03-02: Lettuce: seeds is 13, the rows give 12"),
        ("seed", {}, {"cost": 34_50}, "seed | 2026-03-02: Lettuce: cost is 34.50, the rows give 0.00"),
        ("seed", {}, {"day": 1}, "seed | 2026-03-02: the row of Lettuce is missing"),
        ("seed", {}, {"day": 1}, "seed | 2026-03-03: there is nothing of Lettuce that day"),
    ],
)
def test_a_total_that_is_not_what_the_rows_give_is_told(table, where, new, fault):
    assert f"bookkeeping | {fault}" in faults_of(edit(PLAN, table, where, **new))


def test_a_total_listed_twice_is_told():
    assert faults_of(replace(PLAN, seed=PLAN.seed * 2)) == [
        "bookkeeping | seed | 2026-03-02: Lettuce has 2 rows"
    ]


@pytest.mark.parametrize(
    ("new", "message"),
    [
        ({"rafts": "R9"}, "nothing of it is cut from R9 that day"),
        ({"raft_day": 21}, "R1 enters on 2026-03-22"),
        ({"lane": "Trough 2"}, "R1 is in Trough 1, not Trough 2"),
        ({"boards": "B9"}, "board B9 did not hold it on those days"),
        ({"trays": "T9"}, "tray T9 did not hold it on those days"),
        ({"board_day": 11}, "board B1 did not hold it on those days"),
        ({"sow_day": 1}, "LET-260302 has another sowing day"),
        ({"heads": 0}, "it follows 0 heads"),
        ({"heads": -1}, "it follows -1 heads"),
    ],
)
def test_a_chain_that_names_what_did_not_hold_the_plants_is_told(new, message):
    changed = edit(PLAN, "chains", {"demand": "Lettuce 34", "rafts": "R1"}, **new)
    assert f"bookkeeping | Lettuce 34 | 2026-04-05: chain of LET-260302: {message}" in faults_of(changed)


@pytest.mark.parametrize(
    ("new", "messages"),
    [
        ({"boards": ""}, ["board B1 held it on those days and is not named"]),
        ({"trays": ""}, ["tray T1 held it on those days and is not named"]),
        ({"boards": "", "board_day": None, "trays": ""}, ["it came onto boards on another day"]),
    ],
)
def test_a_chain_names_all_that_held_its_plants_but_in_older_plans(new, messages):
    changed = edit(PLAN, "chains", {"demand": "Lettuce 34", "rafts": "R1"}, **new)
    assert faults_of(changed) == []
    whole = with_tasks(changed)
    said = [f"bookkeeping | Lettuce 34 | 2026-04-05: chain of LET-260302: {message}" for message in messages]
    assert [fault for fault in faults_of(whole) if "chain" in fault] == said
    assert [fault for fault in faults_of(with_tasks(PLAN)) if "chain" in fault] == []


def with_tasks(plan):
    """The plan as if it were made by the rules of now; its tasks are not what these tests are about."""
    return replace(plan, made={KEY: EDITION})


def test_a_chain_of_a_lot_that_does_not_exist_is_told():
    stray = replace(PLAN.chains[0], lot="XXX", heads=0)
    told = faults_of(replace(PLAN, chains=(*PLAN.chains, stray)))
    assert told == ["bookkeeping | chains | 2026-04-05: there is no lot XXX"]


def test_what_was_found_on_a_raft_came_from_nowhere_that_is_known():
    found = growing("Lettuce", StageKind.RAFT, -8, 6, 1)
    farm = make_farm(growing=[found])
    plan = build(farm, Batch(found=found, rafts=(), cuts=((6, 6),)))
    plan = replace(plan, contents=(*plan.contents, replace(plan.contents[0], plants=1, from_day=-12)))
    told = faults_of(plan, farm)
    assert "bookkeeping | R1 | 2026-02-22: from_day of G is 2026-02-18, but it was found there" in told


def test_a_filled_delivery_has_no_reason():
    said = "no row was free"
    assert faults_of(edit(PLAN, "demands", {"demand": "Lettuce 35"}, reason=said)) == []
    assert faults_of(edit(PLAN, "demands", {"demand": "Lettuce 34"}, reason=said)) == [
        f"bookkeeping | Lettuce 34 | 2026-04-05: is filled, and its reason says '{said}'"
    ]


def test_chains_follow_every_head_delivered_and_no_raft_gives_more_than_it_was_cut():
    fewer = edit(PLAN, "chains", {"demand": "Lettuce 35"}, heads=1)
    assert faults_of(fewer) == [
        "bookkeeping | Lettuce 35 | 2026-04-05: chains follow 1 heads of LET-260302, 2 are delivered"
    ]
    all_from_one = edit(PLAN, "chains", {"rafts": "R2"}, rafts="R1")
    assert faults_of(all_from_one) == [
        "bookkeeping | chains | 2026-04-05: chains take 12 heads of LET-260302 from R1, 6 are cut there"
    ]


def test_figures_of_the_grower_are_those_of_the_book():
    crop = replace(make_crop("Lettuce"), own_figures=(("days_raft", "14"),))
    farm = make_farm(crops=[crop])
    own = FigureRow(crop="Lettuce", figure="days_raft", value="14")
    plan = replace(build(farm, Batch()), own_figures=(own,))
    assert faults_of(plan, farm) == []
    assert faults_of(replace(plan, own_figures=()), farm) == [
        "bookkeeping | Lettuce: own days_raft of 14 is not told"
    ]
    assert faults_of(replace(plan, own_figures=(own, replace(own, value="15"))), farm) == [
        "bookkeeping | Lettuce: days_raft of 15 is said to be the grower's own"
    ]
