"""Chores in everything a plan folder holds: tasks, week sheets, calendars, workbook, screen."""

import io
from dataclasses import replace

import pytest
from farms import chore, make_farm
from icalendar import Calendar
from openpyxl import load_workbook
from plan.layout.amounts import Batch, laid
from reports import lines_of
from rich.console import Console

from scheduler.outputs.calendars import calendar_files
from scheduler.outputs.report.page import report_html
from scheduler.outputs.report.rows import row_of
from scheduler.outputs.show.work import day_page
from scheduler.outputs.summary import print_summary
from scheduler.outputs.workbook import plan_workbook
from scheduler.plan.audit import audit
from scheduler.plan.views.week import week_sheets

FLUSH = chore(0, 14_50, place="Filter <house>", who="Ada", note="until it runs clear")
MOVED = chore(3, 0, chore="Test the water", due=1)
FARM = make_farm(days=28, crew=300_00, chores=[FLUSH, MOVED, replace(FLUSH, day=7, due=7)])
PLAN = laid(FARM, Batch())


def test_a_chore_is_a_task_that_says_how_long_who_and_what_to_mind():
    tasks = [task for task in PLAN.tasks if task.work == "chore"]
    assert [(task.key, task.day, task.crop, task.where, task.note) for task in tasks] == [
        (
            "chore Flush the filter 2026-03-02",
            0,
            "Flush the filter",
            "Filter <house>",
            "15 min; Ada; until it runs clear",
        ),
        ("chore Test the water 2026-03-03", 3, "Test the water", "",
         "moved from Tue 3 Mar, a day without work"),
        (
            "chore Flush the filter 2026-03-09",
            7,
            "Flush the filter",
            "Filter <house>",
            "15 min; Ada; until it runs clear",
        ),
    ]  # fmt: skip
    assert audit(FARM, PLAN) == []


def test_a_day_ends_with_its_chores():
    assert [task.work for task in PLAN.tasks if task.day == 0] == ["sow", "chore"]


def test_a_week_sheet_has_a_row_for_each_chore_and_their_hours():
    sheets = week_sheets(FARM, PLAN)
    rows = [row_of(line, FARM) for _, work, line in lines_of(sheets) if work == "chore"]
    assert [str(row.what.striptags()) for row in rows] == [
        "Flush the filter", "Test the water", "Flush the filter",
    ]  # fmt: skip
    assert rows[0].source == ("<bdi>Filter &lt;house&gt;</bdi>",)
    assert rows[0].target == ("<bdi>Ada</bdi>",)
    assert rows[1].note[0].striptags().replace("\xa0", " ") == "moved from Tue 3 Mar"
    assert sheets[0].minutes["chore"] == 14_50
    page = report_html(FARM, PLAN)
    assert page.count("Chores of the house") >= 3
    assert "Filter &lt;house&gt;" in page


def test_a_phone_gets_one_entry_a_day_that_moves_with_the_chore():
    files = calendar_files(FARM, PLAN, {})
    events = Calendar.from_ical(files["calendars/chore.ics"]).events
    assert [(str(event.summary), event.start.isoformat()) for event in events] == [
        ("Chores: Flush the filter", "2026-03-02"),
        ("Chores: Test the water", "2026-03-05"),
        ("Chores: Flush the filter", "2026-03-09"),
    ]
    assert "Keep plugs and cords away from the water." in events[0].description
    later = make_farm(days=28, crew=300_00, chores=[FLUSH, replace(MOVED, day=4), FARM.chores[2]])
    moved = Calendar.from_ical(
        calendar_files(later, laid(later, Batch()), files)["calendars/chore.ics"]
    ).events
    assert [str(event["UID"]) for event in moved] == [str(event["UID"]) for event in events]
    assert moved[1].start.isoformat() == "2026-03-06"


def test_a_week_in_the_calendar_counts_its_chores():
    weeks = Calendar.from_ical(calendar_files(FARM, PLAN, {})["calendars/week.ics"]).events
    assert "Chores: 2 chores" in weeks[0].description
    assert "Chores: 1 chore" in weeks[1].description


def test_the_workbook_has_chores_among_the_tasks_and_their_hours():
    book = load_workbook(io.BytesIO(plan_workbook(FARM, PLAN)))
    works = [row[1].value for row in book["tasks"].iter_rows(min_row=2)]
    assert works.count("chore") == 3
    cells = [cell.value for row in book["hours"].iter_rows(max_row=6) for cell in row]
    assert any("chore" in str(value) for value in cells)


def text_of(parts):
    out = io.StringIO()
    console = Console(file=out, width=100)
    for part in parts:
        console.print(part)
    return out.getvalue()


def test_the_screen_names_chores_of_a_day_and_of_the_first_week():
    day = text_of(day_page(FARM, PLAN, 0))
    assert "Chores\n  Flush the filter; at Filter <house>. 15 min; Ada; until it runs clear." in day
    out = io.StringIO()
    print_summary(Console(file=out, width=100), FARM, PLAN)
    assert "Chores: Flush the filter" in out.getvalue()


@pytest.mark.parametrize("name", ["tasks", "hours"])
def test_a_plan_without_chores_has_no_word_of_them(name):
    farm = make_farm(days=28)
    plan = laid(farm, Batch())
    assert not [row for row in getattr(plan, name) if row.work == "chore"]
    assert "hore" not in report_html(farm, plan)
    assert "calendars/chore.ics" not in calendar_files(farm, plan, {})
