"""Labels are due when a tray, board or raft is filled, and say what these very plants do next."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, make_greens
from plans import Batch, build, edit
from solving import solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.plan.views.labels import Move, labels_due


@pytest.fixture
def farm():
    return make_farm()


def due(farm, *batches, first=0, last=60):
    return labels_due(farm, build(farm, *batches), first, last)


def test_every_unit_gets_a_label_on_the_day_it_is_filled_in_the_order_of_the_work(farm):
    labels = due(farm, Batch())
    assert [(label.due, label.item, label.unit, label.number, label.of) for label in labels] == [
        (0, "tray", "T1", 1, 1),
        (10, "board", "B1", 1, 1),
        (20, "raft", "R1", 1, 2),
        (20, "raft", "R2", 2, 2),
    ]
    assert {(label.lot, label.crop, label.variety) for label in labels} == {
        ("LET-260302", "Lettuce", "Lettuce one")
    }


def test_only_units_filled_on_the_days_asked_for_get_one(farm):
    assert [label.item for label in due(farm, Batch(), first=10, last=19)] == ["board"]
    assert [label.item for label in due(farm, Batch(), first=10, last=20)] == ["board", "raft", "raft"]
    assert due(farm, Batch(), first=1, last=9) == []


def test_a_label_has_all_dates_of_its_plants_and_the_next_move(farm):
    tray, board, raft, _ = due(farm, Batch())
    for label in (tray, board, raft):
        assert (label.sown, label.boards, label.rafts, label.cuts) == (0, (10,), (20,), (34,))
    assert tray.moves == (Move(to="board", day=10, rows=3, plants=12),)
    assert board.moves == (Move(to="raft", day=20, rows=0, plants=12),)
    assert raft.moves == (Move(to="cut", day=34, rows=0, plants=6),)
    assert (tray.amount, board.amount, raft.amount) == (12, 12, 6)
    assert (tray.place, tray.slot) == ("Shelf 1", 1)


def test_plants_that_go_other_ways_are_not_on_each_other_s_labels(farm):
    early = Batch(rows=2, boards=(6,), rafts=(6,), raft_day=20, cuts=((34, 6),))
    late = Batch(rows=2, board_day=12, boards=(6,), rafts=(6,), raft_day=23, cuts=((37, 6),))
    plan = build(farm, early, late)
    labels = labels_due(farm, plan, 0, 60)
    boards = {label.due: label for label in labels if label.item == "board"}
    rafts = {label.due: label for label in labels if label.item == "raft"}
    assert (boards[10].rafts, boards[10].cuts) == ((20,), (34,))
    assert (boards[12].rafts, boards[12].cuts) == ((23,), (37,))
    assert (rafts[23].boards, rafts[23].sown) == ((12,), 0)


def test_one_tray_whose_rows_leave_on_two_days_names_both_with_their_rows(farm):
    early = Batch(rows=2, boards=(6,), rafts=(6,))
    late = Batch(rows=1, board_day=12, boards=(4,), rafts=(4,), raft_day=23, cuts=((37, 4),))
    plan = build(farm, early, late)
    plan = edit(plan, "contents", {"unit": "T2"}, unit="T1")
    (tray,) = [label for label in labels_due(farm, plan, 0, 5) if label.item == "tray"]
    assert tray.moves == (
        Move(to="board", day=10, rows=2, plants=8),
        Move(to="board", day=12, rows=1, plants=4),
    )
    assert (tray.boards, tray.rafts, tray.cuts) == ((10, 12), (20, 23), (34, 37))


def test_a_raft_that_is_cut_again_has_each_day_once_with_all_plants_of_it(farm):
    (raft,) = [
        label
        for label in due(farm, Batch(rafts=(6,), cuts=((34, 2), (36, 3), (36, 1))))
        if label.item == "raft"
    ]
    assert [(move.day, move.plants) for move in raft.moves] == [(34, 2), (36, 4)]


def test_a_crop_without_boards_goes_from_tray_to_raft():
    farm = make_farm(crops=[make_crop("Basil", board=None)])
    tray, raft = due(farm, Batch(crop="Basil", board_day=None, raft_day=10, rafts=(6,), cuts=((24, 6),)))
    assert not tray.has_boards
    assert tray.moves[0].to == "raft"
    assert (tray.boards, tray.rafts, tray.cuts) == ((), (10,), (24,))
    assert raft.boards == ()


def test_lots_that_share_a_unit_get_a_label_each_and_stand_together():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Chard"), make_crop("Kale")])
    plan = build(farm, Batch(), Batch(crop="Chard", raft_day=21), Batch(crop="Kale", raft_day=22))
    plan = edit(plan, "contents", {"unit": "T3"}, unit="T1")
    labels = [label for label in labels_due(farm, plan, 0, 0) if label.item == "tray"]
    assert [(label.unit, label.lot, label.shared) for label in labels] == [
        ("T1", "KAL-260302", ("LET-260302",)),
        ("T1", "LET-260302", ("KAL-260302",)),
        ("T2", "CHA-260302", ()),
    ]


def test_what_stood_there_already_needs_no_label_but_what_it_goes_to_does():
    found = growing("Lettuce", StageKind.BOARD, -5, 12, 1)
    farm = make_farm(growing=[found])
    batch = Batch(found=found, boards=(), raft_day=5, rafts=(6, 6), cuts=((19, 6),))
    labels = due(farm, batch)
    assert {label.item for label in labels} == {"raft"}
    assert (labels[0].sown, labels[0].boards, labels[0].rafts) == (None, (-5,), (5,))
    (board,) = due(farm, batch, first=-5, last=-5)
    assert (board.item, board.moves[0].day) == ("board", 5)


def test_plants_that_go_nowhere_are_thrown_away(farm):
    plan = build(farm, Batch())
    plan = replace(plan, cuts=(), contents=tuple(row for row in plan.contents if row.unit[0] != "B"))
    labels = labels_due(farm, plan, 0, 60)
    assert [(label.item, label.moves[0].to) for label in labels] == [
        ("tray", "out"),
        ("raft", "out"),
        ("raft", "out"),
    ]


def test_rows_of_an_edited_plan_that_name_nothing_are_left_out(farm):
    plan = edit(build(farm, Batch()), "contents", {"unit": "B1"}, lot="no such lot")
    plan = edit(plan, "contents", {"unit": "R1"}, unit="no such raft")
    assert [label.unit for label in labels_due(farm, plan, 0, 60)] == ["T1", "R2"]


def test_plants_of_a_tray_that_go_into_a_bed_are_not_thrown_away():
    tomato = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 9_000), curve=(1500, 1500), a_week=2)
    farm = make_farm(
        days=28,
        crops=[tomato],
        demands=[delivery("Tomato", day, 6) for day in (7, 11, 14, 18)],
        beds={"Bed": 12},
        lanes=0,
        zones=0,
        work_days={Work.SOW: [0], Work.RAFT: [3], Work.HARVEST: [0, 3]},
    )
    (label,) = labels_due(farm, solved(farm, 1.0), 0, 27)
    assert [(move.to, move.day) for move in label.moves] == [("bed", 3)]
    assert (label.ends_in, label.beds, label.picks) == ("bed", (3,), (7, 10, 14, 17))


def test_a_tray_that_is_cut_on_its_shelf_is_an_open_one_without_rafts():
    farm = make_farm(
        crops=[make_greens("Cress", days=6, window=1, grams=200, saleable=9_000)],
        products={"Cress": {"Cress": 100_000}},
        demands=[delivery("Cress", 7, 3, max_age=0)],
        days=12,
        open_trays=9,
        work_days={Work.SOW: [0]},
    )
    labels = labels_due(farm, solved(farm, 0.5), 0, 11)
    assert {(label.item, label.is_open, label.ends_in, label.amount) for label in labels} == {
        ("tray", True, "tray", 1)
    }
    assert {label.cuts for label in labels} == {(7,)}
