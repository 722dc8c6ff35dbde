"""A plan as the text cells of its tables, and read again from those."""

from collections.abc import Mapping, Sequence
from typing import Any

from scheduler.book.faults import FaultLog
from scheduler.farm.calendar import Calendar
from scheduler.plan.reading import read_rows
from scheduler.plan.rows import TABLES, Plan
from scheduler.plan.tables import cells_of, written_tables

Grids = dict[str, list[list[str]]]


def cells(calendar: Calendar, plan: Plan) -> Grids:
    """Return every written table as rows of cells, the header first."""
    return {table: list(cells_of(calendar, plan, table)) for table in written_tables(plan)}


def plan_from_cells(calendar: Calendar, grids: Mapping[str, Sequence[Sequence[str]]], made: Any) -> Plan:
    """Return the plan of some tables; those that are not there have no rows."""
    log = FaultLog()
    rows: dict[str, Any] = {
        table: read_rows(calendar, table, grids[table], log) if table in grids else () for table in TABLES
    }
    log.raise_if_any()
    return Plan(**rows, made=dict(made))
