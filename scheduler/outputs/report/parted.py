"""The report of a large farm: a page for each week, one for what is behind, and one that leads to them.

A browser opens and prints a page of some ten megabytes well; the sheets of a farm with hundreds of rows over
two years are many times that. So above a size each week is a page of its own, and above a larger one the
pictures of places are left out, for they alone would be thousands of slots on each day.
"""

from collections.abc import Iterator
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.outputs.report.back import back_context
from scheduler.outputs.report.lots import lot_pages
from scheduler.outputs.report.page import Sheets, part_html, report_html
from scheduler.outputs.report.pictures import Pictures
from scheduler.outputs.report.week import WeekSheet, week_sheet
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import Yard
from scheduler.plan.views.week import week_sheets

REPORT = "report.html"
FOLDER = "report"

ONE_PAGE = 25_000
"""Slots of the farm times weeks up to which the report is one page (estimate: about a kilobyte for each)."""

DRAWN = 2_000
"""Slots of the farm up to which its pages show what stands where after each day's work."""


MOST_LOTS = 1_000
"""Lots on one page: a browser takes 0.7 GB to print so many, 1.6 GB for 2,000 and over 10 GB for 6,800
(measured)."""


def report_files(farm: Farm, plan: Plan) -> dict[str, bytes]:
    """Return the pages of the report by name: one, or for a large farm one for each week and more besides."""
    if not is_parted(farm):
        return {REPORT: report_html(farm, plan).encode()}
    files: dict[str, bytes] = {}
    told: list[WeekSheet] = []
    for sheet, pictures in _sheets(farm, plan):
        files[f"{FOLDER}/{sheet.anchor}.html"] = part_html(
            farm, plan, Sheets(weeks=(sheet,)), pictures
        ).encode()
        # what the page that leads to it tells of the week, and not its thousands of lines
        told.append(replace(sheet, days=(), customers=(), targets=(), hours=()))
    none = Pictures(farm, plan)
    back = back_context(farm, plan)
    pages = lot_pages(back.lots, MOST_LOTS)
    back = replace(back, lot_pages=pages)
    files[f"{FOLDER}/back.html"] = part_html(farm, plan, Sheets(back=back), none).encode()
    for page in pages:
        files[f"{FOLDER}/{page.name}.html"] = part_html(farm, plan, Sheets(lots=page), none).encode()
    files[REPORT] = part_html(farm, plan, Sheets(weeks=tuple(told), leads=True), none).encode()
    return files


def is_parted(farm: Farm) -> bool:
    """Say whether the report of a farm is more than one page."""
    return slots_of(farm) * -(-farm.calendar.days // 7) > ONE_PAGE


def slots_of(farm: Farm) -> int:
    """Return how many slots all places of a farm have on the first day."""
    return sum(place.slots.on(0) for place in farm.places)


def _sheets(farm: Farm, plan: Plan) -> Iterator[tuple[WeekSheet, Pictures]]:
    drawn = slots_of(farm) <= DRAWN
    yard = Yard(farm, plan) if drawn else None
    for week in week_sheets(farm, plan):
        pictures = Pictures(farm, plan, yard)
        if not drawn:
            days = tuple(replace(day, troughs=(), shelves=()) for day in week.days)
            week = replace(week, days=days)
        yield week_sheet(farm, week, pictures), pictures
