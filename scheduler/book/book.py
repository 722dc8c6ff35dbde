"""A whole book: read, parsed and checked, with every fault told at once."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from scheduler.book.faults import BookFaults, Fault, FaultLog
from scheduler.book.from_csv import read_folder
from scheduler.book.from_xlsx import read_workbook
from scheduler.book.headings import undecorated
from scheduler.book.keys import check_keys
from scheduler.book.place import Cell
from scheduler.book.raw import RawBook
from scheduler.book.rows import Row, TypedTable, typed_table
from scheduler.book.schema import Table, load_schema
from scheduler.book.settings import TABLE as SETTINGS
from scheduler.book.settings import read_settings

PLAN_NOTE = "plan.json"
"""File by which the folder of a plan is known, where one stands in the place of a book."""

NO_TABLE = TypedTable(rows=(), parsed=(), names={}, whole=False, refused=frozenset())


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """The grower's tables, typed.

    Attributes:
        source: the folder or file it was read from, as given.
        settings: all settings as one row, defaults included.
        tables: table name -> rows in the order of the file; tables that are not there have none.
    """

    source: str
    settings: Row
    tables: Mapping[str, tuple[Row, ...]]

    def rows(self, table: str) -> tuple[Row, ...]:
        """Return the rows of a table."""
        return self.tables[table]


def read_book(path: str | Path) -> Book:
    """Read a book.

    Raises:
        BookFaults: with every fault of the book, or one that says why there is no book at ``path``.
    """
    return typed_book(read_raw(Path(path)))


def read_raw(path: Path) -> RawBook:
    """Read the grids of a book, a folder of CSV tables or a workbook, without understanding them.

    Raises:
        BookFaults: there is no book at ``path``.
    """
    expected = "a folder with a CSV file for each table, or an .xlsx workbook with a sheet for each"
    if path.is_dir():
        raw = read_folder(path)
        if raw.tables or raw.unread or raw.faults:
            return raw
        found = "a folder without any CSV file"
        if (path / PLAN_NOTE).is_file():
            found, expected = "the folder of a plan", f"a book; {path / 'book'} is the one it was made from"
    elif path.is_file():
        return read_workbook(path)
    elif path.exists():
        found = "neither a file nor a folder"
    else:
        found = "nothing there"
    raise BookFaults([Fault(place=Cell(str(path)), found=found, expected=expected, code="no-book")])


def typed_book(raw: RawBook) -> Book:
    """Parse and check the grids of a book, whatever form they came in.

    Raises:
        BookFaults: with every fault of the book, those of reading included.
    """
    schema, log, unread = load_schema(), FaultLog(), set(raw.unread)
    log.extend(raw.faults)
    raw = undecorated(raw, log)
    for name, table in schema.tables.items():
        if table.required and name not in raw.tables and name not in raw.unread:
            unread.add(name)
            columns = ", ".join(column.name for column in table.columns if column.required)
            expected = f"one with the columns {columns} ({table.description})"
            log.add(Cell(name), "no such table", expected, "missing-table")
    tables: dict[str, TypedTable] = {
        name: typed_table(raw.tables[name], _blanks_allowed(table), log)
        for name, table in schema.tables.items()
        if name in raw.tables
    }
    for name, typed in tables.items():
        if schema.tables[name].required and not typed.rows and not typed.refused and typed.whole:
            unread.add(name)
            log.add(Cell(name), "no rows", f"at least one ({schema.tables[name].description})", "empty-table")
    settings = read_settings(tables.get(SETTINGS, NO_TABLE), schema, log)
    check_keys(tables, schema, frozenset(unread), log)
    _raise_once(log, raw)
    return Book(
        source=raw.source,
        settings=settings,
        tables={name: tables[name].rows if name in tables else () for name in schema.tables},
    )


def _raise_once(log: FaultLog, raw: RawBook) -> None:
    """Raise the faults; a cell that reading refused is not told again for what stands in for it."""
    refused = {fault.place for fault in raw.faults if fault.place.row}
    faults = [fault for fault in log if fault in raw.faults or fault.place not in refused]
    if faults:
        raise BookFaults(faults, more_may_show=True)


def _blanks_allowed(table: Table) -> Table:
    """Let a setting have no value here: what it must hold is known by its name alone."""
    if table.name != SETTINGS:
        return table
    columns = (replace(column, required=column.name == table.key) for column in table.columns)
    return replace(table, columns=tuple(columns))
