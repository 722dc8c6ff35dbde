"""Task sheets filled in by hand: what is done, by whom, when and how many; what is odd is told by cell."""

import csv
import io
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from scheduler.book.faults import BookFaults, FaultLog
from scheduler.book.raw import MOST_ROWS
from scheduler.outputs.saved import open_plan
from scheduler.outputs.workbook import sheets
from scheduler.outputs.workbook.work import tasks_sheet
from scheduler.records import filled
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
def parted(tmp_path, tasks, monkeypatch):
    """Write the first 90 tasks of the plan in sheets of 40, change them in a program, and read them."""

    def parted(change):
        monkeypatch.setattr(sheets, "MOST_ROWS", 40)
        table, page = tasks_sheet(tasks.farm, tasks.plan), sheets.Page(farm="Alder Quay Greens", period="")
        written, path = Workbook(write_only=True), tmp_path / "filled.xlsx"
        for part in reversed(sheets.continued(replace(table, rows=table.rows[:90]))):
            sheets.write_table_sheet(written, part, page)
        written.save(path)
        book = load_workbook(path)
        change(book, {cell.value: cell.column for cell in book["tasks"][1]})
        book.save(path)
        log = FaultLog()
        told = told_in_sheet(path, tasks, log)
        return told, [str(fault) for fault in log]

    return parted


@pytest.fixture
def workbook(parted):
    """Change the first sheet of tasks, and read all."""
    return lambda change: parted(lambda book, at: change(book["tasks"], at))


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


def test_the_workbook_as_it_was_written_tells_nothing(tasks):
    log = FaultLog()
    assert told_in_sheet(EXAMPLE / "plan.xlsx", tasks, log) == []
    assert list(log) == []


def test_a_formula_that_was_never_calculated_is_no_blank(workbook):
    told, faults = workbook(lambda sheet, at: sheet.cell(2, at["counted"], "=10+2"))
    assert told == []
    assert faults[0].startswith("tasks!L2: found a formula without a saved value")


def test_something_else_of_the_same_ending_is_told(tmp_path, tasks):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"<html>no workbook</html>")
    with pytest.raises(BookFaults, match="a web page"):
        told_in_sheet(path, tasks, FaultLog())
    book = Workbook()
    book.active.title = "tasks 2"
    book.save(path)
    with pytest.raises(BookFaults, match="a workbook without a sheet tasks"):
        told_in_sheet(path, tasks, FaultLog())


def test_tasks_that_go_on_in_further_sheets_are_read_in_their_order(parted):
    names = []

    def fill(book, at):
        names.extend(sheet.title for sheet in book)
        for number, name in enumerate(("tasks 3", "tasks", "tasks 2")):
            sheet = book[name]
            rows = range(2, sheet.max_row + 1)
            row = next(row for row in rows if sheet.cell(row, at["work"]).value in ("sow", "raft"))
            sheet.cell(row, at["done"], "yes")
            sheet.cell(row, at["who"], f"{number} of {name}")

    told, faults = parted(fill)
    assert (names, faults) == (["tasks 3", "tasks 2", "tasks"], [])
    assert [entry.given["who"] for entry in told] == ["1 of tasks", "2 of tasks 2", "0 of tasks 3"]


def test_faults_of_further_sheets_are_told_with_their_sheet_all_at_once(parted):
    def fill(book, at):
        book["tasks 2"].cell(5, at["counted"], "a few")
        book["tasks 2"].cell(6, at["counted"], "=1+1")
        book["tasks 3"].cell(1, at["done"], "finished")
        book["tasks"].cell(3, at["done"], "31/3")

    told, faults = parted(fill)
    assert told == []
    assert faults == [
        "tasks 2!L6: found a formula without a saved value; expected a value: open the workbook in a "
        "spreadsheet program, save it, and try again",
        "tasks!K3: found '31/3'; expected yes, no, a date such as 2026-03-02, or a name",
        "tasks 2!L5: found 'a few'; expected a whole number, such as 36",
        "tasks 3!A1: found no column done; expected the column done",
    ]


def test_sheets_of_other_names_are_left_alone(parted):
    told, faults = parted(lambda book, at: book.create_sheet("tasks of Ana").append(["task", "done"]))
    assert (told, faults) == ([], [])


def test_a_task_sheet_that_is_too_large_is_told(tmp_path, tasks, monkeypatch):
    monkeypatch.setattr(filled, "MOST", replace(filled.MOST, file=3))
    for name in ("tasks.csv", "filled.xlsx"):
        path = tmp_path / name
        path.write_bytes(b"PK44")
        with pytest.raises(BookFaults, match=rf"{name}: found a file of 0.0 million bytes"):
            told_in_sheet(path, tasks, FaultLog())


def test_a_table_of_more_tasks_than_a_book_may_have_rows_is_read(tmp_path, rows, tasks):
    path = tmp_path / "tasks.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["key", "done"])
        writer.writerows([["sow XXX", ""]] * MOST_ROWS)
        writer.writerow(["sow XXX", "yes"])
    log = FaultLog()
    assert told_in_sheet(path, tasks, log) == []
    assert [str(fault.place) for fault in log] == [f"tasks.csv!A{MOST_ROWS + 2}"]
