"""Rows of a plan's table out of text cells: quickly where all is well, cell by cell where something is not.

A plan of two years on hundreds of rows has millions of rows, and few different cells in a column: each cell
is read once and known from then on.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant
from scheduler.book.place import Cell
from scheduler.farm.calendar import Calendar
from scheduler.plan.columns import Column, Value, columns, defaults, read_value
from scheduler.plan.rows import TABLES

Grid = Iterable[Sequence[str]]
"""Rows of cells, the header first."""

Spelt = Callable[[str], str]
"""What a cell of text was before it was written."""


class _Known(dict[str, Value]):
    """Cells of one column -> what they hold; one that is not known yet is read.

    Raises:
        ValueError: of a cell that the column may not have.
    """

    def __init__(self, calendar: Calendar, column: Column, spelt: Spelt) -> None:
        super().__init__()
        self._calendar, self._column, self._spelt = calendar, column, spelt

    def __missing__(self, text: str) -> Value:
        value = read_value(self._calendar, self._column, _said(self._column, text, self._spelt))
        self[text] = value
        return value


def read_rows(
    calendar: Calendar, table: str, grid: Grid, log: FaultLog, spelt: Spelt = str
) -> tuple[Any, ...]:
    """Return the rows of one table; what is damaged goes into the log, with its place.

    Args:
        calendar: gives the day number of each date.
        table: name of the table.
        grid: its rows of cells, the header first; columns may stand in any order.
        log: takes the faults.
        spelt: gives a cell of a text column as it was before it was written.
    """
    rows = iter(grid)
    header = [name.strip() for name in next(rows, ())]
    if not _header_is_usable(table, header, log):
        return ()
    by_name = {column.column: column for column in columns()[table]}
    known = [_Known(calendar, by_name[name], spelt) for name in header]
    # a blank row is no row: where no column asks for a cell, each is looked at
    quick = any(not by_name[name].blank for name in header)
    make, width = TABLES[table], len(header)
    made = []
    for number, row in enumerate(rows, start=2):
        if quick and len(row) == width:
            try:
                values = [cells[text] for cells, text in zip(known, row, strict=True)]
            except ValueError:
                pass
            else:
                made.append(make(**dict(zip(header, values, strict=True))))
                continue
        found = _read_row(calendar, table, row, (number, header, spelt), log)
        if found is not None:
            made.append(make(**found))
    return tuple(made)


def _read_row(
    calendar: Calendar, table: str, row: Sequence[str], at: tuple[int, list[str], Spelt], log: FaultLog
) -> dict[str, Value] | None:
    """Read one row; ``at`` is its number, the header, and how text is spelt; None for one without values."""
    number, header, spelt = at
    if not any(cell.strip() for cell in row):
        return None
    before = len(log)
    for extra in range(len(header), len(row)):
        if row[extra].strip():
            place = Cell(table, number, extra + 1)
            log.add(place, quoted(row[extra]), "nothing outside the columns", "unheaded-cell")
    values = _read_cells(calendar, table, dict(zip(header, row, strict=False)), at, log)
    return values if len(log) == before else None


def _read_cells(
    calendar: Calendar, table: str, row: Mapping[str, str], at: tuple[int, list[str], Spelt], log: FaultLog
) -> dict[str, Value]:
    number, header, spelt = at
    values: dict[str, Value] = {}
    for column in columns()[table]:
        if column.column not in row and column.column in defaults(table):
            continue
        text = _said(column, row.get(column.column, ""), spelt)
        try:
            values[column.column] = read_value(calendar, column, text)
        except ValueError as error:
            place = Cell(table, number, header.index(column.column) + 1)
            log.add(place, quoted(text) if text.strip() else "blank", str(error), f"bad-{column.type}")
    return values


def _said(column: Column, text: str, spelt: Spelt) -> str:
    return spelt(text) if column.type == "text" else text


def _header_is_usable(table: str, header: list[str], log: FaultLog) -> bool:
    wanted = [column.column for column in columns()[table]]
    before = len(log)
    for number, name in enumerate(header, start=1):
        if name not in wanted:
            log.add(Cell(table, 1, number), quoted(name), meant(name, wanted), "unknown-column")
        elif name in header[: number - 1]:
            log.add(Cell(table, 1, number), f"a second {name}", "each column once", "double-column")
    for name in wanted:
        if name not in header and name not in defaults(table):
            log.add(Cell(table, 1), "no such column", f"the column {name}", "missing-column")
    return len(log) == before
