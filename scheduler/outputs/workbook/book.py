"""Puts the sheets of a plan's workbook together."""

from openpyxl import Workbook

from scheduler.book.to_xlsx import fixed_bytes
from scheduler.farm.dates import full_day
from scheduler.farm.farm import Farm
from scheduler.outputs.words import plain
from scheduler.outputs.workbook.boxes import boxes_sheet
from scheduler.outputs.workbook.by_week import places_sheet, weeks_sheet
from scheduler.outputs.workbook.charts import write_charts
from scheduler.outputs.workbook.harvest import (
    deliveries_sheet,
    harvests_sheet,
    lots_sheet,
    outlets_sheet,
    shortfalls_sheet,
)
from scheduler.outputs.workbook.made import write_made
from scheduler.outputs.workbook.money import money_sheet
from scheduler.outputs.workbook.sheets import Page, TableSheet, continued, write_table_sheet
from scheduler.outputs.workbook.summary import write_summary
from scheduler.outputs.workbook.water import water_sheet
from scheduler.outputs.workbook.work import hours_sheet, seed_sheet, supplies_sheet, tasks_sheet
from scheduler.plan.rows import Plan
from scheduler.plan.views.weeks import weeks

LONGEST_TITLE = 200


def plan_workbook(farm: Farm, plan: Plan) -> bytes:
    """Return ``plan.xlsx``: the plan for a spreadsheet program, to read, filter, print and tick off.

    It holds what lies on reported days; ``tables/*.csv`` have every row. Days are dates, money is in whole
    units of the farm's currency, work in minutes or hours as the headings say. The same farm and plan give
    the same bytes.
    """
    # row by row: a plan of years has more cells than should be held at once
    workbook = Workbook(write_only=True)
    page = page_of(farm)
    by_week = weeks_sheet(farm, weeks(farm, plan))
    sheets = [part for table in _tables(farm, plan, by_week) for part in continued(table)]
    write_summary(workbook, farm, plan, page, sheets)
    write_charts(workbook, by_week, page)
    for table in sheets:
        write_table_sheet(workbook, table, page)
    write_made(workbook, farm, plan, page)
    workbook.properties.title = f"Plan of {plain(farm.name)[:LONGEST_TITLE]}"
    return fixed_bytes(workbook, farm.calendar.first_day)


def _tables(farm: Farm, plan: Plan, by_week: TableSheet) -> list[TableSheet]:
    """Return all tables in the order of their sheets; those of what the farm does not have are left out."""
    return [
        tasks_sheet(farm, plan),
        by_week,
        lots_sheet(farm, plan),
        harvests_sheet(farm, plan),
        deliveries_sheet(farm, plan),
        shortfalls_sheet(farm, plan),
        *([outlets_sheet(farm, plan)] if farm.outlets else []),
        places_sheet(farm, plan),
        supplies_sheet(farm, plan),
        seed_sheet(farm, plan),
        hours_sheet(farm, plan),
        money_sheet(farm, plan),
        *([boxes_sheet(farm, plan)] if plan.boxes else []),
        *([water_sheet(farm, plan)] if plan.water else []),
    ]


def page_of(farm: Farm) -> Page:
    """Return what stands on top of every printed page of a farm's workbook."""
    first, last = farm.date_of(0), farm.date_of(farm.calendar.days - 1)
    return Page(farm=farm.name, period=f"{full_day(first)} to {full_day(last)}")
