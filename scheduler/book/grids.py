"""A book's tables as texts under the schema's names, ready to be written in either form."""

from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.book.faults import FaultLog
from scheduler.book.headings import is_remark, undecorated
from scheduler.book.parse import MOST_TEXT
from scheduler.book.place import Cell
from scheduler.book.raw import RawBook, RawTable, one_kind_of_break
from scheduler.book.rows import match_heading
from scheduler.book.schema import Table, load_schema

MEANING = "(what it is)"
"""Heading of the remarks a workbook of ours has beside the settings; they are made anew, never carried."""

MOST_CARRIED = 4000
"""Longest text that is written; a cell of a workbook ends at 32,767 signs, some of which take seven."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """One table as text.

    Attributes:
        name: name of the table.
        columns: columns that hold something, or must, in the schema's order; then headings of remarks.
        rows: rows in the order of the book, each as long as ``columns``.
    """

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def value_of(self, key: str) -> str:
        """Return the second cell of the row that begins with ``key``; empty when there is none."""
        return next((row[1] for row in self.rows if row[0] == key), "")


def grids_of(raw: RawBook, longest: int | None = MOST_CARRIED) -> Mapping[str, Grid]:
    """Return the tables that have rows or must be there.

    Cells are taken over whatever they hold; whether they make sense is asked when a book is read.

    Args:
        raw: the book.
        longest: most characters of a cell; None for any.

    Raises:
        BookFaults: a table or a cell could not be read, or a heading is not that of a column.
    """
    log = FaultLog()
    log.extend(raw.faults)
    bare = undecorated(raw, log)
    schema = load_schema()
    columns = {
        name: match_heading(table, schema.tables[name], log)
        for name, table in bare.tables.items()
        if name in schema.tables
    }
    if longest is not None:
        for table in raw.tables.values():
            _check_lengths(table, longest, log)
    log.raise_if_any()
    grids = (
        _grid(raw.tables[name], schema.tables[name], columns[name])
        for name in schema.tables
        if name in columns
    )
    return {grid.name: grid for grid in grids if grid.rows or schema.tables[grid.name].required}


def _grid(raw: RawTable, table: Table, columns: Mapping[str, int]) -> Grid:
    wanted = [
        (column.name, columns[column.name])
        for column in table.columns
        if column.name in columns and (column.required or _is_filled(raw, columns[column.name]))
    ]
    wanted += [
        (heading, number)
        for number, heading in enumerate(raw.heading.cells, start=1)
        if is_remark(heading) and heading != MEANING and _is_filled(raw, number)
    ]
    rows = [tuple(one_kind_of_break(row.cell(number)) for _, number in wanted) for row in raw.rows]
    return Grid(
        name=table.name,
        columns=tuple(one_kind_of_break(heading) for heading, _ in wanted),
        rows=tuple(row for row in rows if any(row)),
    )


def _check_lengths(table: RawTable, longest: int, log: FaultLog) -> None:
    for row in table.rows:
        for number, text in enumerate(row.cells, start=1):
            if len(text) > longest:
                cell = Cell(table.name, row.number, number)
                log.add(cell, f"{len(text)} characters", f"at most {MOST_TEXT}", "bad-text")


def _is_filled(raw: RawTable, number: int) -> bool:
    return any(row.cell(number) for row in raw.rows)
