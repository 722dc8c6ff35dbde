"""Charts of the workbook of a comparison: they draw the numbers of its sheet of weeks."""

from typing import Literal, get_args

from openpyxl.chart import LineChart, Reference
from openpyxl.chart.data_source import AxDataSource, NumRef
from openpyxl.chart.legend import Legend
from openpyxl.chart.series_factory import SeriesFactory
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.drawing.line import LineProperties
from openpyxl.utils import get_column_letter
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.outputs.compare.charts import LOOKS
from scheduler.outputs.workbook.sheets import Page, TableSheet, finish_sheet
from scheduler.plan.views.compared import Comparison

WIDTH, HEIGHT, ROWS_EACH = 34, 9, 19
Dash = Literal["solid", "dash", "sysDot", "dashDot", "lgDash", "sysDash", "lgDashDot", "sysDashDot"]
DASHES: tuple[Dash, ...] = get_args(Dash)
PICTURES = (
    ("units", "Units delivered by week", 0),
    ("gained", "What a change has brought, less its price", 1),
)
"""What the headings begin with, the title, and the number of the first case that has one."""


def write_charts(workbook: Workbook, weeks: TableSheet, comparison: Comparison, page: Page) -> None:
    """Write a sheet with one chart below the other."""
    sheet: Worksheet = workbook.create_sheet("charts")
    finish_sheet(sheet, "The farms in charts", page)
    sheet.page_setup.fitToHeight = 1
    sheet.sheet_view.showGridLines = False
    for number, (told, title, first) in enumerate(PICTURES):
        if first < len(comparison.cases):
            sheet.add_chart(_chart(weeks, told, title, first), f"A{1 + number * ROWS_EACH}")


def _chart(weeks: TableSheet, told: str, title: str, first: int) -> LineChart:
    chart = LineChart()
    last = max(len(weeks.rows), 1) + 1
    dates = AxDataSource(numRef=NumRef(f=f"'{weeks.name}'!$A$2:$A${last}"))
    found = [at for at, column in enumerate(weeks.columns, start=1) if column.heading.startswith(f"{told}: ")]
    for number, at in enumerate(found, start=first):
        letter = get_column_letter(at)
        series = SeriesFactory(
            Reference(range_string=f"'{weeks.name}'!${letter}$1:${letter}${last}"), title_from_data=True
        )
        series.cat, series.smooth = dates, False
        colour = LOOKS[number % len(LOOKS)][0].removeprefix("#")
        line = LineProperties(solidFill=colour, prstDash=DASHES[number % len(DASHES)], w=26_000)
        series.graphicalProperties = GraphicalProperties(ln=line)
        chart.series.append(series)
    chart.title, chart.width, chart.height = title, WIDTH, HEIGHT
    chart.legend = Legend(legendPos="b", overlay=False)
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.number_format, chart.y_axis.number_format = "d mmm", "#,##0"
    chart.x_axis.tickLblPos = "low"
    return chart
