"""A plan written as a folder is read back the same, byte for byte the same each time, and safe to open."""

import csv
import json
from dataclasses import replace

import pytest
from folders import every_byte, write_tables
from hypothesis import HealthCheck, given, settings
from samples import CALENDAR, any_plan, small_farm, small_plan, task

from scheduler.book.faults import BookFaults
from scheduler.outputs import csv_folder
from scheduler.outputs.csv_folder import csv_tables, read_note, read_plan
from scheduler.outputs.folder import FolderRefused
from scheduler.plan.rows import OPTIONAL_TABLES, TABLES


def test_a_plan_read_back_is_equal(tmp_path):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    assert read_plan(tmp_path / "plan", CALENDAR) == small_plan()


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(any_plan())
def test_any_plan_read_back_from_its_files_is_equal(tmp_path_factory, plan):
    folder = tmp_path_factory.mktemp("any") / "plan"
    keyed = tuple(
        task(f"{number}", row.day, row.work, lot=row.lot, crop=row.crop, note=row.note)
        for number, row in enumerate(plan.tasks)
    )
    plan = type(plan)(**{name: getattr(plan, name) for name in TABLES} | {"tasks": keyed}, made=plan.made)
    write_tables(folder, plan, small_farm())
    assert read_plan(folder, CALENDAR) == plan


def test_the_same_plan_gives_the_same_bytes_also_over_an_older_one(tmp_path):
    for name in ("one", "two", "two"):
        write_tables(tmp_path / name, small_plan(), small_farm())
    assert every_byte(tmp_path / "one") == every_byte(tmp_path / "two")


def test_tables_end_their_lines_with_a_line_feed_alone(tmp_path):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    for table in set(TABLES) - OPTIONAL_TABLES:
        text = (tmp_path / "plan" / "tables" / f"{table}.csv").read_bytes()
        assert text.endswith(b"\n")
        assert b"\r" not in text


def test_the_note_says_how_the_plan_was_made(tmp_path):
    write_tables(tmp_path / "plan", small_plan(), small_farm(today=3))
    note = read_note(tmp_path / "plan")
    assert note["farm"] == "Alder Quay"
    assert (note["first_day"], note["last_day"], note["today"]) == ("2026-03-02", "2026-03-29", "2026-03-05")
    assert note["book_sha256"] == "abc"
    assert note["made"] == small_plan().made
    assert note["rows"]["use"] == 3
    assert note["files"] == sorted(every_byte(tmp_path / "plan"))


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx", " =1", "\uff1d1+1", "'=quoted", "''"]
)
def test_text_a_spreadsheet_would_take_for_a_formula_is_guarded_and_read_back(tmp_path, text):
    plan = small_plan(tasks=(task("a", 0, "sow", note=text),))
    write_tables(tmp_path / "plan", plan, small_farm())
    with (tmp_path / "plan" / "tables" / "tasks.csv").open(newline="", encoding="utf-8") as file:
        assert next(csv.DictReader(file))["note"] == "'" + text
    assert read_plan(tmp_path / "plan", CALENDAR).tasks[0].note == text


@pytest.mark.parametrize("text", ["'s-Graveland", "'", "''s", "x=1"])
def test_other_text_is_read_back_too(tmp_path, text):
    plan = small_plan(tasks=(task("a", 0, "sow", note=text),))
    write_tables(tmp_path / "plan", plan, small_farm())
    assert read_plan(tmp_path / "plan", CALENDAR).tasks[0].note == text


def test_negative_numbers_are_not_guarded():
    plan = small_plan()
    changed = small_plan(seed=(type(plan.seed[0])(crop="B", variety="", day=0, cells=1, seeds=1, cost=-5),))
    assert csv_tables(CALENDAR, changed)["seed"].splitlines()[1] == "B,,2026-03-02,1,1,-0.05"


def test_a_table_saved_by_a_spreadsheet_is_still_read(tmp_path):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    path = tmp_path / "plan" / "tables" / "lots.csv"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n") + b",,,,,,,,\r\n")
    assert read_plan(tmp_path / "plan", CALENDAR) == small_plan()


def test_all_damage_of_a_folder_is_told_at_once(tmp_path):
    plan = tmp_path / "plan"
    write_tables(plan, small_plan(), small_farm())
    (plan / "plan.json").write_text("{}")
    (plan / "tables" / "fills.csv").unlink()
    (plan / "tables" / "use.csv").write_bytes(b"place\xff")
    (plan / "tables" / "cuts.csv").write_text('unit,"lot\n')
    lots = plan / "tables" / "lots.csv"
    lots.write_text(lots.read_text().replace("2026-03-02", "soon"))
    with pytest.raises(BookFaults) as caught:
        read_plan(plan, CALENDAR)
    assert [str(fault) for fault in caught.value.faults] == [
        "cuts: found text that is not CSV (unexpected end of data); expected quotation marks in pairs",
        "fills: found no such file; expected the file tables/fills.csv of a plan folder",
        "lots!D2: found 'soon'; expected a date, such as 2026-03-02",
        f"plan.json: found something else; expected the note that raftway wrote: {plan} is damaged, "
        "so put back a copy of the folder, or plan again into another",
        "use: found letters that are not UTF-8; expected a file saved as UTF-8",
    ]


@pytest.mark.parametrize(
    "note", ["", "[]", '{"raftway_plan": 1, "made": 3}', '{"raftway_plan": 99, "made": {}}']
)
def test_a_note_that_cannot_be_read_is_a_fault(tmp_path, note):
    (tmp_path / "plan.json").write_text(note)
    with pytest.raises(BookFaults, match=r"plan\.json: found"):
        read_note(tmp_path)


def test_a_table_that_is_a_link_out_of_the_folder_is_not_read(tmp_path):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    table = tmp_path / "plan" / "tables" / "lots.csv"
    table.rename(tmp_path / "elsewhere.csv")
    table.symlink_to(tmp_path / "elsewhere.csv")
    with pytest.raises(BookFaults, match="lots: found a link out of the folder"):
        read_plan(tmp_path / "plan", CALENDAR)


def test_a_file_beyond_the_size_limit_is_not_read(tmp_path, monkeypatch):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    largest = max(path.stat().st_size for path in (tmp_path / "plan").rglob("*.*"))
    monkeypatch.setattr(csv_folder, "LARGEST_FILE", largest)
    assert read_plan(tmp_path / "plan", CALENDAR) == small_plan()
    monkeypatch.setattr(csv_folder, "LARGEST_FILE", largest - 1)
    with pytest.raises(BookFaults, match=f"expected at most {largest - 1} bytes"):
        read_plan(tmp_path / "plan", CALENDAR)


def test_a_folder_with_something_else_in_it_is_refused(tmp_path):
    (tmp_path / "mine.txt").write_text("keep")
    with pytest.raises(FolderRefused):
        write_tables(tmp_path, small_plan(), small_farm())
    assert (tmp_path / "mine.txt").read_text() == "keep"


ENDLESS = replace(small_plan().goals[0], value=float("inf"), bound=float("-inf"))


def test_goals_stand_in_their_table_alone(tmp_path):
    write_tables(tmp_path / "plan", small_plan(goals=(ENDLESS,)), small_farm())
    note = json.loads((tmp_path / "plan" / "plan.json").read_text())
    assert "goals" not in note
    assert read_plan(tmp_path / "plan", CALENDAR).goals == (ENDLESS,)


def older(folder, goals, **changed):
    """Let the note of a plan folder repeat its goals, as older ones do, the first of them changed."""
    told = [
        {"level": row.level, "goal": row.goal, "value": row.value, "unit": row.unit, "status": row.status}
        for row in goals
    ]
    told[0] |= changed
    note = json.loads((folder / "plan.json").read_text())
    (folder / "plan.json").write_text(json.dumps(note | {"goals": told}))


@pytest.mark.parametrize(
    "changed", [{"value": 1.5}, {"status": "best found"}, {"goal": "x"}, {"unit": "x"}, {"level": 9}]
)
def test_goals_of_an_older_note_are_those_of_the_table(tmp_path, changed):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    older(tmp_path / "plan", small_plan().goals)
    assert read_plan(tmp_path / "plan", CALENDAR) == small_plan()
    older(tmp_path / "plan", small_plan().goals, **changed)
    with pytest.raises(BookFaults) as caught:
        read_plan(tmp_path / "plan", CALENDAR)
    assert [str(fault) for fault in caught.value.faults] == [
        "plan.json: found goals other than those of tables/goals.csv; expected the same, or no goals in "
        "plan.json: newer versions keep none there"
    ]


def test_an_older_note_stays_readable_where_a_value_was_no_number_or_the_table_was_emptied(tmp_path):
    plan = small_plan(goals=(ENDLESS,))
    write_tables(tmp_path / "plan", plan, small_farm())
    older(tmp_path / "plan", plan.goals, value=None)
    assert read_plan(tmp_path / "plan", CALENDAR) == plan
    table = tmp_path / "plan" / "tables" / "goals.csv"
    table.write_text(table.read_text().splitlines()[0] + "\n")
    assert read_plan(tmp_path / "plan", CALENDAR).goals == ()


def test_quotation_marks_that_do_not_pair_are_told_once_whatever_stood_before_them(tmp_path):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    lots = tmp_path / "plan" / "tables" / "lots.csv"
    lots.write_text(lots.read_text().replace("2026-03-02", "soon") + '"A"B,x\n')
    with pytest.raises(BookFaults) as caught:
        read_plan(tmp_path / "plan", CALENDAR)
    told = [str(fault) for fault in caught.value.faults]
    assert len(told) == 1
    assert told[0].startswith("lots: found text that is not CSV")
