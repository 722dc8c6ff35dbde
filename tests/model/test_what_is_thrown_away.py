"""What grows already and is thrown away leaves at once, is washed, and never spoils the plan of the rest."""

import pytest
from farms import delivery, growing, make_crop, make_farm
from solving import got, outcome, quick_crop, solved

from scheduler.farm.crops import StageKind

CROPS = [quick_crop(), quick_crop("Kale", minutes={"wash": 60_00})]


@pytest.mark.parametrize(
    "stage",
    [
        StageKind.TRAY,
        StageKind.BOARD,
        StageKind.RAFT,
    ],
    ids=lambda stage: stage.value,
)
def test_units_thrown_empty_are_washed_before_they_are_used_again(stage):
    # The only unit of its kind holds what nobody wants; washed for 5 days it is free on day 5.
    crops = [quick_crop(board=(3, 1, 10_000)), quick_crop("Kale", board=(3, 1, 10_000))]
    owned = {StageKind.TRAY: "trays", StageKind.BOARD: "boards", StageKind.RAFT: "rafts"}[stage]
    made = make_farm(
        days=24,
        crops=crops,
        growing=[growing("Kale", stage, -1, 6, 1)],
        wash_days=5,
        demands=[delivery("Lettuce", 10, 4, max_age=0), delivery("Lettuce", 20, 4, max_age=0)],
        **{owned: 1},
    )
    assert got(solved(made))["Lettuce 20"] == 4


def test_there_is_a_plan_even_where_the_crew_cannot_wash_what_is_thrown_away_at_once():
    made = make_farm(
        days=20, crops=CROPS, growing=[growing("Kale", StageKind.RAFT, -1, 6, 1)], wash_days=2, crew=1_00
    )
    assert outcome(made).plan is not None


def test_washing_what_is_thrown_away_can_wait_and_takes_no_hours_of_the_first_day():
    made = make_farm(
        days=20,
        crops=[quick_crop(minutes={"sow": 20_00}), quick_crop("Kale", minutes={"wash": 200_00})],
        growing=[growing("Kale", StageKind.TRAY, -1, 6, 1)],
        wash_days=1,
        crew=60_00,
        demands=[delivery("Lettuce", 7, 6, max_age=0), delivery("Lettuce", 9, 6, max_age=0)],
    )
    assert got(solved(made))["Lettuce 7"] == 6


def test_a_raft_thrown_empty_may_wait_long_behind_one_that_is_cut():
    slow = make_crop("Slow", tray=(4, 1, 10_000), board=None, raft=(20, 2, 10_000))
    rows = [
        growing("Slow", StageKind.RAFT, 0, 6, 1, order=1, lot="AHEAD"),
        growing("Kale", StageKind.RAFT, 0, 6, 1, order=2, lot="BEHIND"),
    ]
    made = make_farm(days=30, crops=[slow, *CROPS], growing=rows, demands=[delivery("Slow", 20, 6)])
    assert got(solved(made)) == {"Slow 20": 6}


def test_domes_are_held_as_long_as_their_trays_need_them_and_washed_after():
    needs = {"dome_days": 5}
    late = make_crop("Lettuce", tray=(2, 3, 10_000), board=None, raft=(6, 0, 10_000), handling=needs)
    orders = [delivery("Lettuce", day, 20, max_age=0) for day in (8, 9, 10, 11)]
    assert solved(make_farm(days=20, domes=1, crops=[late], demands=orders))
    short = quick_crop(handling={"dome_days": 2})
    washed = make_farm(
        days=20,
        domes=1,
        wash_days=2,
        crops=[short],
        demands=[delivery("Lettuce", day, 20, max_age=0) for day in (8, 10, 11)],
    )
    assert solved(washed)


def test_a_raft_that_passes_no_other_takes_no_time_to_lift():
    made = make_farm(
        days=24,
        lane_slots=2,
        crew=10_00,
        crops=[quick_crop()],
        rules={"lift_out": True, "lift_minutes": 20_00},
        demands=[delivery("Lettuce", 10, 6)],
    )
    assert got(solved(made)) == {"Lettuce 10": 6}
