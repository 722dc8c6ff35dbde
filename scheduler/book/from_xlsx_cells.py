"""One cell of a workbook to the text a CSV table would hold, or a refusal where that would be a guess."""

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from scheduler.book.decimals import without_idle_zeros
from scheduler.book.faults import quoted
from scheduler.book.number_hints import number_hint
from scheduler.book.parse import Refused, lost_date_hint
from scheduler.book.raw import one_kind_of_break
from scheduler.book.schema import CellRule, CellType

FROM_1904 = 1462
"""Days between the first days of the two calendars a workbook may count by."""

ESCAPED = re.compile(r"_x(00[01][0-9A-Fa-f]|005[Ff]|FFF[EFef])_")
LIKE_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
QUOTED_IN_FORMAT = re.compile(r'"[^"]*"|\\.')

KINDS = {
    CellType.WHOLE: "a whole number",
    CellType.NUMBER: "a number",
    CellType.DATE: "a date",
    CellType.YESNO: "yes or no",
    CellType.CHOICE: "a word",
    CellType.LIST: "words",
    CellType.WEEKDAYS: "days of the week",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCell:
    """A cell as a workbook holds it.

    Attributes:
        row, column: counted from 1.
        value: text, number, truth, date or time.
        is_error: whether it shows an error such as ``#REF!``.
        form: its number format.
    """

    row: int
    column: int
    value: object
    is_error: bool
    form: str


def cell_text(cell: SheetCell, rule: CellRule | None, *, from_1904: bool = False) -> str:
    """Return the text of a cell: ``24.0`` is ``24``, a date ``2026-03-02``, truth in a yes-no cell ``yes``.

    Args:
        cell: what stands there.
        rule: what should; None for headings and columns that are not known.
        from_1904: whether the workbook counts its days from 1904.

    Raises:
        Refused: an error value, a time, a date where none belongs, or a number shown in percent.
    """
    value = cell.value
    if value is None:
        return ""
    if cell.is_error:
        raise Refused(f"the error {value}", f"{_wanted(rule)}; the formula behind it fails", "error-value")
    if isinstance(value, str):
        return _plain_text(value)
    if isinstance(value, bool):
        yes, no = ("yes", "no") if rule and rule.type is CellType.YESNO else ("TRUE", "FALSE")
        return yes if value else no
    if isinstance(value, (date, time, timedelta)):
        return _moment_text(value, rule)
    if isinstance(value, (int, float)):
        return _shown_number(value, cell.form, rule, from_1904=from_1904)
    raise Refused(f"a cell of the kind {type(value).__name__}", _wanted(rule), "odd-cell")


def number_text(value: int | float) -> str:
    """Return a number in plain digits, to the 15 that a spreadsheet keeps: ``24``, ``0.3``."""
    if isinstance(value, int):
        return str(value)
    return without_idle_zeros(format(Decimal(f"{value:.15g}"), "f"))


def _plain_text(text: str) -> str:
    """Take off what a workbook writes for signs that XML has no room for; line breaks become one kind."""
    text = ESCAPED.sub(lambda match: match[0] if match[1] == "0000" else chr(int(match[1], 16)), text)
    return one_kind_of_break(text)


def escaped(text: str) -> str:
    """Return text as :func:`cell_text` takes it back: signs that XML has no room for are spelt out."""
    text = LIKE_ESCAPED.sub("_x005F_", text)
    return re.sub("[\x01-\x08\x0b-\x1f\ufffe\uffff]", lambda match: f"_x{ord(match[0]):04X}_", text)


def _moment_text(value: date | time | timedelta, rule: CellRule | None) -> str:
    if isinstance(value, (time, timedelta)):
        clock = _clock(value)
        expected = number_hint(clock, _wanted(rule), rule) if rule and rule.unit == "hours" else _wanted(rule)
        raise Refused(f"the time {clock}", expected, "time-value")
    shown = value.isoformat(sep=" ", timespec="minutes") if isinstance(value, datetime) else value.isoformat()
    day = value.date().isoformat() if isinstance(value, datetime) else shown
    has_time = isinstance(value, datetime) and value.time() != time()
    if rule is not None and rule.type is not CellType.DATE:
        found = f"the date {shown if has_time else day}"
        raise Refused(found, f"{_wanted(rule)}: give the cell another format and type it again", "date-value")
    if has_time:
        raise Refused(f"a date with a time of day, {shown}", f"the date alone: {day}", "date-value")
    return day


def _clock(value: time | timedelta) -> str:
    if isinstance(value, time):
        return value.strftime("%H:%M")
    minutes = round(value.total_seconds() / 60)
    return f"{minutes // 60}:{minutes % 60:02}"


def _shown_number(value: int | float, form: str, rule: CellRule | None, *, from_1904: bool) -> str:
    text = number_text(value)
    if "%" in QUOTED_IN_FORMAT.sub("", form):
        shown = number_text(float(Decimal(f"{value:.15g}") * 100))
        found = f"{shown} %, for the cell is shown in percent and holds {text}"
        in_percent = rule is not None and rule.unit == "percent"
        expected = (
            f"{shown} in a cell with number format" if in_percent else f"{_wanted(rule)}, not in percent"
        )
        raise Refused(found, expected, "percent-format")
    if from_1904 and rule is not None and rule.type is CellType.DATE and text.isdigit():
        hint = lost_date_hint(int(text) + FROM_1904)
        if hint is not None:
            raise Refused(quoted(text), hint, "bad-date")
    return text


def _wanted(rule: CellRule | None) -> str:
    if rule is None:
        return "text"
    kind = KINDS.get(rule.type, "text")
    return f"{kind}, such as {rule.example}" if rule.example else kind
