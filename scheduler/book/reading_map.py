"""How the columns of an instrument's export are read: mapped once, in the table ``reading_columns``."""

import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row

TIMES = ("moment", "date", "clock")
UNITS = {
    "water": ("C", "F"),
    "air": ("C", "F"),
    "conductivity": ("uS/cm", "mS/cm"),
    "oxygen": ("mg/L",),
    "pH": (),
}
"""What is measured -> its units; pH has none."""

DIRECTIVES = {
    "YYYY": "%Y",
    "YY": "%y",
    "MMM": "%b",
    "MM": "%m",
    "DD": "%d",
    "hh": "%H",
    "mm": "%M",
    "ss": "%S",
}
"""Letters of a form of dates and hours -> what Python calls them; AM stands for AM or PM."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One column of values: its heading, what it measures, in which unit and place."""

    heading: str
    measures: str
    unit: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingMap:
    """How an export is read.

    Attributes:
        moments: heading -> form of what stands there, as ``strptime`` takes it; empty for ISO 8601.
        zone: zone of the times in the file; None for the farm's own.
        farm_zone: zone the farm goes by; None where times are taken as written.
        columns: the columns of values.
    """

    moments: dict[str, str]
    zone: ZoneInfo | None
    farm_zone: ZoneInfo | None
    columns: tuple[Measured, ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """Every heading that is read."""
        return (*self.moments, *(column.heading for column in self.columns))


def reading_map(book: Book) -> ReadingMap:
    """Return the map of a book.

    Raises:
        BookFaults: the table is missing, or says things that do not go together; each with its cell.
    """
    log, rows = FaultLog(), book.rows("reading_columns")
    if not rows:
        expected = "a row for each column of the export, such as Time, moment"
        log.add(Cell("reading_columns"), "no rows", expected, "empty-table")
    moments: dict[str, str] = {}
    kinds: dict[str, int] = {}
    zones: dict[str, Cell] = {}
    columns = []
    for row in rows:
        heading, measures = row.text("column"), row.text("measures")
        _check_row(row, log)
        if measures in TIMES:
            moments[heading] = _directives(row.text("form"), measures)
            kinds[heading] = TIMES.index(measures)
            if row.is_given("zone"):
                zones[row.text("zone")] = row.cell("zone")
        else:
            columns.append(
                Measured(heading=heading, measures=measures, unit=row.text("unit"), place=row.text("place"))
            )
    if rows:
        _check_times(rows, log)
    if len(zones) > 1:
        cell = list(zones.values())[1]
        log.add(cell, "a second zone", f"one for all times ({next(iter(zones.values()))} has it)", "two-ways")
    made = [_zone(name, cell, log) for name, cell in zones.items()]
    own = book.settings.text("time_zone")
    farm_zone = _zone(own, book.settings.cell("time_zone"), log) if own else None
    log.raise_if_any()
    ordered = sorted(moments.items(), key=lambda each: kinds[each[0]])
    zone = made[0] if made else None
    return ReadingMap(moments=dict(ordered), zone=zone, farm_zone=farm_zone, columns=tuple(columns))


def _check_row(row: Row, log: FaultLog) -> None:
    measures, unit = row.text("measures"), row.text("unit")
    if measures in TIMES:
        if unit:
            log.add(row.cell("unit"), f"'{unit}' for a {measures}", "a blank cell", "not-for-kind")
        if row.is_given("form") and not _is_form(row.text("form")):
            expected = f"a form made of {', '.join(DIRECTIVES)} and AM, such as DD.MM.YYYY hh:mm"
            log.add(row.cell("form"), f"'{row.text('form')}'", expected, "bad-form")
        return
    for column in ("form", "zone"):
        if row.is_given(column):
            log.add(row.cell(column), f"a {column} for {measures}", "a blank cell", "not-for-kind")
    units = UNITS[measures]
    if unit not in (units or ("",)):
        found = f"'{unit}' for {measures}" if unit else "a blank cell"
        expected = " or ".join(units) if units else "a blank cell: pH has no unit"
        log.add(row.cell("unit"), found, expected, "bad-unit")


def _check_times(rows: tuple[Row, ...], log: FaultLog) -> None:
    """One moment, or a date with or without a clock beside it; and each column once."""
    kinds = [row.text("measures") for row in rows if row.text("measures") in TIMES]
    if sorted(kinds) not in (["moment"], ["date"], ["clock", "date"]):
        found = " and ".join(sorted(kinds)) or "no time"
        expected = "one column with the moment, or one with the date and perhaps one with the clock"
        log.add(rows[0].cell("measures"), found, expected, "bad-times")
    first: dict[str, Cell] = {}
    for row in rows:
        name = row.text("column").casefold()
        if name in first:
            found = f"'{row.text('column')}' again"
            log.add(row.cell("column"), found, f"each column once ({first[name]} has it)", "double-name")
        first.setdefault(name, row.cell("column"))


def _is_form(form: str) -> bool:
    """Say whether a form has no letters beside those that stand for something."""
    return not re.search(r"[A-Za-z%]", re.sub("|".join([*DIRECTIVES, "AM", "T"]), "", form))


def _directives(form: str, measures: str) -> str:
    if not form:
        return "%H:%M" if measures == "clock" else ""
    found = re.sub("|".join(DIRECTIVES), lambda match: DIRECTIVES[match.group()], form)
    return found.replace("%H", "%I").replace("AM", "%p") if "AM" in found else found


def _zone(name: str, cell: Cell, log: FaultLog) -> ZoneInfo | None:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        log.add(cell, f"'{name}'", "a zone of the tz database, such as Europe/Berlin or UTC", "bad-zone")
        return None
