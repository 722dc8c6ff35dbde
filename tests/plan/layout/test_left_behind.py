"""What leaves trays and boards after the first day and goes nowhere is thrown away by a task of its own."""

from dataclasses import replace

import pytest
from farms import TRAY, growing, make_farm
from followed import Followed
from plan.layout.amounts import laid, tasks
from plan.layout.test_layout_growing import found_batch, leave
from reports import lines_of
from solving import quick_crop

from scheduler.farm.crops import StageKind
from scheduler.plan.audit import audit
from scheduler.plan.decided import BoardMove, Decided, TrayMove
from scheduler.plan.exact import CLEARED, KEY, WHOLE
from scheduler.plan.layout import lay_out
from scheduler.plan.views.week import week_sheets
from scheduler.records.compare import differences

SAID = {"crop": "Lettuce", "growing": 0}


def farm_with(stage, place):
    return make_farm(growing=[growing("Lettuce", stage, -8, 30, 3, place=place)])


def trays_left(place, day=4):
    """Of three trays one is set out on day 2, and two stand on until a day on which nobody takes them."""
    farm = farm_with(StageKind.TRAY, place)
    out = {**SAID, "sown": -8, "tiers": ("Shelf 1",), "rows": 0}
    on = {**SAID, "sown": -8, "board_day": 2, "day": 12}
    more = Decided(
        tray_moves=(TrayMove(**out, day=2, plants=10), TrayMove(**out, day=day, plants=20)),
        board_moves=(BoardMove(**on, zones=("Trough boards",), plants=10),),
        raft_batches=(found_batch(0, sown=-8, from_day=2, board_day=2, day=12, cuts=((26, 10),)),),
        raft_leaves=(leave(12, 26, 2),),
        fills=(),
    )
    return farm, replace(laid(farm, more=more), made={KEY: CLEARED})


def boards_left(place, day=4):
    """The same of boards."""
    farm = farm_with(StageKind.BOARD, place)
    out = {**SAID, "sown": None, "board_day": -8, "zones": ("Trough boards",)}
    more = Decided(
        tray_moves=(),
        board_moves=(BoardMove(**out, day=2, plants=10), BoardMove(**out, day=day, plants=20)),
        raft_batches=(found_batch(0, from_day=-8, board_day=-8, day=2, cuts=((16, 10),)),),
        raft_leaves=(leave(2, 16, 2),),
        fills=(),
    )
    return farm, replace(laid(farm, more=more), made={KEY: CLEARED})


KINDS = [
    pytest.param(trays_left, "Shelf 1", id="trays"),
    pytest.param(trays_left, "Shelf", id="trays of which no tier is known"),
    pytest.param(boards_left, "Trough boards", id="boards"),
    pytest.param(boards_left, "Trough", id="boards of which no zone is known"),
]


@pytest.mark.parametrize(("made", "place"), KINDS)
def test_recorded_as_planned_the_farm_stands_as_planned_on_every_day(made, place):
    farm, plan = made(place)
    followed = Followed(None, farm, plan)
    for day in range(1, 28):
        followed.until(day)
        assert differences(farm, plan, followed.state(day), day - 1) == [], day


@pytest.mark.parametrize(("made", "place"), KINDS)
def test_one_task_and_one_line_of_the_week_throw_it_away_where_it_stands(made, place):
    farm, plan = made(place)
    (task,) = tasks(plan, "discard")
    assert (task.key, task.day, task.plants, task.units) == ("discard G", 4, 20, 2)
    ((day, _, line),) = [each for each in lines_of(week_sheets(farm, plan)) if each[1] == "discard"]
    (stack,) = line.sources
    assert (day, line.plants, len(stack.spot.slots)) == (4, 20, 2)
    assert task.where == f"{stack.spot.place} slots {'-'.join(map(str, stack.spot.slots))}"


def test_where_some_is_set_out_the_rest_goes_with_that_work():
    _, plan = trays_left("Shelf 1", day=2)
    assert tasks(plan, "discard") == []
    assert [task.where for task in tasks(plan, "transplant")] == ["Shelf 1 slots 1-3"]


def test_the_audit_misses_the_task_and_lets_plans_be_that_were_made_before_it():
    farm, plan = trays_left("Shelf 1")
    assert [str(fault) for fault in audit(farm, plan) if fault.where == "G"] == []
    without = replace(plan, tasks=tuple(task for task in plan.tasks if task.work != "discard"))
    said = [str(fault) for fault in audit(farm, without)]
    assert "bookkeeping | G | 2026-03-06: the task to discard 20 is missing" in said
    older = replace(without, made={KEY: WHOLE})
    assert [str(fault) for fault in audit(farm, older) if fault.where in ("G", "tasks")] == []
    # and its week sheets list no more than its tasks
    assert [each for each in lines_of(week_sheets(farm, older)) if each[1] == "discard"] == []
    told = replace(plan, made={KEY: WHOLE})
    assert lines_of(week_sheets(farm, told)) == lines_of(week_sheets(farm, plan))


def test_plugs_that_go_nowhere_may_be_thrown_away_on_the_first_day_they_are_bought_for():
    farm = make_farm(crops=[replace(quick_crop(tray=(0, 2, 10_000)), bought=True)])
    move = TrayMove(crop="Lettuce", sown=0, growing=-1, tiers=("Shelf 1",), day=0, rows=1, plants=0)
    none = Decided(tray_moves=(move,), board_moves=(), raft_batches=(), raft_leaves=(), fills=())
    plan = replace(lay_out(farm, none, (), {}), made={KEY: CLEARED})
    assert [(task.day, task.unit_kind) for task in plan.tasks if task.work == "discard"] == [(0, TRAY)]
    assert [str(fault) for fault in audit(farm, plan)] == []


def test_rows_a_plan_numbers_apart_are_set_out_one_after_the_other_of_the_one_lot_of_the_records():
    found = growing("Lettuce", StageKind.BOARD, -8, 30, 3, place="Trough boards")
    rows = [
        replace(found, lot=lot, plants=plants, units=units)
        for lot, plants, units in (("G-2", 18, 2), ("G", 12, 1))
    ]
    farm = make_farm(growing=[replace(row, batch="G") for row in rows])
    out = {"crop": "Lettuce", "sown": None, "board_day": -8, "zones": ("Trough boards",), "day": 2}
    more = Decided(
        tray_moves=(),
        board_moves=tuple(BoardMove(**out, growing=at, plants=row.plants) for at, row in enumerate(rows)),
        raft_batches=tuple(
            found_batch(at, from_day=-8, board_day=-8, day=2, cuts=((16 + 2 * at, row.plants),))
            for at, row in enumerate(rows)
        ),
        raft_leaves=(leave(2, 16, 3), leave(2, 18, 2)),
        fills=(),
    )
    followed = Followed(None, farm, laid(farm, more=more))
    followed.first = make_farm(growing=[found])
    followed.until(3)
    assert differences(farm, followed.plan, followed.state(3), 2) == []
