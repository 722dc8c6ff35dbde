"""What counts as a shortage that the exit code tells of."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, make_mix, market
from plan.layout.amounts import NOTHING, laid
from plan.layout.test_layout_growing import found_batch, leave
from samples import demand, small_plan

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.audit import audit
from scheduler.plan.decided import Sale
from scheduler.plan.exact import EDITION, SPARED
from scheduler.plan.shortage import fillable, is_short, is_short_in_reach


def test_a_firm_delivery_that_is_short_is_a_shortage_among_others_that_are_filled():
    rows = (demand("a", 20), demand("b", 21, state="short", filled=3))
    assert is_short(small_plan(demands=rows))


@pytest.mark.parametrize(
    "change",
    [
        {"state": "filled"},
        {"state": "too early"},
        {"state": "out of reach"},
        {"firm": False},
        {"target": True},
        {"reported": False},
    ],
)
def test_what_is_filled_cannot_be_reached_is_not_firm_or_not_reported_is_none(change):
    assert not is_short(small_plan(demands=(demand("a", 20, **{"state": "short", **change}),)))


@pytest.mark.parametrize(("days", "could", "short"), [((43,), [], False), ((42, 43), [42], True)])
def test_what_no_batch_can_be_cut_fresh_for_is_no_shortage_that_the_exit_code_tells(days, could, short):
    # sown on Mondays and cut 34 days later to the day: on days 34, 41 and 48, good for one day more
    stages = {"tray": (10, 0, 10_000), "board": (10, 0, 10_000), "raft": (14, 0, 10_000)}
    farm = make_farm(
        crops=[make_crop("Lettuce", **stages)],
        demands=[delivery("Lettuce", day, 5) for day in days],
        work_days={Work.SOW: {0}},
    )
    plan = laid(farm, more=NOTHING)
    assert is_short(plan)
    assert [row.day for row in fillable(farm, plan)] == could
    assert is_short_in_reach(farm, plan) is short


@pytest.mark.parametrize(
    ("row", "states"),
    [
        # cut on day 0 or 1 and again 5 or 6 days later, each time fresh for one day more
        ({}, [*["short"] * 3, *["too early"] * 2, *["short"] * 4, "too early"]),
        ({"not_before": 1}, ["too early", "short", "short", "too early"]),
        ({"cuts_done": 1, "last_cut": -6}, [*["short"] * 2, *["too early"] * 7]),
        ({"since": -3}, ["too early"] * 9),
        ({"crop": "Kale"}, ["too early"] * 9),
    ],
)
def test_what_is_thrown_away_and_could_fill_makes_a_delivery_short_and_not_too_early(row, states):
    crops = [
        replace(make_crop(name, raft=(14, 1, 10_000)), cuts=2, cut_interval=5) for name in ("Lettuce", "Kale")
    ]
    stands = {"crop": "Lettuce", "stage": StageKind.RAFT, "since": -14, "plants": 6, "units": 1}
    farm = make_farm(
        crops=crops,
        growing=[growing(**(stands | row))],
        demands=[delivery("Lettuce", day, 4) for day in range(len(states))],
    )
    plan = laid(farm, more=NOTHING, edition=EDITION)
    (lot,) = plan.lots
    assert lot.discarded == 6
    assert [each.state for each in sorted(plan.demands, key=lambda each: each.day)] == states
    assert is_short_in_reach(farm, plan) is ("short" in states)
    for each in plan.demands:
        assert (f"thrown away or left over: {lot.lot}" in each.reason) is (each.state == "short")
    older = laid(farm, more=NOTHING, edition=SPARED - 1)
    assert {each.state for each in older.demands} == {"too early"}


@pytest.mark.parametrize(
    ("asked", "whole", "state"),
    [
        ({"product": "Bag of 6", "amount": 2}, False, "short"),
        ({"product": "Bag of 7", "amount": 2}, False, "too early"),
        # where a delivery that is not complete counts for nothing, a part of it is of no use
        ({"amount": 6}, True, "short"),
        ({"amount": 7}, True, "too early"),
        ({"amount": 7, "in_hand": 1}, True, "short"),
        ({"amount": 7, "is_target": True, "firm": False}, True, "short"),
    ],
)
def test_what_is_thrown_away_has_to_make_a_unit_or_all_where_a_part_counts_for_nothing(asked, whole, state):
    farm = make_farm(
        products={"Bag of 6": {"Lettuce": 6000}, "Bag of 7": {"Lettuce": 7000}},
        growing=[growing("Lettuce", StageKind.RAFT, -14, 6, 1)],
        demands=[replace(delivery("Lettuce", 1, 2), **asked)],
        rules={"all_or_nothing": whole},
    )
    assert [row.state for row in laid(farm, more=NOTHING, edition=EDITION).demands] == [state]


@pytest.mark.parametrize(
    ("given", "sold", "states"),
    [
        (0, 0, ["too early", "short", "short", "too early"]),
        (5, 0, ["too early", "filled", "short", "too early"]),
        (6, 0, ["too early", "filled", "too early", "too early"]),
        (3, 2, ["too early", "filled", "short", "too early"]),
        (3, 3, ["too early", "filled", "too early", "too early"]),
    ],
)
def test_what_is_cut_and_left_over_could_fill_what_it_is_fresh_for(given, sold, states):
    farm = make_farm(
        growing=[growing("Lettuce", StageKind.RAFT, -14, 6, 1)],
        demands=[delivery("Lettuce", day, given or 6) for day in range(4)],
        outlets=[market("Lettuce", [1], (6, 50))],
    )
    cut = replace(
        NOTHING,
        raft_batches=(found_batch(0, day=-14, cuts=((1, 6),)),),
        raft_leaves=(leave(-14, 1, 1, growing=0),),
        sales=(Sale(outlet="Market", product="Lettuce", day=1, crop="Lettuce", cut_day=1, heads=sold),)
        if sold
        else (),
    )
    fills = [("Lettuce", 1, "Lettuce 1", given)] if given else []
    plan = laid(farm, fills=fills, more=cut, edition=EDITION)
    assert [row.state for row in plan.demands] == states
    assert {row.reason for row in plan.demands if row.state == "short"} <= {
        "ready in time for it, but thrown away or left over: G"
    }
    early = replace(plan, demands=tuple(replace(row, state="too early") for row in plan.demands))
    assert [str(fault) for fault in audit(farm, early)] == [
        f"bookkeeping | {row.demand} | {farm.date_of(row.day)}: state is too early, but it is {row.state}"
        for row in plan.demands
        if row.state != "too early"
    ]
    older = laid(farm, fills=fills, more=cut, edition=SPARED - 1)
    assert "short" not in {row.state for row in older.demands}


def test_what_stands_in_a_bed_and_is_thrown_away_counts_on_the_days_it_could_be_picked():
    # the second of its two weeks of pickings, on days 0 to 6
    tomato = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(5000, 5000))
    farm = make_farm(
        crops=[tomato],
        growing=[growing("Tomato", StageKind.BED, -11, 6, 6)],
        demands=[delivery("Tomato", day, 2, max_age=0) for day in (0, 6, 7)],
        beds={"Bed": 6},
        closed={Work.SOW: range(3)},
    )
    plan = laid(farm, more=NOTHING, edition=EDITION)
    assert [row.state for row in plan.demands] == ["short", "short", "too early"]


def test_what_is_kept_for_another_delivery_makes_none_short():
    farm = make_farm(
        crops=[make_crop("Lettuce")],
        growing=[growing("Lettuce", StageKind.RAFT, -14, 6, 1)],
        demands=[delivery("Lettuce", 1, 6), delivery("Lettuce", 2, 6)],
    )
    plan = plan_farm(farm, SolveSettings(seconds=5.0, deterministic=True)).plan
    assert sorted(row.state for row in plan.demands) == ["filled", "too early"]
    assert audit(farm, plan) == []


@pytest.mark.parametrize(("least", "state"), [(50, "too early"), (0, "short")])
def test_a_part_of_a_mix_is_short_of_it_only_where_the_others_may_be_left_out(least, state):
    parts = (("Lettuce", 50, 50, 100, 100), ("Kale", least, 50, 100, 100))
    farm = make_farm(
        crops=[make_crop("Lettuce"), make_crop("Kale")],
        mixes=[make_mix("Salad", 200, *parts)],
        growing=[growing("Lettuce", StageKind.RAFT, -14, 6, 1)],
        demands=[delivery("Salad", 1, 2)],
    )
    assert [row.state for row in laid(farm, more=NOTHING, edition=EDITION).demands] == [state]
