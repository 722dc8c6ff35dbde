"""What grows on the first day keeps its place, and what is not moved on or cut is thrown away that day."""

from dataclasses import replace

from farms import growing, make_crop, make_farm
from plan.layout.amounts import NOTHING, Batch, held, laid, tasks, units

from scheduler.farm.crops import StageKind
from scheduler.plan.decided import BoardMove, CutAmount, Decided, RaftBatch, RaftLeave, TrayMove


def found_batch(index, **given):
    cuts = given.pop("cuts")
    thrown = given.pop("thrown", 0)
    known = {"crop": "Lettuce", "sown": None, "from_day": None, "board_day": None}
    plants = sum(number for _, number in cuts) + thrown
    return RaftBatch(
        **(known | given),
        growing=index,
        plants=plants,
        cuts=tuple(CutAmount(number=1, day=day, after=None, plants=number) for day, number in cuts),
        gone=(*cuts, *(((0, thrown),) if thrown else ())),
        thrown=thrown,
    )


def leave(enters, leaves, rafts, **given):
    known = {"crop": "Lettuce", "growing": -1, "lanes": ("Trough 1",)}
    return RaftLeave(**(known | given), enters=enters, leaves=leaves, rafts=rafts)


def test_growing_trays_go_on_and_the_rest_is_thrown_away_today():
    row = growing("Lettuce", StageKind.TRAY, -8, 30, 2)
    farm = make_farm(growing=[row])
    more = Decided(
        tray_moves=(
            TrayMove(crop="Lettuce", sown=-8, growing=0, tiers=("Shelf 1",), day=2, rows=0, plants=12),
            TrayMove(crop="Lettuce", sown=-8, growing=0, tiers=("Shelf 1",), day=5, rows=0, plants=10),
        ),
        board_moves=(
            BoardMove(
                crop="Lettuce", sown=-8, growing=0, zones=("Trough boards",), board_day=2, day=12, plants=12
            ),
            BoardMove(
                crop="Lettuce", sown=-8, growing=0, zones=("Trough boards",), board_day=5, day=15, plants=10
            ),
        ),
        raft_batches=(
            found_batch(0, sown=-8, from_day=2, board_day=2, day=12, cuts=((26, 12),)),
            found_batch(0, sown=-8, from_day=5, board_day=5, day=15, cuts=((29, 10),)),
        ),
        raft_leaves=(leave(12, 26, 2), leave(15, 29, 2)),
        fills=(),
    )
    plan = laid(farm, more=more)
    (lot,) = plan.lots
    assert (lot.lot, lot.origin, lot.plants, lot.discarded) == ("G", "growing", 30, 8)
    assert sorted((row.plants, row.leaves) for row in plan.contents if row.unit.startswith("T")) == [
        (5, 2),
        (7, 2),
        (8, 0),
        (10, 5),
    ]
    (discard,) = tasks(plan, "discard")
    assert (discard.day, discard.plants) == (0, 8)


def test_growing_boards_start_in_their_zone_and_are_all_there_on_the_first_day():
    row = growing("Lettuce", StageKind.BOARD, -8, 20, 3, place="Trough boards 2")
    farm = make_farm(growing=[row], zones=2)
    more = Decided(
        tray_moves=(),
        board_moves=(
            BoardMove(
                crop="Lettuce",
                sown=None,
                growing=0,
                zones=("Trough boards", "Trough boards 2"),
                board_day=-8,
                day=3,
                plants=12,
            ),
        ),
        raft_batches=(found_batch(0, from_day=-8, board_day=-8, day=3, cuts=((17, 12),)),),
        raft_leaves=(leave(3, 17, 2),),
        fills=(),
    )
    plan = laid(farm, more=more)
    assert len(units(plan, "board")) == 3
    assert {row.place for row in plan.positions if row.unit.startswith("B")} == {"Trough boards 2"}
    assert sorted(unit.leaves for unit in units(plan, "board")) == [0, 3, 3]
    assert plan.lots[0].discarded == 8


def test_growing_boards_stand_in_their_slots_and_what_comes_later_in_others():
    rows = [
        growing("Lettuce", StageKind.BOARD, -8, 6, 1, lot="ANY", place="Trough boards", order=0),
        growing("Lettuce", StageKind.BOARD, -8, 12, 2, lot="TWO", place="Trough boards", order=2),
        growing("Lettuce", StageKind.BOARD, -8, 6, 1, lot="ONE", place="Trough boards", order=1),
        growing("Lettuce", StageKind.BOARD, -8, 6, 1, lot="SIX", place="Trough boards", order=6),
    ]
    farm = make_farm(growing=rows)
    plan = laid(farm, more=Decided(tray_moves=(), board_moves=(), raft_batches=(), raft_leaves=(), fills=()))
    slot_of = {row.unit: row.slot for row in plan.positions}
    slots = {row.lot: set() for row in rows}
    for row in plan.contents:
        slots[row.lot].add(slot_of[row.unit])
    assert slots == {"ANY": {4}, "TWO": {2, 3}, "ONE": {1}, "SIX": {6}}


def test_growing_rafts_keep_their_order_and_those_thrown_away_wait_for_the_ones_ahead():
    rows = [
        growing("Lettuce", StageKind.RAFT, -13, 12, 2, lot="OLD"),
        growing("Lettuce", StageKind.RAFT, -6, 12, 2, lot="NEW", order=2),
    ]
    farm = make_farm(growing=rows)
    more = Decided(
        tray_moves=(),
        board_moves=(),
        raft_batches=(
            found_batch(0, day=-13, cuts=((1, 6), (3, 6))),
            found_batch(1, day=-6, cuts=((9, 5),), thrown=7),
        ),
        raft_leaves=(
            leave(-13, 1, 1, growing=0),
            leave(-13, 3, 1, growing=0),
            leave(-6, 3, 1, growing=1),
            leave(-6, 9, 1, growing=1),
        ),
        fills=(),
    )
    plan = laid(farm, Batch(), more=more)
    old_first = [(unit.emptied, unit.leaves) for unit in units(plan, "raft")[:4]]
    assert old_first == [(1, 1), (3, 3), (0, 3), (9, 9)]
    assert {lot.lot: lot.discarded for lot in plan.lots} == {"OLD": 0, "NEW": 7, "LET-260302": 0}


def test_what_nothing_is_decided_for_is_thrown_away_on_the_first_day_and_holds_no_slot():
    rows = [
        growing("Lettuce", StageKind.TRAY, -2, 20, 1, lot="A"),
        growing("Lettuce", StageKind.BOARD, -2, 12, 1, lot="B"),
        growing("Lettuce", StageKind.RAFT, -2, 6, 1, lot="C"),
    ]
    plan = laid(make_farm(growing=rows), more=NOTHING)
    assert sorted((lot.lot, lot.plants, lot.discarded) for lot in plan.lots) == [
        ("A", 20, 20),
        ("B", 12, 12),
        ("C", 6, 6),
    ]
    assert all(row.used == 0 for row in plan.use)


def test_growing_things_keep_their_slots_until_today_when_the_plan_starts_earlier():
    rows = [
        growing("Lettuce", StageKind.TRAY, -2, 20, 1, lot="A"),
        growing("Lettuce", StageKind.RAFT, -2, 6, 1, lot="C"),
    ]
    plan = laid(make_farm(growing=rows, today=3), more=NOTHING)
    used = {(row.place, row.day): row.used for row in plan.use}
    assert [used["Shelf 1", day] for day in (0, 2, 3)] == [1, 1, 0]
    assert [used["Trough 1", day] for day in (0, 2, 3)] == [1, 1, 0]


def test_few_plants_in_many_growing_units_leave_none_of_them_empty():
    row = growing("Lettuce", StageKind.RAFT, -14, 9, 4)
    more = Decided(
        tray_moves=(),
        board_moves=(),
        raft_batches=(found_batch(0, day=-14, cuts=((0, 5), (2, 4))),),
        raft_leaves=(leave(-14, 2, 2, growing=0), leave(-14, 0, 2, growing=0)),
        fills=(),
    )
    plan = laid(make_farm(growing=[row]), more=more)
    assert sorted(sum(amount for _, amount in unit) for unit in held(plan, "raft")) == [1, 2, 3, 3]


def test_overdue_lots_are_marked_and_lots_with_all_their_cuts_taken_are_not():
    done = make_crop("Basil", cuts=1)
    rows = [
        growing("Lettuce", StageKind.BOARD, -40, 12, 1, lot="LATE"),
        growing("Basil", StageKind.RAFT, -60, 6, 1, lot="DONE", cuts_done=1, last_cut=-30),
    ]
    farm = make_farm(crops=[make_crop("Lettuce"), done], growing=rows)
    plan = laid(farm, more=NOTHING)
    assert {lot.lot: lot.overdue for lot in plan.lots} == {"LATE": True, "DONE": False}


def test_on_the_first_day_rafts_are_told_with_the_slots_of_the_morning():
    rows = [growing("Lettuce", StageKind.RAFT, -14, 12, 2), growing("Lettuce", StageKind.RAFT, -13, 12, 2)]
    farm = make_farm(growing=[replace(row, lot=lot) for row, lot in zip(rows, ("G1", "G2"), strict=True)])
    more = Decided(
        tray_moves=(),
        board_moves=(),
        raft_batches=(found_batch(0, day=-14, cuts=((0, 7), (2, 5))),),
        raft_leaves=(leave(-14, 0, 1, growing=0), leave(-14, 2, 1, growing=0)),
        fills=(),
    )
    plan = laid(farm, more=more)
    today = [(task.work, task.lot, task.units, task.where) for task in plan.tasks if task.day == 0]
    # of one lot both rafts are cut today, the other, behind them, is thrown away
    assert ("cut", "G1", 2, "Trough 1 slots 1-2") in today
    assert ("discard", "G2", 2, "Trough 1 slots 3-4") in today
    (cut,) = [task for task in plan.tasks if (task.work, task.day) == ("cut", 0)]
    assert cut.note.startswith("7 plants: 6 from slot 1, 1 from slot 2")
