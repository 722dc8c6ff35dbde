"""What counts as a shortage that the exit code tells of."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, make_mix
from plan.layout.amounts import NOTHING, laid
from samples import demand, small_plan

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.audit import audit
from scheduler.plan.exact import EDITION
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
        assert (f"could be cut for it: {lot.lot}" in each.reason) is (each.state == "short")
    older = laid(farm, more=NOTHING, edition=EDITION - 1)
    assert {each.state for each in older.demands} == {"too early"}


@pytest.mark.parametrize(("heads", "state"), [(6, "short"), (7, "too early")])
def test_what_is_thrown_away_has_to_make_a_whole_unit(heads, state):
    farm = make_farm(
        crops=[make_crop("Lettuce")],
        products={"Bag": {"Lettuce": heads * 1000}},
        growing=[growing("Lettuce", StageKind.RAFT, -14, 6, 1)],
        demands=[delivery("Bag", 1, 2)],
    )
    assert [row.state for row in laid(farm, more=NOTHING, edition=EDITION).demands] == [state]


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
