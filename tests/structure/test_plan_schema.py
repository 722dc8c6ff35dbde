"""Rows, schema and readers agree: every column of a plan and of a book is documented and used."""

import csv
import dataclasses
from pathlib import Path

import pytest
from samples import kinds_of

from scheduler.plan.columns import READERS, columns
from scheduler.plan.rows import TABLES, Plan
from scheduler.reference import shared_folder

ROOT = Path(__file__).resolve().parents[2]
KINDS = {
    "text": str,
    "whole": int,
    "number": float,
    "date": int,
    "money": int,
    "minutes": int,
    "area": int,
    "yesno": bool,
}
ROW_COLUMNS = [(table, field) for table, row in TABLES.items() for field in dataclasses.fields(row)]


def schema(name):
    with (shared_folder() / "schema" / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_plan_tables_are_documented_in_the_order_they_are_written():
    documented = schema("plan_tables.csv")
    assert [row["table"] for row in documented] == list(TABLES)
    assert [int(row["order"]) for row in documented] == list(range(1, len(TABLES) + 1))
    assert all(row["title"] and row["description"] for row in documented)
    assert [field.name for field in dataclasses.fields(Plan)] == [*TABLES, "made"]


def test_plan_columns_are_those_of_the_rows_in_the_same_order():
    assert set(columns()) == set(TABLES)
    for table, row in TABLES.items():
        documented = [column.column for column in columns()[table]]
        assert documented == [field.name for field in dataclasses.fields(row)], table


@pytest.mark.parametrize(("table", "field"), ROW_COLUMNS, ids=lambda each: getattr(each, "name", each))
def test_a_plan_column_is_of_the_type_of_its_field(table, field):
    (column,) = [each for each in columns()[table] if each.column == field.name]
    kinds, optional = kinds_of(field.type)
    assert kinds == {KINDS[column.type]}
    assert column.type == "text" or column.blank == optional
    assert column.description
    assert (column.type in {"money", "minutes"}) <= (column.unit != "")
    assert column.type == "text" or column.type in READERS


def sources(*patterns):
    return "\n".join(path.read_text() for pattern in patterns for path in (ROOT / "scheduler").glob(pattern))


FOR_THE_GROWER_ALONE = {("closures", "note")}


def test_every_column_and_setting_of_a_book_is_read():
    readers = sources("farm/build.py", "farm/from_book/*.py", "farm/advice/*.py", "book/*.py")
    settings = [("settings", row["setting"]) for row in schema("settings.csv")]
    asked = [(row["table"], row["column"]) for row in schema("columns.csv")] + settings
    assert [
        each for each in asked if f'"{each[1]}"' not in readers and each not in FOR_THE_GROWER_ALONE
    ] == []
