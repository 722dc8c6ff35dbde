"""Cells that hold what they show: real dates and numbers, and text that no program takes for a formula."""

import unicodedata
from datetime import date
from enum import StrEnum

from openpyxl.cell.cell import Cell, WriteOnlyCell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.book.from_xlsx_cells import LIKE_ESCAPED, escaped
from scheduler.book.guard import changes_when_edited
from scheduler.book.to_xlsx_sheets import font
from scheduler.farm.dates import full_day
from scheduler.farm.units import CENT, HOUR
from scheduler.outputs.words import hours_in_text, plain

LONGEST = 32_767
"""Letters of one cell, as 16-bit units: what the file format allows."""

LINE = Side(style="thin", color="7F7F7F")
BOX = Border(left=LINE, right=LINE, top=LINE, bottom=LINE)
UNDERLINE = Border(bottom=Side(style="thin", color="D9D9D9"))
"""A faint line under every row, for programs that do not draw a table's stripes."""

Value = str | int | float | date | None


class Kind(StrEnum):
    """What the cells of a column hold, and so how they look."""

    TEXT = "text"
    LONG = "long"
    """Running text, wrapped."""
    DATE = "date"
    WHOLE = "whole"
    SHORT = "short"
    """Units missing, with the word ``short`` behind them."""
    NUMBER = "number"
    """With two decimals where it is not whole."""
    MONEY = "money"
    """Given in hundredths."""
    MINUTES = "minutes"
    """Given in hundredths of a minute."""
    HOURS = "hours"
    """Given in hundredths of a minute, shown in hours."""
    SHARE = "share"
    """A part of 1, in percent; the word ``full`` where nothing is left."""
    FILL = "fill"
    """An empty box to write into."""


FORMATS = {
    Kind.TEXT: "@",
    Kind.LONG: "General",
    # the weekday in English whatever the program's own language, as everything else in the workbook is
    Kind.DATE: "[$-409]ddd d mmm yyyy",
    Kind.WHOLE: "#,##0",
    Kind.SHORT: '[=0]0;#,##0" short"',
    Kind.NUMBER: "#,##0.00",
    Kind.MONEY: "#,##0.00",
    Kind.MINUTES: "#,##0.0",
    Kind.HOURS: "#,##0.0",
    Kind.SHARE: '[>=1]"full";0 %',
    Kind.FILL: "General",
}

TEXTS = (Kind.TEXT, Kind.LONG, Kind.FILL)


def safe_text(text: str) -> str:
    """Return a grower's text as a cell may hold it: one line, no control signs, not too long for the format.

    What looks like an escape of the file format (``_x0041_``) is spelt so that it shows as it was written.
    """
    said = text if text.isprintable() else plain(text)
    room = LONGEST // 2 if LIKE_ESCAPED.search(said) else LONGEST
    if len(said) * 2 > room:
        said = said.encode("utf-16-le")[: room * 2].decode("utf-16-le", errors="ignore")
    return escaped(said)


def print_text(text: str, most: int = 80) -> str:
    """Return text for the top or foot of a printed page, where ``&`` begins a code.

    The format has room for 255 letters in all three parts together; each gets at most ``most``.
    """
    said = plain(text).strip()[:most]
    while len(said) + said.count("&") > most:
        said = said[:-1]
    return said.replace("&", "&&")


def text_width(text: str) -> int:
    """Return how many digits wide text is; signs of East Asian scripts take two."""
    if text.isascii():
        return len(text)
    return sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)


def shown(kind: Kind, value: Value) -> str:
    """Return about what a cell shows, for the width of its column."""
    if value is None:
        return ""
    if isinstance(value, date):
        return full_day(value)
    if isinstance(value, str):
        return value
    match kind:
        case Kind.MONEY:
            return f"{value / CENT:,.2f}"
        case Kind.MINUTES:
            return f"{value / CENT:,.1f}"
        case Kind.HOURS:
            return hours_in_text(value)
        case Kind.SHARE:
            return "full" if value >= 1 else f"{value:.0%}"
        case Kind.SHORT:
            return f"{value:,} short"
        case Kind.NUMBER:
            return f"{value:,.2f}"
        case _:
            return f"{value:,}"


def number_of(kind: Kind, value: int | float) -> int | float:
    """Return the number a cell holds, in whole units of money, minutes or hours."""
    if kind in (Kind.MONEY, Kind.MINUTES):
        return value / CENT
    return value / HOUR if kind is Kind.HOURS else value


def text_cell(sheet: Worksheet, text: str, look: Font | None = None) -> Cell:
    """Return a cell of text for a sheet that is written row by row."""
    cell = new_cell(sheet)
    put_text(cell, text)
    cell.font = look or font()
    cell.alignment = Alignment(vertical="top", horizontal="left", indent=1)
    return cell


def aligned(kind: Kind, *, wrapped: bool) -> Alignment:
    """Return text and dates to the left, a little off the number before them, and numbers to the right."""
    left = kind in (*TEXTS, Kind.DATE)
    return Alignment(
        vertical="top", horizontal="left" if left else "right", indent=int(left), wrap_text=wrapped
    )


def new_cell(sheet: Worksheet) -> Cell:
    """Return an empty cell for a sheet that is written row by row."""
    cell: Cell = WriteOnlyCell(sheet)
    return cell


def put_text(cell: Cell, text: str) -> None:
    """Write text, whatever it begins with."""
    cell.value = safe_text(text)
    cell.data_type = "s"
    if changes_when_edited(cell.value):
        cell.quotePrefix = True


class Pen:
    """Writes the cells of one column, using the same few cells again: a row is written before the next.

    A workbook of a hundred thousand rows takes half the time so, for looks are set once a column. The look
    of a cell that was written must not be changed: the workbook would take it for that of all others alike.
    """

    def __init__(self, sheet: Worksheet, kind: Kind) -> None:
        """Make the cells of a column of one kind."""
        self._sheet, self._kind = sheet, kind
        self._blank, self._plain, self._guarded = (_styled(sheet, kind) for _ in range(3))
        self._guarded.quotePrefix = True
        self._formed: dict[str, Cell] = {}

    def cell(self, value: Value, form: str | None = None) -> Cell:
        """Return the cell for a value; ``form`` stands in for the number format of the column."""
        if value is None or value == "":
            return self._blank
        if isinstance(value, str):
            text = safe_text(value)
            cell = self._guarded if changes_when_edited(text) else self._plain
            cell.value = text
            cell.data_type = "s"
            return cell
        if isinstance(value, date):
            self._plain.value = value
            return self._plain
        if self._kind is Kind.NUMBER and value == round(value):
            form = FORMATS[Kind.WHOLE]
        cell = self._plain if form is None else self._of_form(form)
        cell.value = number_of(self._kind, value)
        return cell

    def _of_form(self, form: str) -> Cell:
        if form not in self._formed:
            self._formed[form] = _styled(self._sheet, self._kind)
            self._formed[form].number_format = form
        return self._formed[form]


def _styled(sheet: Worksheet, kind: Kind) -> Cell:
    cell = new_cell(sheet)
    cell.font = font()
    cell.number_format = FORMATS[kind]
    cell.alignment = aligned(kind, wrapped=kind is Kind.LONG)
    cell.border = BOX if kind is Kind.FILL else UNDERLINE
    return cell
