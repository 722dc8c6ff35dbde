"""The tables of a book while they are edited: cells by column name, and which change wrote each of them."""

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from scheduler.book.faults import FaultLog
from scheduler.book.headings import undecorated
from scheduler.book.parse import Value, parse
from scheduler.book.place import Cell
from scheduler.book.raw import RawBook, RawRow, RawTable
from scheduler.book.rows import match_heading
from scheduler.book.schema import load_schema
from scheduler.scenario.scenario import Change

Texts = Mapping[str, str]
Origins = Mapping[tuple[str, int, int], Cell]
"""(table, row, column) -> the key of a scenario that wrote the cell; column 0 for the rest of a row."""


@dataclass(slots=True, kw_only=True)
class Line:
    """One row: its number in the book and its cells by column."""

    table: str
    number: int
    cells: dict[str, str] = field(default_factory=dict)

    def text(self, column: str) -> str:
        """Return a cell's text on one line, as names are compared."""
        return said(self.cells.get(column, ""))

    def value(self, column: str) -> Value:
        """Return the value of a cell of a book without faults, default included."""
        return parse(self.cells.get(column, ""), load_schema().tables[self.table].column(column))

    def words(self, column: str) -> list[str]:
        """Return the words of a list; none when blank."""
        value = self.value(column)
        return list(value) if isinstance(value, tuple) else []

    def number_of(self, column: str) -> Fraction:
        """Return a number of a column that is required."""
        value = self.value(column)
        assert isinstance(value, (int, Fraction))
        return Fraction(value)

    def day(self, column: str) -> date | None:
        """Return a date; None when blank."""
        value = self.value(column)
        return value if isinstance(value, date) else None


class Tables:
    """A book's tables under edit.

    Rows keep their numbers and cells their columns, so that a fault of a cell nobody changed is told where
    the grower finds it.
    """

    def __init__(self, raw: RawBook, log: FaultLog) -> None:
        """Take the grids of a book without faults; those of the scenarios go to ``log``."""
        self.log = log
        self._raw = undecorated(raw, FaultLog())
        self._columns: dict[str, dict[str, int]] = {}
        self._lines: dict[str, list[Line]] = {}
        self._wrote: dict[tuple[str, int, str], Cell] = {}
        schema = load_schema().tables
        for name in schema:
            table = self._raw.tables.get(name)
            self._columns[name] = match_heading(table, schema[name], FaultLog()) if table else {}
            self._lines[name] = [_line(name, row, self._columns[name]) for row in table.rows] if table else []

    def lines(self, table: str) -> list[Line]:
        """Return the rows of a table as they are now."""
        return list(self._lines[table])

    def named(self, table: str, name: str, column: str = "") -> list[Line]:
        """Return the rows of a name; the column is the table's key unless given."""
        column = column or load_schema().tables[table].key
        return [line for line in self._lines[table] if line.text(column) == said(name)]

    def names(self, table: str) -> list[str]:
        """Return the names in a table, each once."""
        key = load_schema().tables[table].key
        return list(dict.fromkeys(line.text(key) for line in self._lines[table] if line.text(key)))

    def setting(self, name: str) -> str:
        """Return the text of a setting, or its default."""
        found = [line.text("value") for line in self.named("settings", name, "setting")]
        return next((text for text in found if text), load_schema().settings[name].default)

    @property
    def first_day(self) -> date:
        """The first day of the plan."""
        return date.fromisoformat(self.setting("first_day"))

    def write(self, line: Line, column: str, text: str, at: Cell) -> None:
        """Put another text into a cell; ``at`` is the key that asks for it."""
        line.cells[column] = text
        self._wrote[line.table, line.number, column] = at
        self._columns[line.table].setdefault(column, 0)

    def wrote(self, line: Line, column: str) -> Cell | None:
        """Return the key that wrote a cell; None for one of the grower's own."""
        return self._wrote.get((line.table, line.number, column))

    def add(self, table: str, cells: Texts, change: Change, keys: Texts | None = None) -> Line:
        """Add a row; ``keys`` says which key of the change gave a column, where it is called otherwise."""
        number = 1 + max((line.number for line in self._lines[table]), default=1)
        line = Line(table=table, number=number)
        self._lines[table].append(line)
        for rule in load_schema().tables[table].columns:
            if rule.required:
                self._columns[table].setdefault(rule.name, 0)
        for column, text in cells.items():
            if text:
                self.write(line, column, text, change.at((keys or {}).get(column, column)))
        self._wrote[table, number, ""] = Cell(change.place)
        return line

    def drop(self, lines: Iterable[Line]) -> None:
        """Take rows out."""
        for line in lines:
            self._lines[line.table].remove(line)

    def raw(self) -> tuple[RawBook, Origins]:
        """Return the edited grids, and the key behind each cell that was written."""
        tables = {
            name: self._table(name) for name in self._lines if name in self._raw.tables or self._lines[name]
        }
        origins: dict[tuple[str, int, int], Cell] = {}
        for (table, number, column), at in self._wrote.items():
            origins[table, number, self._columns[table][column] if column else 0] = at
        return replace(self._raw, tables=tables), origins

    def _table(self, name: str) -> RawTable:
        old = self._raw.tables.get(name)
        heading = list(old.heading.cells) if old else []
        columns = self._columns[name]
        for column in (each.name for each in load_schema().tables[name].columns if each.name in columns):
            if not columns[column]:
                heading.append(column)
                columns[column] = len(heading)
        return RawTable(
            name=name,
            heading=RawRow(number=old.heading.number if old else 1, cells=tuple(heading)),
            rows=tuple(_row(line, columns, len(heading)) for line in self._lines[name]),
        )


def said(text: str) -> str:
    """Return text as names are compared: one line, accents in one form."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def day_text(day: date | None) -> str:
    """Return a date as a book writes it; empty for none."""
    return day.isoformat() if day else ""


def _line(table: str, row: RawRow, columns: Mapping[str, int]) -> Line:
    return Line(table=table, number=row.number, cells={name: row.cell(at) for name, at in columns.items()})


def _row(line: Line, columns: Mapping[str, int], width: int) -> RawRow:
    cells = [""] * width
    for column, at in columns.items():
        cells[at - 1] = line.cells.get(column, "")
    return RawRow(number=line.number, cells=tuple(cells))
