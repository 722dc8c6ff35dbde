"""The plan's workbook opened again: its tables as rows of what a reader would get."""

import io
from datetime import date, datetime

from openpyxl import Workbook, load_workbook

from scheduler.farm.farm import Farm
from scheduler.outputs.workbook import plan_workbook
from scheduler.plan.rows import Plan


def opened(farm: Farm, plan: Plan) -> Workbook:
    """Return the plan's workbook as openpyxl reads it."""
    return load_workbook(io.BytesIO(plan_workbook(farm, plan)))


def table(workbook: Workbook, name: str) -> list[dict[str, object]]:
    """Return the rows of a sheet as heading -> value; dates as dates, blank cells as None."""
    heading, *rows = workbook[name].iter_rows(values_only=True)
    return [dict(zip(heading, map(_plain, row), strict=True)) for row in rows]


def words(workbook: Workbook, name: str) -> str:
    """Return every text of a sheet, one row a line."""
    rows = workbook[name].iter_rows(values_only=True)
    return "\n".join(" | ".join("" if cell is None else str(cell) for cell in row) for row in rows)


def _plain(value: object) -> object:
    return value.date() if isinstance(value, datetime) else value


def day(farm: Farm, number: int | None) -> date | None:
    """Return the date of a day number; None for None."""
    return None if number is None else farm.date_of(number)
