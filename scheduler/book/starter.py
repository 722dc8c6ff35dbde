"""A small invented farm to begin from: a book that can be planned as it is, and is there to be changed."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from scheduler.book.from_csv import read_folder
from scheduler.book.grids import Grid, grids_of
from scheduler.book.raw import RawBook
from scheduler.book.schema import CellType, load_schema
from scheduler.reference import shared_folder

UNITS = {"ft": "lb", "m": "kg"}
"""Units of length a starter book comes in, each with the unit of mass that goes with it."""


def starter(length_unit: str, first_day: date) -> Mapping[str, Grid]:
    """Return the tables of the starter book.

    Args:
        length_unit: ``ft`` or ``m``; the troughs are of a size that is usual in that unit.
        first_day: first day of the plan; all dates of the book move with it.

    Raises:
        ValueError: the unit is not one of :data:`UNITS`.
    """
    if length_unit not in UNITS:
        raise ValueError(f"{length_unit!r} is not one of {', '.join(UNITS)}")
    folder = shared_folder() / "schema" / "starter"
    tables = {**_read(folder).tables, **_read(folder / length_unit).tables}
    grids = grids_of(RawBook(source="", tables=tables, unread=frozenset(), faults=()))
    old = date.fromisoformat(grids["settings"].value_of("first_day"))
    changed = {
        "first_day": first_day.isoformat(),
        "length_unit": length_unit,
        "mass_unit": UNITS[length_unit],
    }
    settings = tuple((name, changed.get(name, value)) for name, value in grids["settings"].rows)
    moved = {name: _moved(grid, first_day - old) for name, grid in grids.items()}
    return {**moved, "settings": replace(grids["settings"], rows=settings)}


def _read(folder: Path) -> RawBook:
    raw = read_folder(folder)
    if raw.faults or not raw.tables:
        raise FileNotFoundError(f"{folder} is not as it was installed; install raftway again")
    return raw


def _moved(grid: Grid, by: timedelta) -> Grid:
    dates = {c.name for c in load_schema().tables[grid.name].columns if c.type is CellType.DATE}
    rows = (
        tuple(
            (date.fromisoformat(text) + by).isoformat() if text and column in dates else text
            for column, text in zip(grid.columns, row, strict=True)
        )
        for row in grid.rows
    )
    return replace(grid, rows=tuple(rows))
