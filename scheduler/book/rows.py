"""A grid of text to typed rows: headings matched to columns, cells parsed, every value with its cell."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TypeVar

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant, nearest, plain
from scheduler.book.parse import Refused, Value, parse
from scheduler.book.place import Cell, column_letters
from scheduler.book.raw import RawRow, RawTable
from scheduler.book.schema import CellRule, Column, Table

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One typed row; the settings of a book are one row as well.

    Attributes:
        table: name of its table.
        number: its row number.
        values: column -> value, default included; None where blank.
        cells: column -> cell; columns the file does not have point at the row's first cell.
        given: names of the columns in which the grower wrote something.
    """

    table: str
    number: int
    values: Mapping[str, Value]
    cells: Mapping[str, Cell]
    given: frozenset[str]

    def cell(self, name: str) -> Cell:
        """Return where the value of a column stands."""
        return self.cells[name]

    def is_given(self, name: str) -> bool:
        """Say whether the grower wrote something there."""
        return name in self.given

    def text_or_none(self, name: str) -> str | None:
        """Return text or a choice; None when blank."""
        value = self.values[name]
        return None if value is None else _as(str, value, name)

    def text(self, name: str) -> str:
        """Return text or a choice; empty when blank."""
        return self.text_or_none(name) or ""

    def whole_or_none(self, name: str) -> int | None:
        """Return a whole number; None when blank."""
        value = self.values[name]
        return None if value is None else _as(int, value, name)

    def whole(self, name: str) -> int:
        """Return a whole number of a column that is required or has a default."""
        return _there(self.whole_or_none(name), name)

    def number_or_none(self, name: str) -> Fraction | None:
        """Return a number, whole or not, exactly as written; None when blank."""
        value = self.values[name]
        if value is None or isinstance(value, Fraction):
            return value
        return Fraction(_as(int, value, name))

    def number_of(self, name: str) -> Fraction:
        """Return a number of a column that is required or has a default."""
        return _there(self.number_or_none(name), name)

    def date_or_none(self, name: str) -> date | None:
        """Return a date; None when blank."""
        value = self.values[name]
        return None if value is None else _as(date, value, name)

    def date(self, name: str) -> date:
        """Return a date of a column that is required."""
        return _there(self.date_or_none(name), name)

    def yes(self, name: str) -> bool:
        """Return a yes or no."""
        return _as(bool, self.values[name], name)

    def words(self, name: str) -> tuple[str, ...]:
        """Return the words of a list; none when blank."""
        value = self.values[name]
        return () if value is None else _as(tuple, value, name)

    def weekdays(self, name: str) -> frozenset[int]:
        """Return weekdays, 0 for Monday."""
        return _as(frozenset, self.values[name], name)


def _as(kind: type[T], value: object, name: str) -> T:
    if not isinstance(value, kind):
        raise TypeError(f"{name} holds {value!r}, not {kind.__name__}")
    return value


def _there(value: T | None, name: str) -> T:
    if value is None:
        raise TypeError(f"{name} is blank")
    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedTable:
    """Typed rows of one table, and what is known of the rows that were refused.

    Attributes:
        rows: the rows without a fault.
        parsed: every row; a cell that was refused has no value there, as if blank.
        names: text of the key column of every row, refused ones included -> its cells.
        whole: False when a row has no name to go by, so that unknown names cannot be told for sure.
        refused: numbers of the rows that have a fault.
    """

    rows: tuple[Row, ...]
    parsed: tuple[Row, ...]
    names: Mapping[str, tuple[Cell, ...]]
    whole: bool
    refused: frozenset[int]


def typed_table(raw: RawTable, table: Table, log: FaultLog) -> TypedTable:
    """Parse every row of a table; faults go to the log."""
    columns = match_heading(raw, table, log)
    rows: list[Row] = []
    parsed: list[Row] = []
    names: dict[str, list[Cell]] = {}
    refused: set[int] = set()
    complete = all(column.name in columns for column in table.columns if column.required)
    whole = complete
    for raw_row in raw.rows:
        before = len(log)
        row = _typed_row(raw_row, table, columns, log)
        parsed.append(row)
        name = row.values.get(table.key)
        if isinstance(name, str):
            names.setdefault(name, []).append(row.cells[table.key])
        elif name is None and table.column(table.key).required:
            whole = False
        if len(log) == before and complete:
            rows.append(row)
        else:
            refused.add(raw_row.number)
    return TypedTable(
        rows=tuple(rows),
        parsed=tuple(parsed),
        names={name: tuple(cells) for name, cells in names.items()},
        whole=whole,
        refused=frozenset(refused),
    )


def match_heading(raw: RawTable, table: Table, log: FaultLog) -> dict[str, int]:
    """Return column name -> its number; case, spaces and hyphens in headings are forgiven."""
    known = {plain(column.name): column.name for column in table.columns}
    columns: dict[str, int] = {}
    unknown: list[tuple[int, str]] = []
    for number, heading in enumerate(raw.heading.cells, start=1):
        name = known.get(plain(heading))
        cell = Cell(raw.name, raw.heading.number, number)
        if not heading:
            _check_unheaded(raw, number, log)
        elif name is None:
            unknown.append((number, heading))
        elif name in columns:
            log.add(
                cell,
                f"column {name} twice",
                f"it once ({column_letters(columns[name])} has it)",
                "double-column",
            )
        else:
            columns[name] = number
    _tell_unmatched(raw, unknown, [column for column in table.columns if column.name not in columns], log)
    _check_long_rows(raw, log)
    return columns


def _tell_unmatched(
    raw: RawTable, unknown: list[tuple[int, str]], missing: list[Column], log: FaultLog
) -> None:
    """Tell headings that are no column, and columns without a heading but for those one of them may mean."""
    left = [column.name for column in missing]
    for number, heading in unknown:
        expected = meant(heading, left, most=40) if left else "no further column"
        cell = Cell(raw.name, raw.heading.number, number)
        log.add(cell, f"unknown column {quoted(heading)}", expected, "unknown-column")
    guessed = {nearest(heading, left) for _, heading in unknown}
    for column in missing:
        if column.required and column.name not in guessed:
            log.add(
                Cell(raw.name, raw.heading.number, 1),
                f"no column {column.name}",
                f"one ({column.description}, such as {column.example})",
                "missing-column",
            )


def _check_unheaded(raw: RawTable, number: int, log: FaultLog) -> None:
    filled = next((row for row in raw.rows if row.cell(number)), None)
    if filled is not None:
        cell = Cell(raw.name, filled.number, number)
        log.add(
            cell, f"{quoted(filled.cell(number))} under no heading", "a heading above it", "unheaded-cell"
        )


def _check_long_rows(raw: RawTable, log: FaultLog) -> None:
    width = len(raw.heading.cells)
    for row in raw.rows:
        for number, text in enumerate(row.cells[width:], start=width + 1):
            if text:
                cell = Cell(raw.name, row.number, number)
                expected = (
                    "no cell past the last heading (a comma inside text needs quotation marks round it)"
                )
                log.add(cell, quoted(text), expected, "unheaded-cell")
                break


def _typed_row(raw: RawRow, table: Table, columns: dict[str, int], log: FaultLog) -> Row:
    values: dict[str, Value] = {}
    cells: dict[str, Cell] = {}
    first = min(columns.values(), default=1)
    for column in table.columns:
        number = columns.get(column.name)
        cells[column.name] = Cell(table.name, raw.number, number or first)
        if number is None and column.required:
            continue  # told once, at the heading
        text = raw.cell(number) if number else ""
        values[column.name] = parse_cell(text, column, cells[column.name], log)
    return Row(
        table=table.name,
        number=raw.number,
        values=values,
        cells=cells,
        given=frozenset(name for name, number in columns.items() if raw.cell(number)),
    )


def parse_cell(text: str, rule: CellRule, cell: Cell, log: FaultLog) -> Value:
    """Parse one cell; a fault goes to the log and the value is None."""
    try:
        return parse(text, rule)
    except Refused as refused:
        log.add(cell, refused.found, refused.expected, refused.code)
        return None
