"""Charts of the weeks: they draw the numbers of the sheet of weeks, and follow when those are changed.

Every series differs in brightness or line as well as in colour, for black and white and for eyes that see
some colours alike.
"""

from collections.abc import Sequence
from typing import Literal

from openpyxl.chart import BarChart, LineChart, Reference
from openpyxl.chart.axis import ChartLines, TextAxis
from openpyxl.chart.data_source import AxDataSource, NumRef
from openpyxl.chart.legend import Legend
from openpyxl.chart.series import Series
from openpyxl.chart.series_factory import SeriesFactory
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText, Text
from openpyxl.chart.title import Title
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import (
    CharacterProperties,
    Paragraph,
    ParagraphProperties,
    RegularTextRun,
    RichTextProperties,
)
from openpyxl.utils import get_column_letter
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.farm.places import PlaceKind
from scheduler.outputs.workbook.by_week import (
    BEYOND,
    CREW,
    FILLED,
    KINDS,
    MISSING,
    WORK,
    in_use,
)
from scheduler.outputs.workbook.sheets import Page, TableSheet, finish_sheet

BLUE, ORANGE, GREEN, BLACK, WHITE = "0072B2", "E69F00", "009E73", "000000", "FFFFFF"
WIDTH, HEIGHT = 34, 7
"""Centimetres of one chart: three fill a landscape page."""

ROWS_EACH = 14
"""Rows of the sheet from one chart to the next."""

MOST_LABELS = 14
"""Weeks that are named along a chart; of more, every second or third is."""

LOOKS: dict[PlaceKind, tuple[str, Literal["solid", "dash", "sysDot"]]] = {
    PlaceKind.TIER: (GREEN, "dash"),
    PlaceKind.ZONE: (ORANGE, "sysDot"),
    PlaceKind.LANE: (BLUE, "solid"),
    PlaceKind.BED: (GREEN, "solid"),
}


SLANT = -2_700_000
"""Dates stand at 45 degrees, in sixty-thousandths: some programs break them letter by letter otherwise."""


def write_charts(workbook: Workbook, weeks: TableSheet, page: Page) -> None:
    """Write a sheet with one chart below the other, all of the table of weeks."""
    sheet: Worksheet = workbook.create_sheet("charts")
    finish_sheet(sheet, "The plan in charts", page)
    sheet.page_setup.fitToHeight = 1
    sheet.sheet_view.showGridLines = False
    charts = [_deliveries(weeks), _use(weeks), _hours(weeks)]
    for number, chart in enumerate(each for each in charts if each is not None):
        sheet.add_chart(chart, f"A{1 + number * ROWS_EACH}")


def _deliveries(weeks: TableSheet) -> BarChart:
    chart = BarChart()
    chart.type, chart.grouping, chart.overlap, chart.gapWidth = "col", "stacked", 100, 40
    for heading, fill in (
        (FILLED, _solid(BLUE)),
        (MISSING, _solid(ORANGE)),
        (BEYOND, _solid(WHITE)),
    ):
        chart.series.append(_series(weeks, heading, fill))
    _finish(chart, weeks, "Ordered units by week: filled, short, too early or out of reach", "#,##0")
    return chart


def _use(weeks: TableSheet) -> LineChart | None:
    kinds = [kind for kind in KINDS if in_use(kind) in _headings(weeks)]
    if not kinds:
        return None
    chart = LineChart()
    for kind in kinds:
        colour, dash = LOOKS[kind]
        look = GraphicalProperties(ln=LineProperties(solidFill=colour, prstDash=dash, w=28_000))
        series = _series(weeks, in_use(kind), look)
        series.smooth = False
        chart.series.append(series)
    _finish(chart, weeks, "Slots in use on the fullest day of each week", "0 %")
    chart.y_axis.scaling.max = 1
    return chart


def _hours(weeks: TableSheet) -> BarChart:
    chart = BarChart()
    chart.type, chart.gapWidth = "col", 40
    chart.series.append(_series(weeks, WORK, _solid(GREEN)))
    limited = CREW in _headings(weeks)
    if limited:
        limit = LineChart()
        series = _series(
            weeks, CREW, GraphicalProperties(ln=LineProperties(solidFill=BLACK, prstDash="dash", w=19_000))
        )
        series.smooth = False
        limit.series.append(series)
    _finish(
        chart,
        weeks,
        "Hours of work by week" + (", and hours the crew has" if limited else ""),
        "#,##0",
    )
    if limited:
        chart += limit
    return chart


def _series(weeks: TableSheet, heading: str, look: GraphicalProperties) -> Series:
    """Return one column of the table of weeks, named by its heading, over the weeks' first days."""
    at = _headings(weeks).index(heading) + 1
    last = max(len(weeks.rows), 1) + 1
    series: Series = SeriesFactory(_column(weeks, at, last), title_from_data=True)
    series.cat = _dates(weeks, last)
    series.graphicalProperties = look
    return series


def _column(weeks: TableSheet, at: int, last: int) -> Reference:
    letter = get_column_letter(at)
    return Reference(range_string=f"'{weeks.name}'!${letter}$1:${letter}${last}")


def _dates(weeks: TableSheet, last: int) -> AxDataSource:
    return AxDataSource(numRef=NumRef(f=f"'{weeks.name}'!$A$2:$A${last}"))


def _headings(weeks: TableSheet) -> Sequence[str]:
    return [column.heading for column in weeks.columns]


def _finish(chart: BarChart | LineChart, weeks: TableSheet, title: str, form: str) -> None:
    run = RegularTextRun(t=title, rPr=CharacterProperties(sz=1200, b=True))
    chart.title = Title(tx=Text(rich=RichText(p=[Paragraph(r=[run])])), overlay=False)
    chart.width, chart.height = WIDTH, HEIGHT
    chart.legend = Legend(legendPos="b", overlay=False)
    assert isinstance(chart.x_axis, TextAxis)
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.number_format, chart.y_axis.number_format = "d mmm", form
    chart.x_axis.tickLblSkip = -(-len(weeks.rows) // MOST_LABELS) or 1
    chart.x_axis.tickLblPos = "low"
    chart.y_axis.scaling.min = 0
    chart.y_axis.majorGridlines = ChartLines(spPr=GraphicalProperties(ln=LineProperties(solidFill="D9D9D9")))
    for axis, slant in ((chart.x_axis, SLANT), (chart.y_axis, 0)):
        axis.txPr = RichText(
            bodyPr=RichTextProperties(rot=slant),
            p=[Paragraph(pPr=ParagraphProperties(defRPr=CharacterProperties(sz=900)), endParaRPr=None)],
        )


def _solid(colour: str) -> GraphicalProperties:
    return GraphicalProperties(solidFill=colour, ln=LineProperties(solidFill=BLACK, w=3_000))
