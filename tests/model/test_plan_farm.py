"""Whole plans of small farms: what comes out, that it keeps every rule, and that it always comes."""

import threading
from dataclasses import fields, replace

import pytest
from farms import EVER, STAGES, delivery, growing, make_crop, make_farm, target
from solving import got, outcome, quick_crop, shortage_goal, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.rows import TABLES
from scheduler.plan.tally import plants_standing

BOARDED = quick_crop(board=(3, 1, 10_000))


def farm(*demands, **needs):
    return make_farm(**({"days": 24, "crops": [quick_crop()]} | needs), demands=demands)


def state(plan, name):
    return next(row.state for row in plan.demands if row.demand == name)


# What comes out


def test_a_farm_with_room_fills_its_orders():
    found = outcome(farm(delivery("Lettuce", 12, 20), delivery("Lettuce", 15, 20), target("Lettuce", 14, 5)))
    assert found.status == "filled"
    assert found.plan is not None
    assert set(got(found.plan).values()) == {20, 5}


def test_an_order_beyond_the_room_is_short_by_what_does_not_fit():
    found = outcome(farm(delivery("Lettuce", 12, 40, max_age=0), lane_slots=5))
    assert found.status == "short"
    assert found.plan is not None
    assert got(found.plan) == {"Lettuce 12": 30}
    assert shortage_goal(found.plan)[1] == "proven"


def test_an_order_that_no_sowing_could_reach_is_too_early_and_the_plan_counts_as_filled():
    found = outcome(farm(delivery("Lettuce", 6, 5), delivery("Lettuce", 7, 5)))
    assert found.status == "filled"
    assert found.plan is not None
    assert [(row.day, row.state) for row in found.plan.demands] == [(6, "too early"), (7, "filled")]


def test_short_demand_that_is_flexible_or_not_reported_does_not_make_a_plan_short():
    found = outcome(
        farm(
            target("Lettuce", 7, 999),
            delivery("Lettuce", 12, 999, firm=False),
            delivery("Lettuce", 21, 999, reported=False),
            days=18,
            span=24,
        )
    )
    assert found.status == "filled"


@pytest.mark.parametrize(
    "needs",
    [
        {},
        {"growing": [growing("Lettuce", StageKind.RAFT, -40, 12, 2)]},
        {"growing": [growing("Lettuce", StageKind.TRAY, -40, 12, 2)]},
        {"growing": [growing("Lettuce", StageKind.RAFT, -1, 12, 2)], "lane_slots": ((EVER, 6), (2, 0))},
        {"growing": [growing("Lettuce", StageKind.RAFT, -2, 12, 2)], "closed": {Work.HARVEST: range(30)}},
        {"growing": [growing("Lettuce", StageKind.TRAY, -2, 12, 2)], "closed": {Work.RAFT: range(30)}},
        {"lane_slots": 0, "tier_slots": 0},
        {"trays": 0, "rafts": 0},
        {"crew": 0},
        {"sowing": True},
    ],
    ids=[
        "nothing",
        "old rafts",
        "old trays",
        "row that closes",
        "no cutting",
        "no setting out",
        "no room",
        "no trays",
        "no crew",
        "no window",
    ],
)
def test_there_is_always_a_plan(needs):
    crop = quick_crop(
        minutes={"sow": 100}, sowing=((99, 99),) if needs.pop("sowing", False) else ((EVER, 999),)
    )
    found = outcome(farm(delivery("Lettuce", 12, 9), crops=[crop], **needs))
    assert found.plan is not None


def test_without_any_demand_nothing_is_sown():
    plan = solved(farm())
    assert plan.lots == plan.units == plan.tasks == ()


def test_a_book_that_is_solved_while_asked_to_stop_still_gives_a_plan():
    stop = threading.Event()
    stop.set()
    found = plan_farm(
        farm(delivery("Lettuce", 12, 20)), SolveSettings(seconds=5, deterministic=True), None, stop
    )
    assert found.plan is not None


def test_the_same_settings_give_the_same_plan_row_for_row():
    crops = [BOARDED, quick_crop("Kale", raft=(6, 3, 9000))]
    made = farm(
        *(delivery(name, day, 9) for name in ("Lettuce", "Kale") for day in (13, 16, 20)),
        target("Kale", 14, 30),
        crops=crops,
        lanes=2,
        lane_slots=3,
    )
    first, second = (outcome(made, seconds=0.02).plan for _ in range(2))
    assert first is not None
    assert second is not None
    for table in TABLES:
        assert getattr(first, table) == getattr(second, table), table
    assert first.made == second.made
    assert {field.name for field in fields(first)} == {*TABLES, "made"}


def test_a_plan_says_how_it_was_made():
    plan = solved(farm(delivery("Lettuce", 12, 9)))
    assert plan.made["deterministic"] is True
    assert plan.made["workers"] == 1
    assert plan.made["today"] == "2026-03-02"
    assert {"raftway", "ortools", "python", "seed", "seconds"} <= set(plan.made)


# What the rules do to a plan


def test_with_all_or_nothing_a_delivery_that_cannot_be_whole_gets_nothing():
    part = farm(
        delivery("Lettuce", 12, 40, max_age=0),
        delivery("Lettuce", 12, 20, name="small", max_age=0),
        lane_slots=5,
    )
    assert sum(got(solved(part)).values()) == 30
    assert got(solved(replace(part, rules=replace(part.rules, all_or_nothing=True)))) == {
        "Lettuce 12": 0,
        "small": 20,
    }


@pytest.mark.parametrize(("lift", "filled"), [(False, 0), (True, 6)])
def test_rafts_that_may_be_lifted_out_let_a_quick_crop_pass_a_slow_one(lift, filled):
    # One row of two slots; the slow crop is in first and out last.
    crops = [
        quick_crop("Slow", raft=(12, 0, 10_000), tray=(3, 0, 10_000)),
        quick_crop(tray=(4, 0, 10_000), raft=(4, 0, 10_000)),
    ]
    orders = [
        delivery("Slow", 15, 6, max_age=0, priority=1),
        delivery("Lettuce", 8, 6, max_age=0),
        delivery("Lettuce", 12, 6, max_age=0),
    ]
    made = farm(*orders, crops=crops, lane_slots=2, rules={"lift_out": lift})
    plan = solved(made)
    assert got(plan)["Slow 15"] == 6
    assert got(plan)["Lettuce 12"] + got(plan)["Lettuce 8"] == 6 + filled


@pytest.mark.parametrize(("shared", "filled"), [(True, 6), (False, 3)])
def test_lots_share_rafts_only_where_the_book_allows(shared, filled):
    crops = [quick_crop(), quick_crop("Kale")]
    orders = [delivery("Lettuce", 12, 3, max_age=0), delivery("Kale", 12, 3, max_age=0)]
    plan = solved(farm(*orders, crops=crops, lane_slots=1, rules={"share_rafts": shared}))
    assert sum(got(plan).values()) == filled


@pytest.mark.parametrize(("shared", "filled"), [(True, 12), (False, 6)])
def test_lots_share_boards_only_where_the_book_allows(shared, filled):
    crops = [BOARDED, quick_crop("Kale", board=(3, 1, 10_000))]
    orders = [delivery("Lettuce", 12, 6, max_age=0), delivery("Kale", 12, 6, max_age=0)]
    plan = solved(farm(*orders, crops=crops, boards=1, rules={"share_boards": shared}))
    assert sum(got(plan).values()) == filled


@pytest.mark.parametrize(("shared", "filled"), [(True, 16), (False, 8)])
def test_lots_share_trays_only_where_the_book_allows(shared, filled):
    crops = [quick_crop(), quick_crop("Kale")]
    orders = [delivery("Lettuce", 10, 8, max_age=0), delivery("Kale", 10, 8, max_age=0)]
    sowing = {"work_days": {Work.SOW: {0}}, "trays": 1, "days": 12}
    plan = solved(farm(*orders, crops=crops, rules={"share_trays": shared}, **sowing))
    assert sum(got(plan).values()) == filled


def test_a_closure_moves_the_work_and_what_it_would_harm_is_short():
    order = delivery("Lettuce", 12, 6, max_age=3)
    assert got(solved(farm(order, closed={Work.HARVEST: [10, 11, 12]}))) == {"Lettuce 12": 6}
    assert got(solved(farm(order, closed={Work.HARVEST: range(9, 13)}))) == {"Lettuce 12": 0}
    plan = solved(farm(order, closed={Work.HARVEST: [10, 11, 12]}))
    assert {row.day for row in plan.cuts} == {9}


def test_a_pause_of_sowing_is_sown_around():
    plan = solved(
        farm(*(delivery("Lettuce", day, 6) for day in (12, 15, 17)), closed={Work.SOW: range(3, 9)})
    )
    assert not {row.sown for row in plan.lots} & set(range(3, 9))
    assert state(plan, "Lettuce 12") == "filled"
    assert state(plan, "Lettuce 15") == "short", "nothing sown through day 2 may wait until day 14"
    assert state(plan, "Lettuce 17") == "filled"


def test_a_slower_pace_makes_everything_later():
    # At half pace 3 days in trays last 6 and 4 on rafts last 8.
    made = farm(delivery("Lettuce", 13, 5, max_age=0), delivery("Lettuce", 14, 5, max_age=0), pace={"": 500})
    assert [(row.day, row.state) for row in solved(made).demands] == [(13, "too early"), (14, "filled")]


# Places that come and go


@pytest.mark.parametrize(("opens", "filled"), [(9, 6), (10, 0)])
def test_a_row_that_opens_later_is_used_from_its_first_day(opens, filled):
    made = farm(delivery("Lettuce", 13, 6, max_age=0), lane_slots=((EVER, 0), (opens, 3)))
    assert got(solved(made)) == {"Lettuce 13": filled}


@pytest.mark.parametrize(("closes", "filled"), [(13, 6), (12, 0)])
def test_a_row_that_closes_is_empty_on_the_day_it_does(closes, filled):
    made = farm(delivery("Lettuce", 13, 6, max_age=0), lane_slots=((EVER, 3), (closes, 0)))
    assert got(solved(made)) == {"Lettuce 13": filled}


@pytest.mark.parametrize(
    ("steps", "filled"), [(((EVER, 0), (9, 2)), 6), (((EVER, 2), (8, 0)), 0), (((EVER, 2), (12, 0)), 6)]
)
def test_a_board_zone_that_starts_or_ends_counts_only_while_it_is_there(steps, filled):
    # Cut on day 16: on rafts from day 12 to 10, on boards from day 9 to 6.
    made = farm(delivery("Lettuce", 16, 6, max_age=0), crops=[BOARDED], zone_slots=steps)
    assert got(solved(made)) == {"Lettuce 16": filled}


# What grows already

RAFTS = StageKind.RAFT


def test_what_grows_already_is_cut_in_its_turn():
    rows = [
        growing("Lettuce", RAFTS, -3, 6, 1, lot="FIRST", order=1),
        growing("Lettuce", RAFTS, -1, 6, 1, lot="SECOND", order=2),
    ]
    plan = solved(
        farm(delivery("Lettuce", 1, 6, max_age=0), delivery("Lettuce", 4, 6, max_age=0), growing=rows)
    )
    assert got(plan) == {"Lettuce 1": 6, "Lettuce 4": 6}
    assert [(row.lot, row.day) for row in plan.cuts] == [("FIRST", 1), ("SECOND", 4)]
    assert [(row.lot, row.overdue, row.discarded) for row in plan.lots] == [
        ("FIRST", False, 0),
        ("SECOND", False, 0),
    ]


def test_a_raft_that_grows_behind_another_is_not_taken_out_before_it():
    rows = [
        growing("Lettuce", RAFTS, 0, 6, 1, lot="AHEAD", order=1),
        growing("Lettuce", RAFTS, -3, 6, 1, lot="BEHIND", order=2),
    ]
    plan = solved(
        farm(delivery("Lettuce", 1, 6, max_age=0), delivery("Lettuce", 5, 6, max_age=0), growing=rows)
    )
    assert got(plan) == {"Lettuce 1": 6, "Lettuce 5": 6}
    left = {row.unit: row.leaves for row in plan.units}
    lot = {row.unit: row.lot for row in plan.contents}
    leaves = {lot[unit]: day for unit, day in left.items()}
    assert leaves["BEHIND"] >= leaves["AHEAD"] == 5


def test_overdue_rafts_are_cut_within_a_week_and_flagged():
    rows = [growing("Lettuce", RAFTS, -9, 12, 2)]
    plan = solved(
        farm(delivery("Lettuce", 7, 6, max_age=0), delivery("Lettuce", 3, 6, max_age=0), growing=rows)
    )
    assert got(plan) == {"Lettuce 3": 6, "Lettuce 7": 6}
    assert plan.lots[0].overdue
    late = solved(farm(delivery("Lettuce", 8, 6, max_age=0), growing=rows, tier_slots=0))
    assert got(late) == {"Lettuce 8": 0}


def test_overdue_trays_and_boards_go_on_as_well():
    trays = solved(farm(delivery("Lettuce", 6, 9), growing=[growing("Lettuce", StageKind.TRAY, -9, 9, 1)]))
    assert got(trays) == {"Lettuce 6": 9}
    assert trays.lots[0].overdue
    boards = solved(
        farm(
            delivery("Lettuce", 6, 9),
            crops=[BOARDED],
            growing=[growing("Lettuce", StageKind.BOARD, -9, 9, 1)],
        )
    )
    assert got(boards) == {"Lettuce 6": 9}
    assert boards.lots[0].overdue


def test_what_nobody_wants_is_thrown_away_to_make_room():
    rows = [growing("Lettuce", RAFTS, 0, 36, 6)]
    made = farm(delivery("Kale", 7, 36, max_age=0), crops=[quick_crop(), quick_crop("Kale")], growing=rows)
    plan = solved(made)
    assert got(plan) == {"Kale 7": 36}
    assert next(lot.discarded for lot in plan.lots if lot.lot == "G") == 36


def test_nothing_is_done_before_today():
    rows = [growing("Lettuce", RAFTS, -2, 6, 1)]
    made = farm(
        delivery("Lettuce", 2, 3, max_age=0),
        delivery("Lettuce", 4, 3, max_age=1),
        delivery("Lettuce", 11, 5),
        today=3,
        growing=rows,
    )
    plan = solved(made)
    assert got(plan) == {"Lettuce 2": 0, "Lettuce 4": 3, "Lettuce 11": 5}
    assert min(task.day for task in plan.tasks) >= 3
    assert min(lot.sown for lot in plan.lots if lot.sown is not None and lot.lot != "G") >= 3


# Steady farms


def test_plants_standing_are_throughput_times_days_in_the_stage():
    # L = lambda x W (Little 1961, from memory): 12 heads a day; 3, 3 and 4 days, no waits.
    crop = make_crop("Lettuce", tray=(3, 0, 10_000), board=(3, 0, 10_000), raft=(4, 0, 10_000))
    orders = [delivery("Lettuce", day, 12, max_age=0) for day in range(10, 24)]
    plan = solved(farm(*orders, crops=[crop], lane_slots=8))
    assert set(got(plan).values()) == {12}
    standing = plants_standing(plan, 24)
    steady = range(9, 14)
    assert {standing[StageKind.TRAY][day] for day in steady} == {12 * 3}
    assert {standing[StageKind.BOARD][day] for day in steady} == {12 * 3}
    assert {standing[StageKind.RAFT][day] for day in steady} == {12 * 4}
    for kind, stay in zip(STAGES, (3, 3, 4), strict=True):
        assert sum(standing[kind]) == 12 * 14 * stay


def test_one_slot_less_than_throughput_times_days_is_short():
    crop = make_crop("Lettuce", tray=(3, 0, 10_000), board=(3, 0, 10_000), raft=(4, 0, 10_000))
    orders = [delivery("Lettuce", day, 12, max_age=0) for day in range(10, 24)]
    assert sum(got(solved(farm(*orders, crops=[crop], lane_slots=8))).values()) == 14 * 12
    plan = solved(farm(*orders, crops=[crop], lane_slots=7), seconds=6)
    # 7 slots on the 17 days from day 6 through day 22: at most a quarter of the slot days, 6 heads a raft.
    assert sum(got(plan).values()) <= 7 * 17 // 4 * 6
    assert any(row.state == "short" for row in plan.demands)


def test_crops_cut_again_and_again_keep_their_raft_until_the_last_cut():
    basil = make_crop("Basil", tray=(3, 0, 10_000), board=None, raft=(4, 0, 10_000), cuts=3, interval=5)
    orders = [delivery("Basil", day, 6, max_age=0) for day in (7, 12, 17)]
    plan = solved(farm(*orders, crops=[basil], trays=1, rafts=1))
    assert set(got(plan).values()) == {6}
    raft = next(unit for unit in plan.units if unit.item == "raft")
    assert (raft.enters, raft.emptied) == (3, 17)
    assert [(row.number, row.day) for row in plan.cuts] == [(1, 7), (2, 12), (3, 17)]
