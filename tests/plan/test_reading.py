"""Tables of a plan are read in one pass: quickly where all is well, with every fault in its place else."""

import gc

import pytest
from celled import cells, plan_from_cells
from samples import CALENDAR, small_plan

from scheduler.book.faults import BookFaults, FaultLog
from scheduler.plan.collecting import nothing_collected
from scheduler.plan.reading import read_rows


def grid_of(*rows):
    return cells(CALENDAR, small_plan())["cuts"][:1] + [list(row) for row in rows]


def test_rows_may_come_one_by_one_and_are_read_once():
    grid = cells(CALENDAR, small_plan())["lots"]
    log = FaultLog()
    assert read_rows(CALENDAR, "lots", iter(grid), log) == small_plan().lots
    assert not len(log)


def test_a_cell_that_is_the_same_in_many_rows_is_held_once():
    sound = ["R1", "BAS-260302", "2026-03-30", "1", "20", "18"]
    rows = read_rows(
        CALENDAR, "cuts", iter(grid_of(*(["".join(cell) for cell in sound] for _ in range(3)))), FaultLog()
    )
    assert len(rows) == 3
    assert len({id(row.lot) for row in rows}) == 1


def test_faults_between_sound_rows_are_told_each_in_its_row_and_again_where_they_come_again():
    sound = ["R1", "BAS-260302", "2026-03-30", "1", "20", "18"]
    log = FaultLog()
    grid = grid_of(sound, [*sound[:4], "many", "18"], sound, [*sound[:4], "many", ""], sound[:4])
    assert len(read_rows(CALENDAR, "cuts", grid, log)) == 2
    assert [str(fault) for fault in log] == [
        "cuts!E3: found 'many'; expected a whole number, such as 12",
        "cuts!E5: found 'many'; expected a whole number, such as 12",
        "cuts!F5: found blank; expected a whole number, such as 12",
        "cuts!E6: found blank; expected a whole number, such as 12",
        "cuts!F6: found blank; expected a whole number, such as 12",
    ]


def test_text_is_taken_as_it_was_before_it_was_written_in_rows_that_are_read_either_way():
    sound = ["'R1", "'L", "2026-03-30", "1", "20", "18"]
    log = FaultLog()
    rows = read_rows(CALENDAR, "cuts", grid_of(sound, [*sound, " "]), log, lambda text: text.strip("'"))
    assert [(row.unit, row.lot, row.heads) for row in rows] == [("R1", "L", 18)] * 2


def test_a_search_for_garbage_that_was_off_stays_off_and_one_that_was_on_comes_back():
    with nothing_collected():
        assert not gc.isenabled()
        with nothing_collected():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()
    tables = cells(CALENDAR, small_plan())
    tables["lots"][1][4] = "many"
    with pytest.raises(BookFaults), nothing_collected():
        plan_from_cells(CALENDAR, tables, {})
    assert gc.isenabled()
