"""The documented columns of a plan, and how one value is written as text and read again.

``shared/schema/plan_columns.csv`` gives each column a type:

- ``text``: as it is; ``whole``: a whole number; ``number``: the shortest decimals that give the same number
- ``date``: ISO date of a day number; ``yesno``: ``yes`` or ``no``
- ``money``, ``minutes`` and ``area``: whole hundredths, written with exactly two decimals
- nothing at all where the row holds None
"""

import csv
import dataclasses
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from scheduler.farm.calendar import Calendar
from scheduler.farm.units import CENT
from scheduler.plan.rows import TABLES
from scheduler.reference import shared_folder

Value = str | int | float | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One documented column; ``type`` says how it is written, ``blank`` whether a cell may be empty."""

    table: str
    column: str
    type: str
    unit: str
    blank: bool
    description: str


@cache
def columns() -> dict[str, tuple[Column, ...]]:
    """Return the documented columns of every plan table, in the order they are written."""
    found: dict[str, list[Column]] = {table: [] for table in TABLES}
    path = shared_folder() / "schema" / "plan_columns.csv"
    with path.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            found.setdefault(row["table"], []).append(
                Column(
                    table=row["table"],
                    column=row["column"],
                    type=row["type"],
                    unit=row["unit"],
                    blank=row["blank"] == "yes",
                    description=row["description"],
                )
            )
    return {table: tuple(each) for table, each in found.items()}


@cache
def defaults(table: str) -> dict[str, Value]:
    """Return the columns of a table that may be left out, with what every row then holds."""
    fields = dataclasses.fields(TABLES[table])
    return {field.name: field.default for field in fields if field.default is not dataclasses.MISSING}


def write_text(calendar: Calendar, kind: str, value: Any) -> str:
    """Return a row's value as the text of a column of type ``kind``."""
    if value is None:
        return ""
    match kind:
        case "date":
            return calendar.date_of(value).isoformat()
        case "money" | "minutes" | "area":
            sign = "-" if value < 0 else ""
            return f"{sign}{abs(value) // CENT}.{abs(value) % CENT:02d}"
        case "yesno":
            return "yes" if value else "no"
        case "number":
            return repr(float(value))
        case _:
            return str(value)


def read_value(calendar: Calendar, column: Column, text: str) -> Value:
    """Read one cell.

    Raises:
        ValueError: the text is not what the column holds; the message says what is expected.
    """
    if column.type == "text":
        if not column.blank and not text.strip():
            raise ValueError("a value")
        return text
    if not text.strip():
        if column.blank:
            return None
        raise ValueError(EXPECTED[column.type])
    try:
        return READERS[column.type](calendar, text.strip())
    except (ValueError, OverflowError):
        raise ValueError(EXPECTED[column.type]) from None


def _whole(calendar: Calendar, text: str) -> int:
    return int(_matching(r"-?[0-9]{1,18}", text))


def _hundredths(calendar: Calendar, text: str) -> int:
    _matching(r"-?[0-9]{1,16}(\.[0-9]{1,2})?", text)
    whole, _, part = text.lstrip("-").partition(".")
    number = int(whole) * CENT + int(part.ljust(2, "0"))
    return -number if text.startswith("-") else number


def _number(calendar: Calendar, text: str) -> float:
    return float(_matching(r"-?([0-9]+(\.[0-9]+)?(e[-+]?[0-9]{1,3})?|inf)", text))


def _date(calendar: Calendar, text: str) -> int:
    return calendar.day_of(date.fromisoformat(_matching(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text)))


def _yesno(calendar: Calendar, text: str) -> bool:
    return _matching("yes|no", text.lower()) == "yes"


def _matching(pattern: str, text: str) -> str:
    if not re.fullmatch(pattern, text):
        raise ValueError(text)
    return text


READERS: dict[str, Callable[[Calendar, str], Value]] = {
    "whole": _whole,
    "number": _number,
    "date": _date,
    "money": _hundredths,
    "minutes": _hundredths,
    "area": _hundredths,
    "yesno": _yesno,
}

EXPECTED = {
    "whole": "a whole number, such as 12",
    "number": "a number, such as 12.5",
    "date": "a date, such as 2026-03-02",
    "money": "an amount of money, such as 2.40",
    "minutes": "minutes, such as 12.50",
    "area": "square metres, such as 12.50",
    "yesno": "yes or no",
}
