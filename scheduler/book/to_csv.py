"""A book as a folder of CSV tables: UTF-8, line feeds, and no text that a spreadsheet would calculate."""

import csv
import io
from collections.abc import Mapping

from scheduler.book.grids import Grid
from scheduler.book.number_hints import NUMBER
from scheduler.book.schema import CellType, load_schema

FORMULA_SIGNS = ("=", "+", "-", "@")
"""Text that begins so gets an apostrophe in front, which is taken off when the table is read."""


def csv_files(grids: Mapping[str, Grid]) -> dict[str, bytes]:
    """Return file name -> contents; the same tables give the same bytes."""
    return {f"{name}.csv": _csv_text(grid).encode("utf-8") for name, grid in grids.items()}


def _csv_text(grid: Grid) -> str:
    numeric = {
        column.name
        for column in load_schema().tables[grid.name].columns
        if column.type in (CellType.WHOLE, CellType.NUMBER)
    }
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(grid.columns)
    for row in grid.rows:
        writer.writerow(
            cell if column in numeric and NUMBER.fullmatch(cell) else _guarded(cell)
            for column, cell in zip(grid.columns, row, strict=True)
        )
    return text.getvalue()


def _guarded(text: str) -> str:
    return "'" + text if text.startswith(FORMULA_SIGNS) else text
