"""Throwing away on the first day names the trays, boards and rafts it is done from, and no others."""

import pytest
from farms import growing, make_crop, make_farm
from plan.layout.amounts import NOTHING, laid, tasks
from plan.layout.test_layout_growing import found_batch, leave
from reports import lines_of

from scheduler.farm.crops import StageKind
from scheduler.plan.decided import BoardMove, CutAmount, Decided, RaftBatch, TrayMove
from scheduler.plan.thrown import thrown_away
from scheduler.plan.views.week import week_sheets

TODAY = 2


def moved_today(farm, plants, sown=-8):
    """A plan that sets so many plants of the first growing row out on boards, and throws the rest away."""
    move = {"crop": "Lettuce", "sown": sown, "growing": 0}
    days = {"board_day": TODAY, "day": TODAY + 10}
    more = Decided(
        tray_moves=(TrayMove(**move, tiers=("Shelf 1",), day=TODAY, rows=0, plants=plants),),
        board_moves=(BoardMove(**move, zones=("Trough boards",), **days, plants=plants),),
        raft_batches=(found_batch(0, sown=sown, from_day=TODAY, cuts=((TODAY + 24, plants),), **days),),
        raft_leaves=(leave(TODAY + 10, TODAY + 24, -(-plants // 6)),),
        fills=(),
    )
    return laid(farm, more=more)


def said(farm, plan, work):
    """Where a kind of work is done today: by the task, and by the week's sheet with plants in each unit."""
    (task,) = [task for task in tasks(plan, work) if task.day == TODAY]
    ((_, _, line),) = [each for each in lines_of(week_sheets(farm, plan)) if each[:2] == (TODAY, work)]
    return task.where, [(stack.spot.slots, stack.plants) for stack in line.sources]


@pytest.mark.parametrize(
    ("plants", "goes_on", "thrown", "units"),
    [
        (20, ("Shelf 1 slots 1-2", [((1, 2), 10)]), ("Shelf 1 slot 3", [((3,), 10)]), 1),
        (
            25,
            ("Shelf 1 slots 1-3", [((1, 2), 10), ((3,), 5)]),
            ("Shelf 1 slot 3", [((3,), 5)]),
            1,
        ),
        (
            15,
            ("Shelf 1 slots 1-2", [((1,), 10), ((2,), 5)]),
            ("Shelf 1 slots 2-3", [((2,), 5), ((3,), 10)]),
            2,
        ),
    ],
)
def test_trays_whose_plants_all_go_on_are_not_among_those_thrown_away(plants, goes_on, thrown, units):
    farm = make_farm(growing=[growing("Lettuce", StageKind.TRAY, -8, 30, 3)], today=TODAY)
    plan = moved_today(farm, plants)
    assert said(farm, plan, "transplant") == goes_on
    assert said(farm, plan, "discard") == thrown
    assert [(task.plants, task.units) for task in tasks(plan, "discard")] == [(30 - plants, units)]


def test_of_one_lot_set_on_boards_on_two_days_those_are_thrown_away_that_do_not_go_on():
    rows = [growing("Lettuce", StageKind.BOARD, since, 10, 1) for since in (-4, -8)]
    farm = make_farm(growing=rows, today=TODAY)
    days = {"board_day": -8, "day": TODAY}
    more = Decided(
        tray_moves=(),
        board_moves=(
            BoardMove(crop="Lettuce", sown=None, growing=1, zones=("Trough boards",), **days, plants=8),
        ),
        raft_batches=(found_batch(1, from_day=-8, cuts=((TODAY + 14, 8),), **days),),
        raft_leaves=(leave(TODAY, TODAY + 14, 2),),
        fills=(),
    )
    plan = laid(farm, more=more)
    since = {unit.enters: unit.unit for unit in plan.units if unit.item == "board"}
    assert thrown_away(farm, plan) == {"G": {since[-4]: 10, since[-8]: 2}}
    assert [task.plants for task in tasks(plan, "discard")] == [12]


def test_rafts_that_are_cut_today_and_go_on_growing_are_not_thrown_away():
    crop = make_crop("Lettuce", cuts=2, interval=7)
    farm = make_farm(crops=[crop], growing=[growing("Lettuce", StageKind.RAFT, -14, 12, 2)])
    batch = RaftBatch(
        crop="Lettuce", sown=None, growing=0, from_day=None, board_day=None, day=-14, plants=12,
        cuts=tuple(
            CutAmount(number=number, day=day, after=after, plants=9)
            for number, day, after in ((1, 0, None), (2, 7, 0))
        ),
        gone=((0, 3), (7, 9)), thrown=3,
    )  # fmt: skip
    more = Decided(
        tray_moves=(),
        board_moves=(),
        raft_batches=(batch,),
        raft_leaves=(leave(-14, 7, 2, growing=0),),
        fills=(),
    )
    plan = laid(farm, more=more)
    (discard,) = tasks(plan, "discard")
    assert (discard.plants, discard.units) == (3, 1)
    assert thrown_away(farm, plan) == {"G": {"R260216-02": 3}}


def test_what_nothing_is_decided_for_is_thrown_away_from_all_it_stands_in():
    rows = [
        growing("Lettuce", StageKind.BOARD, -2, 20, 2, lot="B"),
        growing("Lettuce", StageKind.RAFT, -2, 6, 1),
    ]
    farm = make_farm(growing=rows)
    plan = laid(farm, more=NOTHING)
    assert [sorted(plants.values()) for _, plants in sorted(thrown_away(farm, plan).items())] == [
        [10, 10],
        [6],
    ]
    assert thrown_away(farm, laid(make_farm(), more=NOTHING)) == {}
