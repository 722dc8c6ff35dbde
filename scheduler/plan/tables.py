"""The plan as text tables and as data frames."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from scheduler.farm.calendar import Calendar
from scheduler.farm.units import CENT
from scheduler.plan.columns import Column, columns, defaults, write_text
from scheduler.plan.rows import OPTIONAL_TABLES, TABLES, Plan

if TYPE_CHECKING:
    from pandas import DataFrame, Series


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
