"""Task sheets filled in by hand: what is done, by whom, when and how many; what is odd is told by cell."""

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from scheduler.book.faults import BookFaults, FaultLog
from scheduler.outputs.saved import open_plan
from scheduler.records.sheets import told_in_sheet
from scheduler.records.tasks import Tasks

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "alder-quay" / "plan"


@pytest.fixture(scope="module")
def tasks():
    return Tasks(*open_plan(EXAMPLE))


@pytest.fixture(scope="module")
def rows():
    text = (EXAMPLE / "tables" / "tasks.csv").read_text(encoding="utf-8")
    return list(csv.reader(io.StringIO(text)))


@pytest.fixture
def sheet(tmp_path, rows, tasks):
    """Fill in the first rows of the table of tasks and read it; return what is told and the faults."""

    def sheet(*filled, extra=("done", "counted", "who", "seed_lot", "note")):
        lines = [[*rows[0], *extra]]
        for at, row in enumerate(rows[1:30]):
            lines.append([*row, *(filled[at] if at < len(filled) else [""] * len(extra))])
        text = io.StringIO()
        csv.writer(text).writerows(lines)
        path = tmp_path / "tasks.csv"
        path.write_text(text.getvalue(), encoding="utf-8-sig")
        log = FaultLog()
        told = told_in_sheet(path, tasks, log)
        return told, [str(fault) for fault in log]

    return sheet


def first_sowing(rows):
    return next(at for at, row in enumerate(rows[1:]) if row[2] == "sow")


def test_what_is_filled_in_is_told_and_nothing_else(sheet, rows):
    at = first_sowing(rows)
    blank = [""] * 5
    told, faults = sheet(*[blank] * at, ["yes", "30", "Ana", "S-1", "thin seed"])
    assert faults == []
    (entry,) = told
    assert {name: entry.given[name] for name in ("what", "plants", "who", "seed_lot", "note")} == {
        "what": "sown",
        "plants": 30,
        "who": "Ana",
        "seed_lot": "S-1",
        "note": "thin seed",
    }
    assert str(entry.given["when"]) == rows[at + 1][1]


@pytest.mark.parametrize("word", ["yes", "Y", "x", "ok", "TRUE", "done", "1"])
def test_many_words_say_that_it_is_done(sheet, rows, word):
    told, faults = sheet([word, "", "", "", ""])
    assert (len(told), faults) == (1, [])
    assert told[0].given["who"] == ""


@pytest.mark.parametrize("word", ["", "no", "N", "FALSE", "0", "  "])
def test_others_say_that_it_is_not(sheet, word):
    assert sheet([word, "", "Ana", "", ""]) == ([], [])


def test_a_count_alone_says_that_it_is_done(sheet):
    told, faults = sheet(["", "30", "", "", ""])
    assert (len(told), faults) == (1, [])


def test_done_may_hold_the_day_or_who_did_it(sheet):
    told, _ = sheet(["2026-03-07", "", "", "", ""])
    assert str(told[0].given["when"]) == "2026-03-07"
    told, _ = sheet(["Ben", "", "", "", ""])
    assert told[0].given["who"] == "Ben"
    told, _ = sheet(["Ben", "", "Ana", "", ""])
    assert told[0].given["who"] == "Ana"


def test_every_odd_cell_is_told_with_its_address(sheet):
    told, faults = sheet(["no", "12", "", "", ""], ["yes", "a few", "", "", ""], ["31/3", "", "", "", ""])
    assert told == []
    assert faults == [
        "tasks.csv!M2: found '12' counted, and not done; expected yes as done",
        "tasks.csv!M3: found 'a few'; expected a whole number, such as 36",
        "tasks.csv!L4: found '31/3'; expected yes, no, a date such as 2026-03-02, or a name",
    ]


def test_a_task_of_another_plan_is_told(sheet, rows, tmp_path, tasks):
    path = tmp_path / "other.csv"
    path.write_text("key,done\nsow XXX-260305,yes\n,yes\n", encoding="utf-8")
    log = FaultLog()
    assert told_in_sheet(path, tasks, log) == []
    first, second = (str(fault) for fault in log)
    assert first.startswith("other.csv!A2: found 'sow XXX-260305'; expected a task of the plan: ")
    assert second == "other.csv!A3: found a blank cell; expected a task of the plan: the name of the task"


def test_columns_may_be_called_as_people_do(sheet):
    told, faults = sheet(["yes", "Ana", "S-1", "hot"], extra=("Done", "WHO", "Seed lot", "remark"))
    assert faults == []
    assert (told[0].given["who"], told[0].given["seed_lot"], told[0].given["note"]) == ("Ana", "S-1", "hot")


def test_missing_and_double_columns_are_told(sheet):
    assert sheet(extra=()) == ([], ["tasks.csv!A1: found no column done; expected the column done"])
    _, faults = sheet(extra=("done", "done"))
    assert faults == ["tasks.csv!M1: found a second done; expected each column once"]


@pytest.mark.parametrize(
    ("contents", "found"),
    [
        (b"", "an empty file"),
        (b'key,done\n"a', "text that is not CSV"),
        ("key,done\nGr\u00fcn,yes".encode("latin-1"), "letters that are not UTF-8"),
    ],
)
def test_a_damaged_table_is_told(tmp_path, tasks, contents, found):
    path = tmp_path / "tasks.csv"
    path.write_bytes(contents)
    with pytest.raises(BookFaults, match=found):
        told_in_sheet(path, tasks, FaultLog())


@pytest.fixture
def workbook(tmp_path, tasks):
    """Change the plan's workbook, save it as a spreadsheet program would, and read it."""

    def workbook(change):
        book = load_workbook(EXAMPLE / "plan.xlsx")
        sheet = book["tasks"]
        change(sheet, {cell.value: cell.column for cell in sheet[1]})
        path = tmp_path / "filled.xlsx"
        book.save(path)
        log = FaultLog()
        told = told_in_sheet(path, tasks, log)
        return told, [str(fault) for fault in log]

    return workbook


def test_the_plan_s_workbook_is_read_as_it_was_filled_in(workbook, tasks):
    def fill(sheet, at):
        sheet.cell(2, at["done"], "yes")
        sheet.cell(3, at["done"], date(2026, 3, 10))
        sheet.cell(4, at["counted"], 60.0)
        sheet.cell(2, at["seed lot"], "S-9")

    told, faults = workbook(fill)
    assert faults == []
    keys = [entry.given["task"] for entry in told]
    assert len(told) == len(set(keys)) <= 3
    assert told[0].given["seed_lot"] == "S-9"
    assert all(key in tasks.by_key for key in keys)


def test_the_workbook_as_it_was_written_tells_nothing(workbook):
    assert workbook(lambda sheet, at: None) == ([], [])


def test_a_formula_that_was_never_calculated_is_no_blank(workbook):
    told, faults = workbook(lambda sheet, at: sheet.cell(2, at["counted"], "=10+2"))
    assert told == []
    assert faults[0].startswith("tasks!L2: found a formula without a saved value")


def test_something_else_of_the_same_ending_is_told(tmp_path, tasks):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"<html>no workbook</html>")
    with pytest.raises(BookFaults, match="a web page"):
        told_in_sheet(path, tasks, FaultLog())
    book = load_workbook(EXAMPLE / "plan.xlsx")
    del book["tasks"]
    book.save(path)
    with pytest.raises(BookFaults, match="a workbook without a sheet tasks"):
        told_in_sheet(path, tasks, FaultLog())
