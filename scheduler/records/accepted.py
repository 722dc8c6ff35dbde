"""A book with the figures that its records propose."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from scheduler.book.grids import Grid, grids_of
from scheduler.book.raw import RawBook
from scheduler.book.schema import load_schema
from scheduler.farm.units import nearest
from scheduler.records.learned import Learned


def with_proposed(raw: RawBook, told: Iterable[Learned]) -> Mapping[str, Grid]:
    """Return the tables of a book in which the crops have the proposed figures; all else is as it was.

    Raises:
        BookFaults: a table cannot be read.
    """
    wanted: dict[str, dict[str, str]] = {}
    for each in told:
        if each.proposed is not None:
            wanted.setdefault(each.crop, {})[each.figure] = in_tenths(each.proposed)
    grids = dict(grids_of(raw, longest=None))
    grids["crops"] = _changed(grids["crops"], wanted)
    return grids


def in_tenths(value: Fraction) -> str:
    """Return a figure with at most one decimal, as a book writes it."""
    whole, rest = divmod(nearest(value * 10), 10)
    return f"{whole}.{rest}" if rest else str(whole)


def in_order(table: str, names: Iterable[str]) -> tuple[str, ...]:
    """Return columns of a table each once: as the schema has them, then those it does not know."""
    given = dict.fromkeys(names)
    known = [column.name for column in load_schema().tables[table].columns]
    return *(name for name in known if name in given), *(name for name in given if name not in known)


def _changed(grid: Grid, wanted: Mapping[str, Mapping[str, str]]) -> Grid:
    columns = in_order("crops", [*grid.columns, *(name for figures in wanted.values() for name in figures)])
    rows = []
    for row in grid.rows:
        cells = dict(zip(grid.columns, row, strict=True))
        cells.update(wanted.get(" ".join(cells["crop"].split()), {}))
        rows.append(tuple(cells.get(name, "") for name in columns))
    return replace(grid, columns=columns, rows=tuple(rows))
