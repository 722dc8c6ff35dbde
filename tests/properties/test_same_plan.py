"""What must not matter to a plan: the form of the book, the order of its rows, its units, and the year.

Dates are moved by 364 days, which keeps the days of the week. Books whose pace, light or heat goes by the
month are left out there, for a day earlier in the season is another day to them.
"""

import re
from dataclasses import astuple, replace
from datetime import date, timedelta
from fractions import Fraction
from random import Random

import pytest
from fuzz.base_books import NAMES, base_book
from fuzz.forms import plain_folder, plain_workbook

from scheduler.book.book import read_book
from scheduler.book.schema import CellType, load_schema
from scheduler.farm.build import build_farm
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.rows import TABLES

YEAR = 364
EXACT = {"length": (("ft", "m"), Fraction("0.3048")), "mass": (("lb", "kg"), Fraction("0.45359237"))}
"""Unit of a column -> the two units of a book, and how many of the second one of the first is."""

ORDERED = ("settings", "outlets", "coolers", "recipes", "growing")
"""Tables whose order says something: steps, the first that suits, the head of a recipe, the rank in a row."""


def farm_of(folder, files):
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return build_farm(read_book(folder / "book.xlsx" if "book.xlsx" in files else folder))


def planned(farm):
    plan = plan_farm(farm, SolveSettings(seconds=1, deterministic=True)).plan
    assert plan is not None
    return plan


@pytest.mark.parametrize("name", NAMES)
def test_a_folder_and_a_workbook_are_one_farm(tmp_path, name):
    folder = farm_of(tmp_path / "folder", plain_folder(base_book(name)))
    assert folder == farm_of(tmp_path / "typed", plain_workbook(base_book(name), typed=True))
    assert folder == farm_of(tmp_path / "text", plain_workbook(base_book(name), typed=False))


@pytest.mark.parametrize("name", ["rafts", "hot"])
def test_the_order_of_rows_and_columns_changes_no_goal_that_is_proven(tmp_path, name):
    tables, draw = base_book(name), Random(name)
    for table, grid in tables.items():
        columns = draw.sample(range(len(grid[0])), len(grid[0]))
        rows = grid[1:]
        if table not in ORDERED:
            draw.shuffle(rows)
        tables[table] = [[row[at] for at in columns] for row in (grid[0], *rows)]
    first = planned(farm_of(tmp_path / "first", plain_folder(base_book(name))))
    second = planned(farm_of(tmp_path / "second", plain_folder(tables)))
    assert {row.demand: row.amount for row in first.demands} == {
        row.demand: row.amount for row in second.demands
    }
    goals = [
        (one.value, other.value)
        for one, other in zip(first.goals, second.goals, strict=True)
        if one.status == other.status == "proven"
    ]
    assert goals
    assert [one for one, _ in goals] == [other for _, other in goals]


def figures_aside(farm):
    """Return a farm without the text of the grower's own figures, which stands as it was written."""
    return replace(farm, crops={name: replace(crop, own_figures=()) for name, crop in farm.crops.items()})


def in_units(tables, first):
    """Return the tables with every length and mass in the first units of ``EXACT``, or in the second."""
    made = {table: [list(row) for row in grid] for table, grid in tables.items()}
    for table, grid in made.items():
        units = {column.name: column.unit for column in load_schema().tables[table].columns}
        for row in grid[1:]:
            for at, text in enumerate(row):
                unit = units.get(grid[0][at])
                if unit == "yield":  # of a crop that is counted in pieces it is no mass
                    unit = "mass" if table == "crops" and "pieces" not in row else ""
                if unit in EXACT and text and not first:
                    row[at] = f"{float(Fraction(text) * EXACT[unit][1]):.12f}".rstrip("0")
    for setting, (names, _) in zip(("length_unit", "mass_unit"), EXACT.values(), strict=True):
        row = next(row for row in made["settings"] if row[0] == setting)
        row[1] = names[0 if first else 1]
    return made


@pytest.mark.parametrize("name", ["rafts", "beds", "greens"])
def test_feet_and_pounds_are_the_same_farm_as_metres_and_kilograms(tmp_path, name):
    feet = farm_of(tmp_path / "feet", plain_folder(in_units(base_book(name), first=True)))
    metres = farm_of(tmp_path / "metres", plain_folder(in_units(base_book(name), first=False)))
    assert figures_aside(metres) == replace(figures_aside(feet), length_unit="m", mass_unit="kg")


def a_year_on(text):
    """Return a text with its dates 364 days later, also those in codes of lots and names of units."""

    def iso(found):
        return (date.fromisoformat(found.group()) + timedelta(days=YEAR)).isoformat()

    def short(found):
        day = date(2000 + int(found[1]), int(found[2]), int(found[3])) + timedelta(days=YEAR)
        return f"{day:%y%m%d}"

    text = re.sub(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", iso, text)
    return re.sub(r"(?<![0-9])(2[0-9])([01][0-9])([0-3][0-9])(?![0-9])", short, text)


@pytest.mark.parametrize("name", ["rafts", "beds"])
def test_all_dates_364_days_later_give_the_same_plan_364_days_later(tmp_path, name):
    tables = base_book(name)
    for by_season in ("pace", "chores"):
        tables.pop(by_season, None)
    later = {table: [list(row) for row in grid] for table, grid in tables.items()}
    for table, grid in later.items():
        kinds = {column.name: column.type for column in load_schema().tables[table].columns}
        for row in grid[1:]:
            for at, text in enumerate(row):
                if text and (kinds.get(grid[0][at]) is CellType.DATE or row[0] == "first_day" and at == 1):
                    row[at] = a_year_on(text)
    first = planned(farm_of(tmp_path / "first", plain_folder(tables)))
    second = planned(farm_of(tmp_path / "second", plain_folder(later)))
    for table in TABLES:
        moved = [
            tuple(a_year_on(value) if isinstance(value, str) else value for value in astuple(row))
            for row in getattr(first, table)
        ]
        rows = [astuple(row) for row in getattr(second, table)]
        assert [pair for pair in zip(moved, rows, strict=True) if pair[0] != pair[1]] == [], table
