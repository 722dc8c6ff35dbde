"""What must not matter to a plan: the form of the book, the order of its rows, its units, and the year."""

import os
import tempfile
from dataclasses import astuple
from pathlib import Path
from random import Random

import pytest
from fuzz.alike import (
    a_year_on,
    all_a_year_on,
    farm_of,
    in_units,
    of_no_season,
    order_blind,
    shuffled,
    unit_blind,
)
from fuzz.base_books import EXAMPLES, NAMES, base_book
from fuzz.forms import plain_folder, plain_workbook
from fuzz.mutated import mutated
from fuzz.results import note
from seeds import sample

from scheduler.book.faults import BookFaults
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.rows import TABLES

BOOKS = int(os.environ.get("RAFTWAY_BOOKS", "10000"))
PLANNED = 20
"""Of so many random books one is planned."""

PRICED_BY_MASS = "osier-ford"
"""The price of its weighed seed is one for a unit of mass, and would have to be rounded to the cent."""


def planned(farm):
    plan = plan_farm(farm, SolveSettings(seconds=0.4, deterministic=True)).plan
    assert plan is not None
    return plan


def is_one_farm_in_both_forms(folder, tables):
    farm = farm_of(folder / "csv", plain_folder(tables))
    assert farm == farm_of(folder / "typed", plain_workbook(tables, typed=True))
    assert farm == farm_of(folder / "text", plain_workbook(tables, typed=False))


def is_the_same_in_any_order(folder, tables, draw):
    first = farm_of(folder / "first", plain_folder(tables))
    second = farm_of(folder / "second", plain_folder(shuffled(tables, draw)))
    assert order_blind(first) == order_blind(second)
    return first, second


def is_planned_the_same(first, second):
    one, other = planned(first), planned(second)
    assert {row.demand: row.amount for row in one.demands} == {
        row.demand: row.amount for row in other.demands
    }
    goals = [
        (a.value, b.value)
        for a, b in zip(one.goals, other.goals, strict=True)
        if a.status == b.status == "proven"
    ]
    assert [a for a, _ in goals] == [b for _, b in goals]
    return goals


def is_the_same_in_any_units(folder, tables):
    feet = farm_of(folder / "feet", plain_folder(in_units(tables, first=True)))
    metres = farm_of(folder / "metres", plain_folder(in_units(tables, first=False)))
    assert unit_blind(metres) == unit_blind(feet)


def is_planned_the_same_a_year_on(folder, tables):
    tables = of_no_season(tables)
    first = planned(farm_of(folder / "now", plain_folder(tables)))
    second = planned(farm_of(folder / "later", plain_folder(all_a_year_on(tables))))
    for table in TABLES:
        moved = [
            tuple(a_year_on(value) if isinstance(value, str) else value for value in astuple(row))
            for row in getattr(first, table)
        ]
        rows = [astuple(row) for row in getattr(second, table)]
        assert [pair for pair in zip(moved, rows, strict=True) if pair[0] != pair[1]] == [], table


@pytest.mark.parametrize("name", NAMES)
def test_a_folder_and_a_workbook_are_one_farm(tmp_path, name):
    is_one_farm_in_both_forms(tmp_path, base_book(name))


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_rows_and_columns_changes_nothing_of_a_farm(tmp_path, name):
    is_the_same_in_any_order(tmp_path, base_book(name), Random(name))


@pytest.mark.parametrize("name", sample(["rafts"], ["hot"]))
def test_the_order_of_rows_and_columns_changes_no_goal_that_is_proven(tmp_path, name):
    assert is_planned_the_same(*is_the_same_in_any_order(tmp_path, base_book(name), Random(name)))


@pytest.mark.parametrize("name", [name for name in NAMES if name != PRICED_BY_MASS])
def test_feet_and_pounds_are_the_same_farm_as_metres_and_kilograms(tmp_path, name):
    is_the_same_in_any_units(tmp_path, base_book(name))


@pytest.mark.parametrize("name", sample(["beds"], ["rafts"]))
def test_all_dates_364_days_later_give_the_same_plan_364_days_later(tmp_path, name):
    is_planned_the_same_a_year_on(tmp_path, base_book(name))


def farm_or_none(folder, tables):
    """Return the farm of some tables, None where the book has a fault."""
    try:
        return farm_of(folder, plain_folder(tables))
    except BookFaults:
        return None


def random_book(folder, number):
    """Return the tables of a random sound book: other sizes, dates and names; None where it is not sound."""
    book = mutated(number)
    if book.base in EXAMPLES or not set(book.kinds) <= {"sizes", "dates", "names"}:
        return None
    return None if farm_or_none(folder, book.tables) is None else book.tables


@pytest.mark.soak
def test_random_books_are_the_same_in_any_form_order_units_and_year_long():
    made = planned_too = 0
    for number in range(BOOKS):
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            tables = random_book(folder / "book", number)
            if tables is None:
                continue
            made += 1
            is_one_farm_in_both_forms(folder, tables)
            pair = is_the_same_in_any_order(folder, tables, Random(number))
            in_feet, in_metres = (
                farm_or_none(folder / unit, in_units(tables, first=unit == "ft")) for unit in ("ft", "m")
            )
            if in_feet and in_metres:  # a length may be too small or too large in one of them
                assert unit_blind(in_metres) == unit_blind(in_feet), number
            if number % PLANNED == 0:
                planned_too += 1
                is_planned_the_same(*pair)
                is_planned_the_same_a_year_on(folder, tables)
    note("random books in another form, order and units, of which so many planned again", made, planned_too)
