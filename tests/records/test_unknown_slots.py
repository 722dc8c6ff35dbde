"""Trays and boards that a book says are growing: no book tells their slots, so nothing told is doubted."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm
from recorded import now, refused, small, sown, stands, tell, told
from solving import solved

from scheduler.book.place import Cell
from scheduler.farm.crops import StageKind
from scheduler.outputs.happened.status import Status, status_page
from scheduler.outputs.happened.words import log_lines
from scheduler.outputs.show.page import rendered
from scheduler.records.doubts import doubts
from scheduler.records.drafts import Hints
from scheduler.records.tasks import Done, Tasks

GROWING = (
    "lot,crop,stage,place,since,plants,units\n"
    "G1,Butterhead,tray,Shelf A 1,2026-02-20,150,2\n"
    "G2,Basil,tray,Shelf A 1,2026-02-22,60,1\n"
    "G3,Butterhead,board,North trough boards,2026-02-16,60,1\n"
)


@pytest.fixture
def farm(tmp_path):
    return small(tmp_path, growing=GROWING)


def doubted(farm, log):
    state = now(log)
    return doubts(farm, state, farm.date_of(1))


def test_what_is_told_to_stand_in_a_slot_is_not_there_twice(farm):
    log = tell(farm, [], sown(to="Shelf A 1 slot 1"))
    assert sorted(stands(now(log))) == [
        ("North trough boards", 0, "G3", 60),
        ("Shelf A 1", 0, "G1", 75),
        ("Shelf A 1", 0, "G1", 75),
        ("Shelf A 1", 0, "G2", 60),
        ("Shelf A 1", 1, "BUT-260302", 98),
    ]
    assert doubted(farm, log) == []


def test_more_trays_than_slots_are_still_doubted(farm):
    log = tell(farm, [], sown(to="Shelf A 1 slot 4"), sown(lot="B2", to="Shelf A 1 slot 2"))
    assert doubted(farm, log) == ["5 trays stand in Shelf A 1, which has 4 slots: record what left"]


def test_two_trays_told_to_stand_in_one_slot_are_still_doubted(farm):
    log = tell(farm, [], sown(to="Shelf A 2 slot 3"), sown(day=1, to="Shelf A 2 slot 3"))
    assert doubted(farm, log) == [
        "2 trays of BUT-260302 and BUT-260303 stand in slot 3 of Shelf A 2, which holds one: record "
        "which left, or where it stands now"
    ]


def test_who_names_the_slot_of_such_a_tray_is_believed(farm):
    log = tell(farm, [], told("lost", 0, lot="G2", place="Shelf A 1 slot 1", plants=10))
    assert ("Shelf A 1", 0, "G2", 50) in stands(now(log))
    log = tell(farm, log, told("culled", 1, lot="G1", place="Shelf A 1 slots 3-4", plants=150))
    assert [lot for _, _, lot, _ in stands(now(log))] == ["G3", "G2"]


def test_two_slots_that_are_named_are_two_trays(farm):
    log = tell(farm, [], told("lost", 0, lot="G1", place="Shelf A 1 slot 4", plants=75))
    assert [plants for _, _, lot, plants in stands(now(log)) if lot == "G1"] == [75]
    (said,) = refused(farm, log, told("lost", 1, lot="G1", place="Shelf A 1 slots 1-2", plants=80))
    assert said.startswith("--place: found Shelf A 1 slot 2, which ")


def test_a_lot_that_stands_elsewhere_is_not_found_in_a_slot(farm):
    (said,) = refused(farm, [], told("lost", 0, lot="G3", place="Shelf A 1 slot 1", plants=1))
    assert said == ("--place: found Shelf A 1 slot 1, which is empty; expected a place where 'G3' stands")


def test_a_tray_that_is_moved_stands_where_that_was_told(farm):
    log = tell(farm, [], told("moved", 0, lot="G2", to="Shelf A 2 slot 2"))
    assert ("Shelf A 2", 2, "G2", 60) in stands(now(log))
    log = tell(farm, log, sown(day=1, to="Shelf A 2 slot 2"))
    assert len(doubted(farm, log)) == 1


def test_a_new_tray_goes_where_no_other_is_known_or_guessed_to_stand(farm):
    log = tell(farm, [], sown())
    assert ("Shelf A 1", 4, "BUT-260302", 98) in stands(now(log))
    assert doubted(farm, log) == []


def test_the_log_tells_where_they_were_found_without_a_slot(farm):
    log = tell(farm, [], sown())
    lines = log_lines(farm, log)
    assert lines[0] == "    1   2 Mar 2026  found G1 Butterhead; 150 plants; to 2 trays, Shelf A 1"
    assert lines[3].endswith("to 1 tray, Shelf A 1 slot 4")


def test_the_log_tells_no_slot_of_them_that_nobody_told(farm):
    moved = told("moved", 14, lot="G1", to="North trough boards", plants=72, left=0)
    assert log_lines(farm, tell(farm, [], moved))[-1].endswith(
        "72 plants; from Shelf A 1; to 1 board, North trough boards slot 2"
    )
    moved = told("moved", 14, lot="G1", place="Shelf A 1 slots 2-3", to="North trough boards", plants=72)
    assert "; from Shelf A 1 slots 2-3; to" in log_lines(farm, tell(farm, [], moved))[-1]
    moved = told("moved", 14, lot="G1", place="Shelf A 1", to="North trough boards", plants=72)
    assert "; from Shelf A 1; to" in log_lines(farm, tell(farm, [], moved))[-1]


def test_beside_slots_that_were_told_those_that_were_not_are_only_counted(farm):
    log = tell(farm, [], told("moved", 0, lot="G1", to="Shelf A 1 slot 4", units=1))
    move = told("moved", 14, lot="G1", place="Shelf A 1", to="North trough boards", plants=72, left=0)
    log = tell(farm, log, move)
    assert "; from Shelf A 1 slot 4 and 1 more; to" in log_lines(farm, log)[-1]


def test_which_of_them_were_emptied_is_known_again(farm):
    """Those that hold least go first; what is told later of the day before changes nothing of that."""
    log = tell(farm, [], told("lost", 0, lot="G1", place="Shelf A 1 slot 1", plants=15))
    log = tell(farm, log, told("moved", 14, lot="G1", to="North trough boards", plants=60, left=75))
    assert sorted(each for each in stands(now(log)) if each[2] == "G1") == [
        ("North trough boards", 2, "G1", 60),
        ("Shelf A 1", 0, "G1", 75),
    ]
    late = tell(farm, log, sown(day=1, to="Shelf A 1 slot 1"))
    assert ("Shelf A 1", 0, "G1", 75) in stands(now(late))


def test_status_tells_them_as_trays_and_boards_each_by_itself(farm):
    log = tell(farm, [], sown(to="Shelf A 1 slot 1"))
    day = farm.date_of(1)
    page = rendered(
        status_page(Status(farm=farm, day=day, state=now(log), entries=4, last="", held=(), doubts=()))
    )
    assert (
        """
Shelf A 1 2 trays 150 seedlings of G1, Butterhead, since 20 Feb
          1 tray  60 seedlings of G2, Basil, since 22 Feb
          slot 1  98 cells of BUT-260302, Butterhead, since 2 Mar
"""
        in page
    )


def test_rows_of_one_lot_that_the_book_has_apart_stay_apart(tmp_path):
    """Of 17 plants on one board 16 are set out and none stays, however many of the other row do."""
    farm = small(
        tmp_path,
        growing="lot,crop,stage,place,since,plants,units\n"
        "G3,Butterhead,board,North trough boards,2026-02-14,17,1\n"
        "G3,Butterhead,board,North trough boards,2026-02-16,40,1\n",
    )
    hints = Hints(planned=frozenset({"plants"}), staying=(38, 19), alone=(0, 17), beside=("G3-2",), puts=())
    move = replace(told("moved", 0, lot="G3", to="North trough 1", plants=16, units=1), hints=hints)
    log = tell(farm, [], move)
    assert stands(now(log)) == [("North trough 1", 1, "G3", 16), ("North trough boards", 0, "G3-2", 40)]


def test_a_plan_tells_of_each_row_of_a_lot_what_stays_and_what_leaves():
    rows = [
        growing("Lettuce", StageKind.BOARD, -2, 6, 1, lot="G"),
        growing("Lettuce", StageKind.BOARD, -2, 12, 1, lot="G-2"),
    ]
    crop = make_crop("Lettuce", tray=(3, 1, 10_000), board=(3, 1, 10_000), raft=(4, 1, 10_000))
    farm = make_farm(days=14, crops=[crop], growing=rows, demands=[delivery("Lettuce", 5, 18, max_age=0)])
    plan = solved(farm, 0.3)
    tasks = Tasks(farm, plan)
    for lot, other, plants in (("G", "G-2", 6), ("G-2", "G", 12)):
        task = next(each for each in plan.tasks if (each.work, each.lot) == ("raft", lot))
        (one,) = tasks.told(Done(key=task.key, where=Cell("x")))
        assert one.hints.beside == (other,)
        assert one.hints.alone == (0, plants)
