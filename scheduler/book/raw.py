"""Tables as grids of text, before anything is understood; every form of a book is read into these."""

from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.book.faults import Fault
from scheduler.book.guard import bare

MOST_BYTES = 20_000_000
"""Largest file that is read; a farm's largest table is far below a megabyte (estimate)."""

UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
"""What text in UTF-16 begins with."""

MOST_ROWS = 50_000
"""Most rows of one table that are read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RawRow:
    """One row: its number as a spreadsheet counts (the heading is 1) and its cells from column A on."""

    number: int
    cells: tuple[str, ...]

    def cell(self, column: int) -> str:
        """Return the text of a column counted from 1; empty past the end of the row."""
        return self.cells[column - 1] if column <= len(self.cells) else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RawTable:
    """One table: heading cells from column A on, and the rows that are not blank."""

    name: str
    heading: RawRow
    rows: tuple[RawRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RawBook:
    """All tables found, and the faults met in finding and reading them.

    Attributes:
        source: the folder or file, as given.
        tables: table name -> grid.
        unread: names of tables that are there and could not be read; nothing is said about what they lack.
        faults: faults of files and of bytes.
    """

    source: str
    tables: Mapping[str, RawTable]
    unread: frozenset[str]
    faults: tuple[Fault, ...]


def cleaned(text: str) -> str:
    """Take off outer spaces, and the apostrophe that keeps a spreadsheet from reading text as a formula.

    What stands behind the apostrophe has no outer spaces either, as in a workbook, which needs no apostrophe.
    """
    return bare(text.strip()).strip()


def one_kind_of_break(text: str) -> str:
    """Return text whose line breaks are line feeds, whatever the system or program it comes from."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def raw_table(name: str, records: list[tuple[int, list[str]]]) -> RawTable:
    """Make a grid of numbered records: the first is the heading, blank rows are left out."""
    first, *rest = records or [(1, [])]
    return RawTable(
        name=name,
        heading=RawRow(number=first[0], cells=tuple(cell.strip() for cell in first[1])),
        rows=tuple(
            RawRow(number=number, cells=tuple(cleaned(cell) for cell in cells))
            for number, cells in rest
            if any(cell.strip() for cell in cells)
        ),
    )
