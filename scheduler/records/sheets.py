"""Task sheets that were filled in: the sheet ``tasks`` of a plan's workbook, or ``tables/tasks.csv``.

What is read is the task's key and the columns done, counted, who, seed lot and the second note (or
remark); everything else stands in the plan itself, whatever the sheet says by now.
"""

import csv
import io
import re
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

from scheduler.book.faults import BookFaults, Fault, FaultLog, quoted
from scheduler.book.from_xlsx_guard import DAMAGED, NoWorkbook, safe_archive, workbook_bytes
from scheduler.book.from_xlsx_scan import sheet_facts, sheet_parts
from scheduler.book.names import meant
from scheduler.book.names import plain as without_case
from scheduler.book.place import Cell
from scheduler.book.raw import MOST_BYTES, MOST_ROWS
from scheduler.records.drafts import Told
from scheduler.records.tasks import Done, Tasks

SHEET = "tasks"
COLUMNS = {
    "task": "key",
    "key": "key",
    "done": "done",
    "counted": "counted",
    "who": "who",
    "seed_lot": "seed_lot",
    "remark": "note",
}
"""Heading, case and blanks aside -> what the column holds."""

YES = ("yes", "y", "x", "ok", "done", "true", "1")
NO = ("", "no", "n", "false", "0")
MOST_COLUMNS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """What is filled in of one task, each with its cell."""

    number: int
    texts: Mapping[str, str]
    cells: Mapping[str, Cell] = field(default_factory=dict)

    def text(self, name: str) -> str:
        return self.texts.get(name, "").strip()


def told_in_sheet(path: Path, tasks: Tasks, log: FaultLog) -> list[Told]:
    """Return the entries of the tasks that a sheet says are done; what is wrong goes to the log.

    A task counts as done when ``done`` is filled in, other than with no, or ``counted`` is. What stands
    in ``done`` may also be the day it was done, or who did it.

    Raises:
        BookFaults: the file is no such sheet.
    """
    grid = _workbook(path, log) if path.suffix.lower() == ".xlsx" else _csv(path)
    told: list[Told] = []
    for row in _rows(grid, path.name, log):
        done = _done(row, tasks, log)
        if done is not None:
            told += tasks.told(done)
    return told


Grid = list[tuple[int, list[str]]]
"""Number of a row and its cells; the first is the heading."""


def _rows(grid: Grid, name: str, log: FaultLog) -> Iterator[_Row]:
    table = SHEET if name.lower().endswith(".xlsx") else name
    heading = [without_case(cell) for cell in grid[0][1]] if grid else []
    columns: dict[str, int] = {}
    before = len(log)
    for at, title in enumerate(heading):
        found = "note" if title == "note" and "note" in heading[:at] else COLUMNS.get(title)
        if found in columns:
            log.add(Cell(table, 1, at + 1), f"a second {title}", "each column once", "double-column")
        elif found is not None:
            columns[found] = at
    for wanted in ("key", "done"):
        if wanted not in columns:
            said = "the column task, or key" if wanted == "key" else f"the column {wanted}"
            log.add(Cell(table, 1, 1), f"no column {wanted}", said, "missing-column")
    if len(log) > before:
        return
    for number, cells in grid[1:]:
        texts = {found: cells[at] if at < len(cells) else "" for found, at in columns.items()}
        places = {found: Cell(table, number, at + 1) for found, at in columns.items()}
        yield _Row(number=number, texts=texts, cells=places)


def _key(text: str, tasks: Tasks) -> str:
    """Return the key a row names; some programs leave the apostrophe with which text was typed."""
    return text if text in tasks.by_key else text.removeprefix("'")


def _done(row: _Row, tasks: Tasks, log: FaultLog) -> Done | None:
    """Return what one row says; None when it is not done, or wrong."""
    said, counted, before = row.text("done"), row.text("counted"), len(log)
    if without_case(said) in NO and not counted:
        return None
    if without_case(said) in NO[1:]:
        log.add(row.cells["counted"], f"{quoted(counted)} counted, and not done", "yes as done", "not-done")
    key = _key(row.text("key"), tasks)
    if key not in tasks.by_key:
        near = meant(key, tasks.by_key, most=3) if key else "the name of the task"
        log.add(
            row.cells["key"], quoted(key) if key else "a blank cell", f"a task of the plan: {near}", "no-task"
        )
    if counted and not re.fullmatch(r"[0-9]{1,7}", counted):
        log.add(row.cells["counted"], quoted(counted), "a whole number, such as 36", "bad-whole")
    when, who = _when_and_who(row, said, log)
    if len(log) > before:
        return None
    cells = {**row.cells, "when": row.cells["done"]}
    return Done(
        key=key,
        when=when,
        counted=int(counted) if counted else None,
        who=row.text("who") or who,
        seed_lot=row.text("seed_lot"),
        note=row.text("note"),
        where=row.cells["key"],
        cells=cells,
    )


def _when_and_who(row: _Row, said: str, log: FaultLog) -> tuple[date | None, str]:
    if without_case(said) in (*YES, *NO):
        return None, ""
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", said):
        try:
            return date.fromisoformat(said), ""
        except ValueError:
            pass
    if re.match(r"[-+]?[0-9]", said):
        log.add(row.cells["done"], quoted(said), "yes, no, a date such as 2026-03-02, or a name", "bad-done")
        return None, ""
    return None, said


def _csv(path: Path) -> Grid:
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise _no_sheet(path, f"a file of {size / 1e6:.1f} million bytes", "too-large")
    try:
        text = path.read_bytes().decode("utf-8-sig")
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except UnicodeDecodeError:
        raise _no_sheet(path, "letters that are not UTF-8", "bad-encoding") from None
    except csv.Error as error:
        raise _no_sheet(path, f"text that is not CSV ({error})", "bad-quotes") from None
    if not rows:
        raise _no_sheet(path, "an empty file", "empty-table")
    if len(rows) > MOST_ROWS:
        raise _no_sheet(path, f"{len(rows)} rows", "too-many-rows")
    numbered = enumerate(rows, start=1)
    return [(number, cells) for number, cells in numbered if number == 1 or any(c.strip() for c in cells)]


def _workbook(path: Path, log: FaultLog) -> Grid:
    try:
        data = workbook_bytes(path)
        with safe_archive(path, data) as archive:
            part = next((each.part for each in sheet_parts(archive) if each.name == SHEET), None)
            if part is None:
                raise _no_sheet(path, f"a workbook without a sheet {SHEET}", "no-sheet")
            facts = sheet_facts(archive, part)
        if facts.last_row > MOST_ROWS or facts.last_column > MOST_COLUMNS:
            raise _no_sheet(path, f"{facts.last_row} rows and {facts.last_column} columns", "too-large")
        for row, column in sorted(facts.unsaved):
            expected = "a value: open the workbook in a spreadsheet program, save it, and try again"
            log.add(Cell(SHEET, row, column), "a formula without a saved value", expected, "unsaved-formula")
        return _cells(data, (facts.last_row, facts.last_column), log)
    except NoWorkbook as error:
        raise _no_sheet(path, error.found, "no-sheet") from None


def _cells(data: bytes, size: tuple[int, int], log: FaultLog) -> Grid:
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        # what openpyxl warns of (lost charts, unknown extensions) is nothing a sheet of tasks needs
        warnings.simplefilter("ignore")
        try:
            workbook = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
            rows = list(workbook[SHEET].iter_rows(max_row=size[0], max_col=size[1], values_only=True))
        except Exception:  # whatever a damaged part makes openpyxl raise: it documents nothing
            raise NoWorkbook(*DAMAGED) from None
    return [(number, _texts(number, row, log)) for number, row in enumerate(rows, start=1) if any(row)]


def _texts(number: int, row: Sequence[object], log: FaultLog) -> list[str]:
    texts = []
    for column, value in enumerate(row, start=1):
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if isinstance(value, datetime):
            value = value.date()
        if isinstance(value, bool):
            value = "yes" if value else "no"
        text = "" if value is None else str(value)
        if re.fullmatch(r"#[A-Z/0]+[!?]?", text):
            log.add(Cell(SHEET, number, column), f"the error {text}", "a value", "error-value")
        texts.append(text)
    return texts


def _no_sheet(path: Path, found: str, code: str) -> BookFaults:
    expected = "the workbook of a plan with its sheet tasks, or its tables/tasks.csv, filled in"
    return BookFaults([Fault(place=Cell(path.name), found=found, expected=expected, code=code)])
