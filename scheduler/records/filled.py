"""Rows of filled-in task sheets, as text, one after the other: a plan of years has more than should be held.

A plan's workbook goes on in further sheets, ``tasks 2`` and so on, where one has no room; all are read.
"""

import csv
import io
import re
import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.book.faults import BookFaults, Fault, FaultLog
from scheduler.book.from_xlsx_guard import DAMAGED, Most, NoWorkbook, safe_archive, workbook_bytes
from scheduler.book.from_xlsx_scan import SheetFacts, sheet_facts, sheet_parts
from scheduler.book.place import Cell

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

SHEET = "tasks"
CONTINUED = re.compile(rf"{SHEET}(?: (?P<number>[1-9][0-9]{{0,2}}))?")
"""Names of the sheets of one table."""

MOST = Most(file=400_000_000, unpacked=4_000_000_000, sheet=1_500_000_000)
"""Of a workbook; a full sheet of tasks is about half of its limit (estimate)."""

MOST_COLUMNS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """One sheet.

    Attributes:
        name: of the sheet, or of the file, as faults tell it.
        heading: cells of the first row.
        rows: number of each row below and its cells; can be gone through once.
    """

    name: str
    heading: Sequence[str]
    rows: Iterator[tuple[int, list[str]]]


def filled_grids(path: Path, log: FaultLog) -> Iterator[Grid]:
    """Yield the sheets of tasks of a file in their order; each is read while its rows are gone through.

    Formulas without a value and errors of cells go to the log.

    Raises:
        BookFaults: the file is no task sheet.
    """
    if path.suffix.lower() != ".xlsx":
        yield _csv(path)
        return
    try:
        data = workbook_bytes(path, MOST)
        with safe_archive(path, data, MOST) as archive:
            parts = {each.name: each.part for each in sheet_parts(archive) if CONTINUED.fullmatch(each.name)}
            if SHEET not in parts:
                raise _no_sheet(path, f"a workbook without a sheet {SHEET}", "no-sheet")
            found = {name: sheet_facts(archive, parts[name]) for name in sorted(parts, key=_number)}
    except NoWorkbook as error:
        raise _no_sheet(path, error.found, "no-sheet") from None
    for name, facts in found.items():
        if facts.last_column > MOST_COLUMNS:
            raise _no_sheet(path, f"{facts.last_column} columns in the sheet {name}", "too-large")
        for row, column in sorted(facts.unsaved):
            expected = "a value: open the workbook in a spreadsheet program, save it, and try again"
            log.add(Cell(name, row, column), "a formula without a saved value", expected, "unsaved-formula")
    try:
        workbook = _opened(data)
        for name, facts in found.items():
            numbered = enumerate(_lines(workbook[name], facts), start=1)
            rows = ((number, _texts(Cell(name, number), line, log)) for number, line in numbered)
            _, heading = next(rows, (1, []))
            yield Grid(name=name, heading=heading, rows=rows)
    except NoWorkbook as error:
        raise _no_sheet(path, error.found, "no-sheet") from None


def _number(name: str) -> int:
    """Return which sheet of the table it is; the first has no number."""
    return int(name.removeprefix(SHEET) or 1)


def _opened(data: bytes) -> "Workbook":
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        # what openpyxl warns of (lost charts, unknown extensions) is nothing a sheet of tasks needs
        warnings.simplefilter("ignore")
        try:
            return load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        except Exception:  # whatever a damaged part makes openpyxl raise: it documents nothing
            raise NoWorkbook(*DAMAGED) from None


def _lines(sheet: Any, facts: SheetFacts) -> Iterator[Sequence[object]]:
    lines = sheet.iter_rows(
        max_row=max(1, facts.last_row), max_col=max(1, facts.last_column), values_only=True
    )
    while True:
        try:
            line = next(lines, None)
        except Exception:
            raise NoWorkbook(*DAMAGED) from None
        if line is None:
            return
        yield line


def _texts(where: Cell, line: Sequence[object], log: FaultLog) -> list[str]:
    return [
        "" if value is None else _text(value, Cell(where.table, where.row, column), log)
        for column, value in enumerate(line, start=1)
    ]


def _text(value: object, where: Cell, log: FaultLog) -> str:
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, bool):
        value = "yes" if value else "no"
    text = str(value)
    if re.fullmatch(r"#[A-Z/0]+[!?]?", text):
        log.add(where, f"the error {text}", "a value", "error-value")
    return text


def _csv(path: Path) -> Grid:
    size = path.stat().st_size
    if size > MOST.file:
        raise _no_sheet(path, f"a file of {size / 1e6:.1f} million bytes", "too-large")
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _no_sheet(path, "letters that are not UTF-8", "bad-encoding") from None
    rows = _csv_rows(path, text)
    _, heading = next(rows, (1, None))
    if heading is None:
        raise _no_sheet(path, "an empty file", "empty-table")
    return Grid(name=path.name, heading=heading, rows=rows)


def _csv_rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    try:
        yield from enumerate(csv.reader(io.StringIO(text, newline=""), strict=True), start=1)
    except csv.Error as error:
        raise _no_sheet(path, f"text that is not CSV ({error})", "bad-quotes") from None


def _no_sheet(path: Path, found: str, code: str) -> BookFaults:
    expected = "the workbook of a plan with its sheet tasks, or its tables/tasks.csv, filled in"
    return BookFaults([Fault(place=Cell(path.name), found=found, expected=expected, code=code)])
