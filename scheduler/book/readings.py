"""Readings of an instrument from its CSV export: moments and values, and doubtful rows one by one."""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from scheduler.book.faults import BookFaults, Fault, quoted
from scheduler.book.names import meant, plain
from scheduler.book.place import Cell
from scheduler.book.raw import UTF16_MARKS
from scheduler.book.reading_map import Measured, ReadingMap

DELIMITERS = (",", ";", "\t", "|")
LARGEST = 100_000_000
NOTHING = ("", "-", "--", "---", "na", "n/a", "nan", "null", "none")
"""What stands where an instrument has no value."""

MILLI = 1000
LINES_BEFORE = 100
"""Most lines of an instrument's own before the headings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value: thousandths of C, mS/cm, mg/L or pH, at a moment of the farm's own clock."""

    row: int
    when: datetime
    place: str
    measures: str
    value: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A row that is not taken, or not wholly, and why; ``source`` is the file."""

    source: str
    row: int
    said: str
    code: str

    def __str__(self) -> str:
        return f"{self.source}, row {self.row}: {self.said}"


def parse_readings(data: bytes, source: str, mapped: ReadingMap) -> tuple[list[Reading], list[Doubt]]:
    """Read an export.

    Args:
        data: the file.
        source: its name, for messages.
        mapped: which columns are read, and how.

    Raises:
        BookFaults: the file is no text, or lacks a column of the map.
    """
    text = _text(data, source)
    delimiter, heading, lines = _table(text, source, mapped)
    columns = {plain(name): number for number, name in enumerate(heading)}
    readings: list[Reading] = []
    doubts: list[Doubt] = []
    for row, cells in lines:
        if not any(cell.strip() for cell in cells):
            continue
        padded = [*cells, *[""] * (len(heading) - len(cells))]
        when = _moment([padded[columns[plain(name)]] for name in mapped.moments], mapped)
        if when is None:
            told = " ".join(padded[columns[plain(name)]] for name in mapped.moments)
            doubts.append(
                Doubt(source=source, row=row, said=f"no moment in {quoted(told)}", code="no-moment")
            )
            continue
        for column in mapped.columns:
            cell = padded[columns[plain(column.heading)]].strip()
            value = _value(cell, column, delimiter)
            if isinstance(value, str):
                said = f"{column.heading}: {value}"
                doubts.append(Doubt(source=source, row=row, said=said, code="no-number"))
            elif value is not None:
                readings.append(
                    Reading(row=row, when=when, place=column.place, measures=column.measures, value=value)
                )
    return readings, doubts


def _refused(source: str, found: str, expected: str, code: str) -> BookFaults:
    return BookFaults([Fault(place=Cell(source), found=found, expected=expected, code=code)])


def _text(data: bytes, source: str) -> str:
    if len(data) > LARGEST:
        raise _refused(source, f"more than {LARGEST} bytes", f"at most {LARGEST}", "too-large")
    encoding = "utf-16" if data.startswith(UTF16_MARKS) else "utf-8-sig"
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:
        if b"\0" in data:
            raise _refused(source, "no text", "a CSV file", "bad-encoding") from None
        return data.decode("cp1252", errors="replace")


Lines = Iterator[tuple[int, list[str]]]


def _table(text: str, source: str, mapped: ReadingMap) -> tuple[str, list[str], Lines]:
    """Find the line of headings and what parts its cells; lines before it are the instrument's own."""
    wanted = {plain(name) for name in mapped.headings}
    best: tuple[int, int, str, list[str]] = (0, 0, ",", [])
    for delimiter in DELIMITERS:
        for number, cells in _split(text, delimiter, source):
            hits = len(wanted & {plain(cell) for cell in cells})
            if hits > best[0]:
                best = (hits, number, delimiter, cells)
            if number > LINES_BEFORE:
                break
    hits, number, delimiter, heading = best
    missing = [name for name in mapped.headings if plain(name) not in {plain(cell) for cell in heading}]
    if missing:
        faults = [
            Fault(
                place=Cell(source),
                found=f"no column {quoted(name)}",
                expected=meant(name, heading) if heading else "the headings of reading_columns",
                code="missing-column",
            )
            for name in missing
        ]
        raise BookFaults(faults)
    rows = _split(text, delimiter, source)
    return delimiter, heading, ((at, cells) for at, cells in rows if at > number)


def _split(text: str, delimiter: str, source: str) -> Lines:
    """Yield the lines of a table with their numbers; a cell as long as a book is no reading."""
    try:
        yield from enumerate(csv.reader(io.StringIO(text, newline=None), delimiter=delimiter), start=1)
    except csv.Error as error:
        found = f"a line that cannot be split into cells ({error})"
        raise _refused(source, found, "quotation marks in pairs, and short cells", "bad-quotes") from None


def _moment(texts: Sequence[str], mapped: ReadingMap) -> datetime | None:
    told = [" ".join(text.split()) for text in texts]
    forms = list(mapped.moments.values())
    try:
        if len(told) == 1:
            when = _parsed(told[0], forms[0])
        else:
            clock = _parsed(told[1], forms[1])
            when = datetime.combine(_parsed(told[0], forms[0]).date(), clock.time())
    except ValueError:
        return None
    if when.tzinfo is None and mapped.zone is not None and mapped.farm_zone is not None:
        when = when.replace(tzinfo=mapped.zone)
    if when.tzinfo is not None and mapped.farm_zone is not None:
        when = when.astimezone(mapped.farm_zone)
    return when.replace(tzinfo=None)


def _parsed(text: str, form: str) -> datetime:
    """Read a moment, date or clock.

    Raises:
        ValueError: it is not written that way.
    """
    return datetime.strptime(text, form) if form else datetime.fromisoformat(text)  # noqa: DTZ007


def _value(text: str, column: Measured, delimiter: str) -> int | str | None:
    """Return thousandths in the base unit, None for no value, or what is wrong."""
    if text.casefold() in NOTHING:
        return None
    number = _number(text, delimiter)
    if number is None:
        return f"{quoted(text)} is no number"
    if column.unit == "F":
        number = (number - 32) * 5 / 9
    elif column.unit == "uS/cm":
        number /= 1000
    return int(number * MILLI // 1)


def _number(text: str, delimiter: str) -> Fraction | None:
    """Read a number with a decimal point or comma.

    In a file with commas between its cells, a comma with three digits behind it could be either: no number.
    """
    text = text.replace("\u00a0", "").replace(" ", "").replace("\u2212", "-")
    if "," in text and "." in text:
        comma_last = text.rindex(",") > text.rindex(".")
        text = text.replace("." if comma_last else ",", "").replace(",", ".")
    elif "," in text:
        if delimiter == "," and re.fullmatch(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}", text):
            return None
        text = text.replace(",", ".")
    if not re.fullmatch(r"[+-]?([0-9]{1,12}\.?[0-9]{0,12}|\.[0-9]{1,12})", text):
        return None
    return Fraction(text)
