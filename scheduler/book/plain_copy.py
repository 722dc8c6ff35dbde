"""A copy of a book as CSV tables that is the same whether the book was a folder or a workbook.

What the two forms write in their own ways is written in one: numbers in plain digits, yes and no, the order
of settings, line breaks. Every other cell stays as the grower wrote it, and so do remarks.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from scheduler.book.decimals import without_idle_zeros
from scheduler.book.grids import Grid, grids_of
from scheduler.book.names import plain
from scheduler.book.number_hints import NUMBER
from scheduler.book.parse import Refused, parse_yesno
from scheduler.book.raw import RawBook
from scheduler.book.schema import CellRule, CellType, load_schema
from scheduler.book.settings import TABLE as SETTINGS
from scheduler.book.to_csv import csv_files


def book_copy(raw: RawBook) -> dict[str, bytes]:
    """Return file name -> contents of the tables that have rows or must be there.

    The same book in another form gives the same bytes, and reading the copy gives the same book.

    Raises:
        BookFaults: a table or a cell could not be read, or a heading is not that of a column.
    """
    return csv_files({name: _plain(grid) for name, grid in grids_of(raw, longest=None).items()})


def book_digest(copy: Mapping[str, bytes]) -> str:
    """Return the SHA-256 of names and contents of a copy's tables, in the order of their names."""
    together = hashlib.sha256()
    for name, contents in sorted(copy.items()):
        together.update(f"{name}\n{len(contents)}\n".encode() + contents)
    return together.hexdigest()


def _plain(grid: Grid) -> Grid:
    if grid.name == SETTINGS:
        return _plain_settings(grid)
    rules = {column.name: column for column in load_schema().tables[grid.name].columns}
    columns = [rules.get(name) for name in grid.columns]
    rows = (zip(row, columns, strict=True) for row in grid.rows)
    return replace(grid, rows=tuple(tuple(_plain_cell(text, rule) for text, rule in row) for row in rows))


def _plain_settings(grid: Grid) -> Grid:
    """Put settings into the schema's order without those left blank: a workbook lists them all."""
    known = load_schema().settings
    places = {name: place for place, name in enumerate(known)}
    name_at, value_at = (grid.columns.index(column) for column in ("setting", "value"))
    rows = []
    for row in grid.rows:
        cells, name = list(row), plain(row[name_at])
        if name in known:
            cells[name_at] = name
            cells[value_at] = _plain_cell(row[value_at], known[name])
            if not any(cells[:name_at] + cells[name_at + 1 :]):
                continue
        rows.append(tuple(cells))
    rows.sort(key=lambda row: places.get(row[name_at], len(places)))
    return replace(grid, rows=tuple(rows))


def _plain_cell(text: str, rule: CellRule | None) -> str:
    if rule is None:
        return text
    if rule.type in (CellType.WHOLE, CellType.NUMBER) and NUMBER.fullmatch(text):
        digits = without_idle_zeros(format(Decimal(text), "f"))
        return "0" if digits == "-0" else digits
    if rule.type is CellType.YESNO:
        try:
            return "yes" if parse_yesno(text, rule) else "no"
        except Refused:
            return text
    return text
