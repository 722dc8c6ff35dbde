"""A book as a folder of CSV tables: UTF-8, line feeds, and no text that a spreadsheet would calculate."""

from collections.abc import Mapping

from scheduler.book.grids import Grid
from scheduler.book.guard import csv_text, guarded
from scheduler.book.number_hints import NUMBER
from scheduler.book.schema import CellType, load_schema


def csv_files(grids: Mapping[str, Grid]) -> dict[str, bytes]:
    """Return file name -> contents; the same tables give the same bytes."""
    return {f"{name}.csv": _csv_text(grid).encode("utf-8") for name, grid in grids.items()}


def _csv_text(grid: Grid) -> str:
    numeric = {
        column.name
        for column in load_schema().tables[grid.name].columns
        if column.type in (CellType.WHOLE, CellType.NUMBER)
    }
    rows = [
        [
            cell if column in numeric and NUMBER.fullmatch(cell) else guarded(cell)
            for column, cell in zip(grid.columns, row, strict=True)
        ]
        for row in grid.rows
    ]
    return csv_text([grid.columns, *rows])
