"""The last sheet: how the plan was made, with which settings, and what the workbook leaves out."""

from collections.abc import Iterable, Sequence

from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.book.to_xlsx_sheets import font
from scheduler.farm.calendar import WEEKDAYS, Calendar, Work
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.words import plain
from scheduler.outputs.workbook.cells import Kind, Value, aligned, new_cell, text_cell
from scheduler.outputs.workbook.sheets import (
    Page,
    Rows,
    finish_sheet,
    heading_cell,
)
from scheduler.plan.rows import Plan

TITLE = "How the plan was made"
LEFT_OUT = (
    (
        "tables/units.csv, contents.csv, positions.csv",
        "every tray, board and raft, what it holds and where it stands",
    ),
    ("tables/cuts.csv, fills.csv, chains.csv", "cuts raft by raft, and each delivery back to its seed tray"),
    ("tables/use.csv, equipment.csv", "places and equipment day by day"),
    ("tables/*.csv", "what is planned past the last day, so that the farm does not end empty"),
)


def write_made(workbook: Workbook, farm: Farm, plan: Plan, page: Page) -> None:
    """Write the last sheet."""
    sheet: Worksheet = workbook.create_sheet("made")
    for at, width in enumerate((44, 40, 30), start=1):
        sheet.column_dimensions[get_column_letter(at)].width = width
    finish_sheet(sheet, TITLE, page)
    sheet.sheet_view.showGridLines = False
    rows = Rows(sheet)
    rows.add([text_cell(sheet, TITLE, font(bold=True, size=16))], lines=1.6)
    _put(
        rows,
        "Program and search",
        ("what", "value"),
        [(key, _said(value)) for key, value in plan.made.items()],
    )
    _put(rows, "Settings", ("setting", "value"), _settings(farm))
    _put(
        rows,
        "Figures of your own",
        ("crop", "figure", "value"),
        [(row.crop, row.figure, row.value) for row in plan.own_figures],
    )
    _put(rows, "What this workbook leaves out", ("where to find it", "what"), LEFT_OUT)


def _settings(farm: Farm) -> list[tuple[Value, ...]]:
    calendar, rules = farm.calendar, farm.rules
    return [
        ("farm", farm.name),
        ("first day", calendar.first_day.isoformat()),
        ("last day", calendar.date_of(calendar.days - 1).isoformat()),
        ("nothing new is done before", farm.date_of(farm.today).isoformat()),
        *((f"days of {_NAMES[work]}", _days(calendar, work)) for work in Work),
        ("currency", farm.currency),
        ("days from cutting to delivery, at most", rules.hold_days),
        ("lots may share trays", _yes(rules.share_trays)),
        ("lots may share boards", _yes(rules.share_boards)),
        ("lots may share rafts", _yes(rules.share_rafts)),
        ("rafts may be lifted out", _yes(rules.lift_out)),
        *((("minutes to lift one out", rules.lift_minutes / CENT),) if rules.lift_out else ()),
        ("deliveries are complete or nothing", _yes(rules.all_or_nothing)),
        ("weeks one order of supplies covers", rules.supply_weeks),
        ("hours of the crew are limited", _yes(farm.crew is not None)),
        *((f"cost: {plain(name)}", cost / CENT) for name, cost in farm.costs.items()),
    ]


_NAMES = {
    Work.SOW: "sowing",
    Work.TRANSPLANT: "setting on boards",
    Work.RAFT: "setting on rafts",
    Work.HARVEST: "cutting",
}


def _days(calendar: Calendar, work: Work) -> str:
    open_days = [name for number, name in enumerate(WEEKDAYS) if number in calendar.work_days[work]]
    return "every day" if len(open_days) == len(WEEKDAYS) else " ".join(open_days) or "none"


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _said(value: str | int | float | bool | None) -> Value:
    if isinstance(value, bool):
        return _yes(value)
    return str(value) if isinstance(value, float) else value


def _put(rows: Rows, title: str, headings: Sequence[str], block: Iterable[Sequence[Value]]) -> None:
    block = list(block)
    if not block:
        return
    rows.begin(title)
    rows.add([heading_cell(rows.sheet, heading, Kind.TEXT) for heading in headings])
    for row in block:
        rows.add([_cell(rows.sheet, value) for value in row])


def _cell(sheet: Worksheet, value: Value) -> Cell:
    """Return numbers and words alike on the left, for no column holds only numbers."""
    if value is None or isinstance(value, str):
        return text_cell(sheet, value or "")
    cell = new_cell(sheet)
    cell.value = value
    cell.font = font()
    cell.alignment = aligned(Kind.TEXT, wrapped=False)
    return cell
