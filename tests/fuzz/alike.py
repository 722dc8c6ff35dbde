"""What must not matter to a book: its form, the order of its rows and columns, its units, and the year.

Each function takes the tables of a sound book and returns other tables that mean the same. Dates are moved
by 364 days, which keeps the days of the week; ``of_no_season`` leaves out what goes by the month, for a day
earlier in the season is another day to that.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

from fuzz.base_books import Grid, Tables

from scheduler.book.book import read_book
from scheduler.book.schema import CellType, Column, load_schema
from scheduler.book.words import LETTERS, MONTHS, WEEKDAYS
from scheduler.farm.build import build_farm
from scheduler.farm.dates import dated, full_day, short_day, span, weekday_name
from scheduler.farm.farm import Farm

YEAR = 364
EXACT = {"length": (("ft", "m"), Fraction("0.3048")), "mass": (("lb", "kg"), Fraction("0.45359237"))}
"""Unit of a column -> the two units of a book, and how many of the second one of the first is."""

ORDERED = ("settings", "outlets", "coolers", "recipes", "growing")
"""Tables whose order says something: steps, the first that suits, the head of a recipe, the rank in a row."""

BY_SEASON = ("pace", "chores", "light", "sunshine", "temperatures")
"""Tables that go by the month or by rules of repetition."""


def farm_of(folder: Path, files: Mapping[str, bytes]) -> Farm:
    """Return the farm of a book's files, written into a new folder."""
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return build_farm(read_book(folder / "book.xlsx" if "book.xlsx" in files else folder))


def _copied(tables: Tables) -> Tables:
    return {table: [list(row) for row in grid] for table, grid in tables.items()}


def _columns(table: str, grid: Grid) -> dict[int, Column]:
    """Return the columns of a table that the schema knows, by their number."""
    known = {column.name: column for column in load_schema().tables[table].columns}
    return {at: known[name] for at, name in enumerate(grid[0]) if name in known}


def shuffled(tables: Tables, draw: Random) -> Tables:
    """Return the tables with their columns, and their rows where the order says nothing, in another order."""
    made = _copied(tables)
    for table, grid in made.items():
        width = len(grid[0])
        columns = draw.sample(range(width), width)
        rows = grid[1:]
        if table not in ORDERED:
            draw.shuffle(rows)
        made[table] = [[row[at] if at < len(row) else "" for at in columns] for row in (grid[0], *rows)]
    return made


def in_units(tables: Tables, *, first: bool) -> Tables:
    """Return the tables with every length and mass in the first units of ``EXACT``, or in the second.

    The figures of the tables are taken for figures in the first.
    """
    made = _copied(tables)
    for table, grid in made.items():
        for row in grid[1:]:
            for at, column in _columns(table, grid).items():
                unit = column.unit
                if unit == "yield":  # of a crop that is counted in pieces it is no mass
                    unit = "mass" if table == "crops" and "pieces" not in row else ""
                if unit in EXACT and at < len(row) and row[at] and not first:
                    row[at] = f"{float(Fraction(row[at]) * EXACT[unit][1]):.12f}".rstrip("0").rstrip(".")
    for setting, (names, _) in zip(("length_unit", "mass_unit"), EXACT.values(), strict=True):
        settings = made["settings"]
        settings[1:] = [row for row in settings[1:] if row[0] != setting]
        settings.append([setting, names[0 if first else 1]])
    return made


def unit_blind(farm: Farm) -> Farm:
    """Return a farm without its units and the text of the grower's own figures, which stands as written."""
    crops = {name: replace(crop, own_figures=()) for name, crop in farm.crops.items()}
    return replace(farm, crops=crops, length_unit="m", mass_unit="kg")


def order_blind(value: Any) -> Any:
    """Return a farm, or what it holds, as plain lists; what may stand in the order of the book is sorted."""
    if is_dataclass(value) and not isinstance(value, type):
        return [type(value).__name__, *(order_blind(getattr(value, field.name)) for field in fields(value))]
    if isinstance(value, Mapping):
        return sorted(([key, order_blind(each)] for key, each in value.items()), key=repr)
    if isinstance(value, (set, frozenset)):
        return sorted(value, key=repr)
    if isinstance(value, (tuple, list)):
        made = [order_blind(each) for each in value]
        return sorted(made, key=repr) if any(map(is_dataclass, value)) or _is_named(value) else made
    return value


def _is_named(value: Sequence[Any]) -> bool:
    """Say whether some things are names, or pairs that begin with one."""
    firsts = [each[0] if isinstance(each, tuple) and each else each for each in value]
    return bool(firsts) and all(isinstance(each, str) for each in firsts)


SHORT = tuple(name[:LETTERS] for name in MONTHS)
MONTH = f"({'|'.join(SHORT)})"
DAYS_OF_WEEK = f"({'|'.join(name[:LETTERS] for name in WEEKDAYS)})"
WORDS = re.compile(
    rf"{DAYS_OF_WEEK} (\d\d?) {MONTH}(?: (\d{{4}}))?"
    rf"|(?:(\d\d?)(?: {MONTH})?(?: (\d{{4}}))? to )?(\d\d?) {MONTH} (\d{{4}})"
)
"""A date in words with its day of the week, and maybe a year; or one without, and maybe a span up to it."""


def _words_a_year_on(found: re.Match[str]) -> str:
    """Return a date or span in words 364 days later; without a year it is the one of its day of the week."""
    name, day, month, year, opens, first_month, first_year, closes, last_month, last_year = found.groups()
    later = timedelta(days=YEAR)
    if name:
        years = [int(year)] if year else range(2025, 2031)
        dates = [date(each, SHORT.index(month) + 1, int(day)) for each in years]
        (moved, *_) = [each + later for each in dates if weekday_name(each) == name]
        return full_day(moved) if year else short_day(moved)
    last = date(int(last_year), SHORT.index(last_month) + 1, int(closes))
    if not opens:
        return dated(last + later)
    first = date(int(first_year or last_year), SHORT.index(first_month or last_month) + 1, int(opens))
    return span(first + later, last + later)


def a_year_on(text: str) -> str:
    """Return a text with its dates 364 days later, also those in codes of lots and names of units."""

    def iso(found: re.Match[str]) -> str:
        return (date.fromisoformat(found.group()) + timedelta(days=YEAR)).isoformat()

    def short(found: re.Match[str]) -> str:
        day = date(2000 + int(found[1]), int(found[2]), int(found[3])) + timedelta(days=YEAR)
        return f"{day:%y%m%d}"

    text = WORDS.sub(_words_a_year_on, re.sub(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", iso, text))
    return re.sub(r"(?<![0-9])(2[0-9])([01][0-9])([0-3][0-9])(?![0-9])", short, text)


def of_no_season(tables: Tables) -> Tables:
    """Return the tables without those that go by the month."""
    return {table: grid for table, grid in _copied(tables).items() if table not in BY_SEASON}


def all_a_year_on(tables: Tables) -> Tables:
    """Return the tables with every date 364 days later."""
    made = _copied(tables)
    for table, grid in made.items():
        columns = _columns(table, grid)
        for row in grid[1:]:
            for at, text in enumerate(row):
                dated = at in columns and columns[at].type is CellType.DATE
                if text and (dated or (row[0] == "first_day" and at == 1)):
                    row[at] = a_year_on(text)
    return made
