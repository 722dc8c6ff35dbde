"""Temperatures that were read, as rows of the table ``temperatures`` of a new book."""

from collections import defaultdict
from collections.abc import Mapping

from scheduler.book.grids import Grid
from scheduler.farm.from_book.readings import Sifted, means, said

TABLE = "temperatures"
COLUMNS = ("place", "month", "date", "water", "air")
KINDS = ("water", "air")


def with_temperatures(grids: Mapping[str, Grid], sifted: Sifted) -> tuple[dict[str, Grid], int]:
    """Return a book's tables with a row for each place and day that was read, and how many days those are.

    A row of the book for the same place and date gives way to what was read; months and other days stay.
    """
    read: dict[tuple[str, str], dict[str, str]] = defaultdict(dict)
    for (place, measures), kept in sifted.kept.items():
        if measures in KINDS:
            for day, value in means(kept).items():
                read[place, day.isoformat()][measures] = said(value)
    number = len({day for _, day in read})
    old = grids.get(TABLE)
    columns = tuple(dict.fromkeys([*(old.columns if old else ()), *COLUMNS]))
    rows = []
    for row in old.rows if old else ():
        cells = dict(zip(old.columns, row, strict=True)) if old else {}
        key = (" ".join(cells.get("place", "").split()), cells.get("date", "").strip())
        fresh = read.get(key) if key[1] else None
        if fresh is not None:
            cells |= read.pop(key)
        rows.append(tuple(cells.get(column, "") for column in columns))
    added = [
        tuple({"place": place, "date": day, **values}.get(column, "") for column in columns)
        for (place, day), values in sorted(read.items(), key=lambda each: (each[0][1], each[0][0]))
    ]
    table = Grid(name=TABLE, columns=columns, rows=(*rows, *added))
    made = {**grids, TABLE: table} if table.rows else dict(grids)
    return made, number
