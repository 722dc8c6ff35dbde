"""The plan as text tables and as data frames, and back again without losing anything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.farm.calendar import Calendar
from scheduler.farm.units import CENT
from scheduler.plan.columns import Column, columns, defaults, write_text
from scheduler.plan.reading import Grid, read_rows
from scheduler.plan.rows import OPTIONAL_TABLES, TABLES, Plan

if TYPE_CHECKING:
    from pandas import DataFrame, Series

Made = Mapping[str, str | int | float | bool | None]


def cells(calendar: Calendar, plan: Plan) -> dict[str, list[list[str]]]:
    """Return every written table as lists of text cells, see :func:`cells_of`."""
    return {table: list(cells_of(calendar, plan, table)) for table in written_tables(plan)}


def written_tables(plan: Plan) -> list[str]:
    """Return the tables that a plan writes: optional ones only with rows in them."""
    return [table for table in TABLES if table not in OPTIONAL_TABLES or getattr(plan, table)]


def cells_of(calendar: Calendar, plan: Plan, table: str) -> Iterator[list[str]]:
    """Yield the rows of one table as text cells, the header first.

    Optional columns in which every row holds the default are left out.
    """
    written = written_columns(plan, table)
    yield [column.column for column in written]
    for row in getattr(plan, table):
        yield [write_text(calendar, column.type, getattr(row, column.column)) for column in written]


def written_columns(plan: Plan, table: str) -> list[Column]:
    """Return the columns of a table that a plan writes."""
    rows, optional = getattr(plan, table), defaults(table)
    return [
        column
        for column in columns()[table]
        if column.column not in optional
        or any(getattr(row, column.column) != optional[column.column] for row in rows)
    ]


def plan_from_cells(calendar: Calendar, tables: Mapping[str, Grid], made: Made) -> Plan:
    """Read a plan from text cells as :func:`cells` gives them; columns may stand in any order.

    Args:
        calendar: gives the day number of each date.
        tables: table name -> rows of cells, the header first.
        made: the note of how the plan was made.

    Raises:
        BookFaults: tables, columns or cells are damaged; every fault is listed with its place.
    """
    log = FaultLog()
    rows: dict[str, tuple[Any, ...]] = {}
    for table in TABLES:
        if table not in tables and table in OPTIONAL_TABLES:
            rows[table] = ()
            continue
        if table not in tables:
            log.add(Cell(table), "no such table", f"the table {table} of a plan", "missing-table")
            continue
        rows[table] = read_rows(calendar, table, tables[table], log)
    log.raise_if_any()
    return Plan(**rows, made=dict(made))


def frames(calendar: Calendar, plan: Plan) -> dict[str, DataFrame]:
    """Return every table as a data frame with the documented columns.

    Dates are ``datetime64``, blank ones NaT; whole numbers ``int64``; money and minutes ``float64`` in
    whole units of money and minutes, blank ones NaN; yes or no ``bool``; text as pandas holds text.
    """
    import pandas as pd

    return {
        table: pd.DataFrame(
            {
                column.column: _series(
                    calendar, column.type, [getattr(row, column.column) for row in getattr(plan, table)]
                )
                for column in documented
            }
        )
        for table, documented in columns().items()
    }


def _series(calendar: Calendar, kind: str, values: list[Any]) -> Series[Any]:
    import pandas as pd

    match kind:
        case "date":
            dates = [None if day is None else pd.Timestamp(calendar.date_of(day)) for day in values]
            return pd.Series(dates, dtype="datetime64[s]")
        case "money" | "minutes" | "area":
            return pd.Series([None if each is None else each / CENT for each in values], dtype="float64")
        case "whole":
            return pd.Series(values, dtype="int64")
        case "number":
            return pd.Series(values, dtype="float64")
        case "yesno":
            return pd.Series(values, dtype="bool")
        case _:
            return pd.Series(values, dtype="str")
