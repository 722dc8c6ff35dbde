"""A book as a workbook: one sheet a table, named after it, with the same cells as the CSV form."""

import difflib
import io
import warnings
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.book.faults import BookFaults, Fault, FaultLog
from scheduler.book.from_xlsx_cells import SheetCell, cell_text
from scheduler.book.from_xlsx_guard import DAMAGED, WORKBOOK, NoWorkbook, safe_archive, workbook_bytes
from scheduler.book.from_xlsx_scan import SheetFacts, SheetPart, sheet_facts, sheet_parts
from scheduler.book.headings import bare_name
from scheduler.book.names import plain
from scheduler.book.parse import Refused
from scheduler.book.place import Cell
from scheduler.book.raw import MOST_ROWS, RawBook, RawTable, raw_table
from scheduler.book.schema import CellRule, load_schema

if TYPE_CHECKING:
    from openpyxl.workbook.workbook import Workbook

MOST_COLUMNS = 200
"""Most columns of one sheet; the widest table has fewer than forty."""

REFUSED = "\a"
"""Stands for a cell that was refused here: no type takes it, so its row is not used; its fault is told."""

NEAR = 0.75
"""How alike the name of a sheet and of a table are (difflib's ratio) before it counts as misspelt."""

NOT_READ = ("about", "lists")
"""Sheets of the starter workbook that hold no table."""

SHEETS_OF_A_PLAN = {"summary", "tasks", "made"}
"""Sheets by which the workbook of a plan is known, where one stands in the place of a book."""


def read_workbook(path: Path) -> RawBook:
    """Read every sheet that is a table into a grid of text.

    Hidden sheets, rows and columns are read like any other. Sheets whose name is not near that of a table
    are left alone.

    Raises:
        BookFaults: the file is no workbook, or holds no table; other faults stand in the result.
    """
    log, unread = FaultLog(), set[str]()
    tables: dict[str, RawTable] = {}
    try:
        data = workbook_bytes(path)
        with safe_archive(path, data) as archive:
            sheets = _table_sheets(sheet_parts(archive), log, unread)
            facts = {name: sheet_facts(archive, sheet.part) for name, sheet in sheets.items()}
            usable = {name: sheets[name].name for name in sheets if _is_usable(name, facts[name], log)}
        cells, from_1904 = _all_cells(data, usable, facts)
    except NoWorkbook as error:
        fault = Fault(place=Cell(str(path)), found=error.found, expected=error.expected, code="no-book")
        raise BookFaults([fault]) from None
    for name in sheets:
        table = None
        if name in usable:
            table = _Sheet(name, cells[name], from_1904, log).table(facts[name])
        if table is None:
            unread.add(name)
        else:
            tables[name] = table
    return RawBook(source=str(path), tables=tables, unread=frozenset(unread), faults=tuple(log))


def _table_sheets(parts: list[SheetPart], log: FaultLog, unread: set[str]) -> dict[str, SheetPart]:
    """Return table name -> sheet; doubled names and near misses are faults."""
    known = {
        plain(name): table.name
        for table in load_schema().tables.values()
        for name in (table.name, table.title)
    }
    sheets: dict[str, SheetPart] = {}
    near: set[str] = set()
    for sheet in parts:
        name = known.get(plain(sheet.name))
        if name is None:
            if meant := _nearly(sheet.name, known):
                near.add(meant)
                log.add(
                    Cell(sheet.name),
                    "a sheet that is no table of the book",
                    f"'{meant}', or a name unlike any table's if it is not to be read",
                    "unknown-table",
                )
        elif name in sheets:
            log.add(
                Cell(sheet.name), f"a second sheet for {name}", f"'{sheets[name].name}' alone", "double-table"
            )
            unread.add(name)
        else:
            sheets[name] = sheet
    unread |= near - set(sheets)  # the table is there, only under another name
    if SHEETS_OF_A_PLAN.issubset(sheet.name for sheet in parts):
        raise NoWorkbook("the workbook of a plan", f"{WORKBOOK} of a book")
    if not sheets and not near:
        names = ", ".join(f"'{sheet.name}'" for sheet in parts[:8])
        raise NoWorkbook(f"a workbook without any table of the book (it has {names})", WORKBOOK)
    return sheets


def _nearly(name: str, known: dict[str, str]) -> str | None:
    """Return the table a sheet was probably meant to be; a book may have sheets of other kinds too."""
    hits = difflib.get_close_matches(plain(name)[:100], known, n=1, cutoff=NEAR)
    return known[hits[0]] if hits and plain(name) not in NOT_READ else None


def _is_usable(name: str, facts: SheetFacts, log: FaultLog) -> bool:
    """Note what makes a whole sheet unreadable; say whether there is nothing of the kind."""
    before = len(log)
    if not facts.last_row:
        log.add(Cell(name), "an empty sheet", "a heading row with the names of the columns", "empty-table")
    if facts.last_row > MOST_ROWS:
        found = f"more than {MOST_ROWS} rows"
        log.add(Cell(name, MOST_ROWS + 1, 1), found, f"at most {MOST_ROWS}", "too-many-rows")
    if facts.last_column > MOST_COLUMNS:
        found = f"more than {MOST_COLUMNS} columns"
        log.add(Cell(name, 1, MOST_COLUMNS + 1), found, f"at most {MOST_COLUMNS}", "too-many-columns")
    for merged in facts.merged:
        log.add(_first_of(name, merged), f"merged cells {merged}", "a cell for each value", "merged-cells")
    return len(log) == before


def _first_of(name: str, merged: str) -> Cell:
    from openpyxl.utils.cell import coordinate_to_tuple

    try:
        return Cell(name, *coordinate_to_tuple(merged.partition(":")[0]))
    except ValueError:
        return Cell(name)


def _all_cells(
    data: bytes, names: dict[str, str], facts: dict[str, SheetFacts]
) -> tuple[dict[str, list[SheetCell]], bool]:
    """Return the cells of each table that hold something, and whether the days count from 1904."""
    from openpyxl import load_workbook
    from openpyxl.utils.datetime import MAC_EPOCH

    with warnings.catch_warnings():
        # what openpyxl warns of (lost charts, unknown extensions) is nothing a book needs
        warnings.simplefilter("ignore")
        try:
            workbook = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
            cells = {name: _cells(workbook, sheet, facts[name]) for name, sheet in names.items()}
        except Exception:  # whatever a damaged part makes openpyxl raise: it documents nothing
            raise NoWorkbook(*DAMAGED) from None
    return cells, workbook.epoch == MAC_EPOCH


def _cells(workbook: "Workbook", sheet: str, facts: SheetFacts) -> list[SheetCell]:
    rows = workbook[sheet].iter_rows(max_row=facts.last_row, max_col=facts.last_column)
    return [
        SheetCell(
            row=cell.row,
            column=cell.column,
            value=cell.value,
            is_error=cell.data_type == "e",
            form=cell.number_format or "",
        )
        for row in rows
        for cell in row
        if cell.value is not None
    ]


class _Sheet:
    """Makes the grid of one sheet."""

    def __init__(self, name: str, cells: list[SheetCell], from_1904: bool, log: FaultLog) -> None:
        self._name, self._log, self._from_1904 = name, log, from_1904
        self._rows: dict[int, dict[int, SheetCell]] = {}
        for cell in cells:
            self._rows.setdefault(cell.row, {})[cell.column] = cell

    def table(self, facts: SheetFacts) -> RawTable | None:
        """Return the grid; None when the heading cannot be used."""
        before = len(self._log)
        heading = self._record(1, {}, facts)
        if len(self._log) > before:
            return None
        if not any(heading):
            found, expected = "a blank first row", "a heading row with the names of the columns"
            self._log.add(Cell(self._name, 1, 1), found, expected, "empty-table")
            return None
        columns = {column.name: column for column in load_schema().tables[self._name].columns}
        rules: dict[int, CellRule] = {
            number: columns[plain(bare_name(text))]
            for number, text in enumerate(heading, start=1)
            if plain(bare_name(text)) in columns
        }
        numbers = sorted({*self._rows, *(row for row, _ in facts.unsaved)} - {1})
        records = [(number, self._record(number, rules, facts)) for number in numbers]
        if self._name == "settings":
            records = [record for record in records if not _is_left_blank(record[1], rules)]
        return raw_table(self._name, [(1, heading), *records])

    def _record(self, number: int, rules: dict[int, CellRule], facts: SheetFacts) -> list[str]:
        cells = self._rows.get(number, {})
        unsaved = {column for row, column in facts.unsaved if row == number}
        texts = [""] * max([0, *cells, *unsaved])
        if self._name == "settings":
            rules = _with_setting(rules, cells)
        for column in sorted({*cells, *unsaved}):
            place = Cell(self._name, number, column)
            texts[column - 1] = self._text(place, cells.get(column), rules.get(column))
        return texts

    def _text(self, place: Cell, cell: SheetCell | None, rule: CellRule | None) -> str:
        if cell is None:
            expected = "a value: open the workbook in a spreadsheet program, save it, and try again"
            self._log.add(place, "a formula without a saved value", expected, "unsaved-formula")
            return REFUSED
        try:
            return cell_text(cell, rule, from_1904=self._from_1904)
        except Refused as refused:
            self._log.add(place, refused.found, refused.expected, refused.code)
            return REFUSED


def _with_setting(rules: dict[int, CellRule], cells: dict[int, SheetCell]) -> dict[int, CellRule]:
    """Let the value of a setting be read as the setting named beside it asks."""
    by_name = {rule.name: number for number, rule in rules.items()}
    cell = cells.get(by_name.get("setting", 0))
    setting = load_schema().settings.get(plain(str(cell.value))) if cell else None
    return {**rules, by_name["value"]: setting} if setting and "value" in by_name else rules


def _is_left_blank(record: list[str], rules: dict[int, CellRule]) -> bool:
    """Say whether a row is a setting that may be left blank, and is: the workbook lists them all."""
    filled = {rule.name: record[number - 1] for number, rule in rules.items() if number <= len(record)}
    setting = load_schema().settings.get(plain(filled.get("setting", "")))
    return setting is not None and not setting.required and not filled.get("value", "").strip()
