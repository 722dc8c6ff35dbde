"""A sheet with one table: heading, rows, widths, colours that are words as well, and how it prints."""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from math import ceil

from openpyxl.cell.cell import Cell
from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Border, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.header_footer import HeaderFooterItem
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.table import Table, TableColumn, TableStyleInfo
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.book.to_xlsx_sheets import GREY, LINE, LINE_HEIGHT, SIGNS_PER_WIDTH, font
from scheduler.outputs.workbook.cells import (
    Kind,
    Pen,
    Value,
    aligned,
    new_cell,
    print_text,
    put_text,
    safe_text,
    shown,
    text_cell,
    text_width,
)

MOST_ROWS = 1_048_575
"""Rows below the heading that the file format has room for."""

HIGHEST = 20
"""Lines of the highest row; what is longer shows when its cell is chosen."""

A4 = 9
PAGE_WIDTH = 235
"""Digits across a landscape page that can still be read (estimate: letters of 7 points)."""

ALONE = 258
"""Digits up to which a sheet is printed a little smaller rather than parted: a tick belongs beside its work
(estimate: letters of 6.4 points)."""

LEAST_WIDTH = 7
FILTER_WIDTH = 4
"""Room for the button of the filter beside a heading."""

ONE_LINE = 14
"""Width up to which a heading of several words is kept on one line."""

SHORT = PatternFill("solid", bgColor="F2C9A0")
FULL = PatternFill("solid", bgColor="BBD7EA")
DONE = PatternFill("solid", bgColor="E4E4E4")
CLOSED = Font(color="8C8C8C", italic=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column.

    Attributes:
        heading: with the unit in brackets; no two of a sheet alike.
        kind: what its cells hold.
        widest: the most digits it is wide.
        note: what to know of it, shown when pointing at the heading.
        hidden: whether it is folded away; a reader can unfold it.
    """

    heading: str
    kind: Kind = Kind.TEXT
    widest: int = 34
    note: str = ""
    hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A colour where a formula holds: ``{name}`` in it is the cell of that heading in the same row.

    ``columns`` are the first and the last heading that are coloured. With ``moves`` the cells named belong to
    the first of them, and lie as far to the right for each further one.
    """

    columns: tuple[str, str]
    formula: str
    moves: bool = False
    fill: PatternFill | None = None
    look: Font | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TableSheet:
    """A sheet with one table.

    Attributes:
        name: of the sheet; the table is called ``plan_<name>``, with _ for a blank.
        title: stands on top of every printed page.
        columns: as they stand.
        rows: values of each row, in whole units of the columns' kinds.
        empty: said in the first cell when there are no rows.
        fixed: columns that stay in sight.
        marks: colours.
        forms: (row, column), from 0 -> number format of a single cell, in place of its column's.
        choices: heading -> what may be chosen there.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: Sequence[Sequence[Value]]
    empty: str
    fixed: int = 1
    marks: tuple[Mark, ...] = ()
    forms: Mapping[tuple[int, int], str] = field(default_factory=dict)
    choices: Mapping[str, DataValidation] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What stands on top of every printed page: the farm's name, and the days of the plan."""

    farm: str
    period: str


def write_table_sheet(workbook: Workbook, table: TableSheet, page: Page) -> None:
    """Write one table, of no more rows than a sheet has room for, as a sheet of its own."""
    sheet: Worksheet = workbook.create_sheet(table.name)
    rows = table.rows
    widths = [_width(column, [row[at] for row in rows]) for at, column in enumerate(table.columns)]
    for (_, at), form in table.forms.items():
        # the number, and the words of its format without their quotation marks
        widths[at] = max(widths[at], len(form))
    for at, (column, width) in enumerate(zip(table.columns, widths, strict=True), start=1):
        dimension = sheet.column_dimensions[get_column_letter(at)]
        dimension.width = width
        if column.hidden:
            dimension.hidden, dimension.outlineLevel = True, 1
    visible = [width for column, width in zip(table.columns, widths, strict=True) if not column.hidden]
    finish_sheet(sheet, table.title, page, fixed=(1, table.fixed), width=sum(visible))
    _append_heading(sheet, table.columns, widths)
    _append_rows(sheet, table, rows, widths)
    last = max(len(rows), 1) + 1
    _add_table(sheet, table, last)
    for mark in table.marks:
        _add_mark(sheet, table, mark, last)
    for heading, choice in table.choices.items():
        letter = _letter(table, heading)
        choice.add(f"{letter}2:{letter}{last}")
        sheet.data_validations.append(choice)


def continued(table: TableSheet) -> list[TableSheet]:
    """Return a table as sheets with as many rows as each has room for: ``tasks``, ``tasks 2`` and so on."""
    parts = [table]
    for first in range(MOST_ROWS, len(table.rows), MOST_ROWS):
        number = len(parts) + 1
        parts.append(
            replace(
                table,
                name=f"{table.name} {number}",
                title=f"{table.title}, part {number}",
                rows=table.rows[first : first + MOST_ROWS],
                forms={(row - first, at): form for (row, at), form in table.forms.items() if row >= first},
                choices={heading: copy(choice) for heading, choice in table.choices.items()},
            )
        )
    parts[0] = replace(table, rows=table.rows[:MOST_ROWS])
    return parts


def finish_sheet(
    sheet: Worksheet, title: str, page: Page, *, fixed: tuple[int, int] = (0, 0), width: float = 0
) -> None:
    """Set what stays in sight (rows, columns) and how it prints: landscape A4, fitted to the width."""
    fixed_rows, fixed_columns = fixed
    pages = 1 if width <= ALONE else ceil(width / PAGE_WIDTH)
    if fixed_rows:
        sheet.freeze_panes = f"{get_column_letter(fixed_columns + 1)}{fixed_rows + 1}"
        sheet.print_title_rows = f"1:{fixed_rows}"
        if pages > 1 and fixed_columns:
            sheet.print_title_cols = f"A:{get_column_letter(fixed_columns)}"
    sheet.sheet_view.zoomScale = 100
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = pages, 0
    sheet.page_margins.left = sheet.page_margins.right = 0.4
    sheet.page_margins.top, sheet.page_margins.bottom = 0.8, 0.6
    sheet.page_margins.header = sheet.page_margins.footer = 0.3
    _set_band(sheet.oddHeader, print_text(page.farm), print_text(title), print_text(page.period))
    _set_band(sheet.oddFooter, "&A", "", "&P / &N")


def _set_band(band: HeaderFooterItem | None, *texts: str) -> None:
    """Set the three parts of what stands on top or at the foot of every printed page."""
    assert band is not None
    for part, text in zip((band.left, band.center, band.right), texts, strict=True):
        assert part is not None
        part.text = text or None


class Rows:
    """Writes a page of words and small tables row by row, and knows which row it is at."""

    def __init__(self, sheet: Worksheet) -> None:
        """Begin at the top of a sheet that has no rows yet."""
        self.sheet = sheet
        self._row = 0

    @property
    def number(self) -> int:
        """Number of the last row that was written, from 1."""
        return self._row

    def begin(self, title: str) -> None:
        """Write a title after a blank row."""
        self.add([])
        self.add([text_cell(self.sheet, title, font(bold=True, size=12))], lines=1.2)

    def add(self, cells: Sequence[Cell | None], *, lines: float = 1) -> None:
        """Write one row, so many lines high."""
        self._row += 1
        self.sheet.row_dimensions[self._row].height = LINE_HEIGHT * lines + 1
        self.sheet.append(list(cells))


def heading_cell(sheet: Worksheet, text: str, kind: Kind) -> Cell:
    """Return the heading of a column that shows in black and white too: bold, grey, a line below."""
    cell = new_cell(sheet)
    put_text(cell, text)
    cell.font = font(bold=True)
    cell.fill = GREY
    cell.border = Border(bottom=LINE)
    cell.alignment = aligned(kind, wrapped=True)
    return cell


def _append_heading(sheet: Worksheet, columns: Sequence[Column], widths: Sequence[float]) -> None:
    cells = []
    lines = 1
    for column, width in zip(columns, widths, strict=True):
        cell = heading_cell(sheet, column.heading, column.kind)
        if column.note:
            high = 24 + 19 * (1 + len(column.note) // 44)
            cell.comment = Comment(column.note, "raftway", height=high, width=320)
        cells.append(cell)
        if not column.hidden:
            lines = max(lines, lines_of(column.heading, int(width) - 1))
    sheet.row_dimensions[1].height = LINE_HEIGHT * lines + 1
    sheet.append(cells)


def _append_rows(
    sheet: Worksheet, table: TableSheet, rows: Sequence[Sequence[Value]], widths: Sequence[float]
) -> None:
    pens = [Pen(sheet, column.kind) for column in table.columns]
    wrapped = [at for at, column in enumerate(table.columns) if column.kind is Kind.LONG]
    room = [int(SIGNS_PER_WIDTH * width) - 3 for width in widths]
    if not rows:
        words = Pen(sheet, Kind.TEXT)
        sheet.append([words.cell(table.empty)])
    for number, row in enumerate(rows):
        lines = max((lines_of(str(row[at] or ""), room[at]) for at in wrapped), default=1)
        if lines > 1:
            sheet.row_dimensions[number + 2].height = LINE_HEIGHT * min(lines, HIGHEST) + 1
        if table.forms:
            cells = [
                pen.cell(value, table.forms.get((number, at)))
                for at, (pen, value) in enumerate(zip(pens, row, strict=True))
            ]
        else:
            cells = [pen.cell(value) for pen, value in zip(pens, row, strict=True)]
        sheet.append(cells)


def _width(column: Column, values: Sequence[Value]) -> float:
    word = max(text_width(word) for word in column.heading.split()) + FILTER_WIDTH
    whole = text_width(column.heading) + FILTER_WIDTH
    if whole <= min(column.widest, ONE_LINE):
        word = whole
    longest = max((text_width(shown(column.kind, value)) for value in values), default=0)
    return min(max(longest + 2, word, LEAST_WIDTH), max(column.widest, word))


def lines_of(text: str, room: int) -> int:
    """Return how many lines wrapped text takes with room for so many signs in each."""
    if text_width(text) <= room:
        return 1
    lines, left = 1, room
    for word in text.split(" "):
        size = text_width(word)
        if size > left:
            more = 1 + max(size - 1, 0) // room
            lines, left = lines + more, room * more
        left -= size + 1
    return lines


def _add_table(sheet: Worksheet, table: TableSheet, last: int) -> None:
    where = f"A1:{get_column_letter(len(table.columns))}{last}"
    made = Table(displayName=f"plan_{table.name.replace(' ', '_')}", ref=where)
    made.tableColumns = [
        TableColumn(id=at, name=safe_text(column.heading)) for at, column in enumerate(table.columns, start=1)
    ]
    made.autoFilter = AutoFilter(ref=where)
    made.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)
    sheet.tables.add(made)


def _add_mark(sheet: Worksheet, table: TableSheet, mark: Mark, last: int) -> None:
    first, final = (_letter(table, heading) for heading in mark.columns)
    fixed = "" if mark.moves else "$"
    formula = mark.formula
    for at, column in enumerate(table.columns, start=1):
        formula = formula.replace(f"{{{column.heading}}}", f"{fixed}{get_column_letter(at)}2")
    rule = FormulaRule(formula=[formula], fill=mark.fill, font=mark.look)  # type: ignore[no-untyped-call]
    sheet.conditional_formatting.add(f"{first}2:{final}{last}", rule)


def _letter(table: TableSheet, heading: str) -> str:
    return get_column_letter([column.heading for column in table.columns].index(heading) + 1)
