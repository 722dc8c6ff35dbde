"""A book goes from one form to the other and back without loss, whatever stands in its cells."""

import csv
import io
from fractions import Fraction
from pathlib import Path

import pytest
from any_books import SCHEMA, any_raw_book, any_valid_book, there_and_back, values
from hypothesis import given, settings
from workbooks import texts

from scheduler.book.book import read_raw, typed_book
from scheduler.book.grids import Grid, grids_of
from scheduler.book.parse import NUMBER
from scheduler.book.plain_copy import book_copy
from scheduler.book.raw import RawBook, raw_table
from scheduler.book.schema import CellRule, CellType
from scheduler.book.to_csv import csv_files


def normal(rule: CellRule | None, text: str) -> str:
    """Return a text as both forms must agree on it: line breaks of one kind, numbers in plain digits."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if rule and rule.type in (CellType.WHOLE, CellType.NUMBER) and NUMBER.fullmatch(text):
        return str(Fraction(text))
    return text


def content(raw: RawBook) -> dict[str, list[dict[str, str]]]:
    found = {}
    for name, grid in grids_of(raw).items():
        rules = {column.name: column for column in SCHEMA.tables[name].columns}
        rows = []
        for row in grid.rows:
            cells = dict(zip(grid.columns, row, strict=True))
            setting = SCHEMA.settings.get(cells.get("setting", ""))
            rows.append(
                {
                    column: normal(setting if column == "value" else rules.get(column), text)
                    for column, text in cells.items()
                    if text
                }
            )
        if name == "settings":  # a workbook lists those left blank too, all in one order
            rows = [row for row in rows if row.get("setting") not in SCHEMA.settings or len(row) > 1]
            rows.sort(key=lambda row: row.get("setting", ""))
        found[name] = rows
    return {name: rows for name, rows in found.items() if rows}


def comes_through(raw: RawBook) -> None:
    """A book says the same in every form, and has the same copy."""
    first, second, third = there_and_back(raw)
    assert content(second) == content(first)
    assert content(third) == content(first)
    assert book_copy(first) == book_copy(second) == book_copy(third)


@settings(max_examples=6, deadline=None)
@given(any_raw_book())
def test_any_text_in_any_cell_comes_through_both_forms_and_into_one_copy(raw: RawBook) -> None:
    comes_through(raw)


@pytest.mark.soak
@settings(max_examples=600, deadline=None)
@given(any_raw_book())
def test_any_text_in_any_cell_comes_through_both_forms_and_into_one_copy_long(raw: RawBook) -> None:
    comes_through(raw)


def means_the_same(raw: RawBook) -> None:
    """A book without a fault says the same in every form, and means it."""
    first, second, third = there_and_back(raw)
    assert content(second) == content(first) == content(third)
    assert values(typed_book(second)) == values(typed_book(raw))


@settings(max_examples=4, deadline=None)
@given(any_valid_book())
def test_a_valid_book_means_the_same_in_both_forms(raw: RawBook) -> None:
    means_the_same(raw)


@pytest.mark.soak
@settings(max_examples=300, deadline=None)
@given(any_valid_book())
def test_a_valid_book_means_the_same_in_both_forms_long(raw: RawBook) -> None:
    means_the_same(raw)


def test_a_table_as_csv_is_what_any_csv_reader_reads() -> None:
    grid = Grid(name="crew", columns=("weekdays", "hours"), rows=(("Mon", "-5"), ('=a "b"\nc', "+x")))
    data = csv_files({"crew": grid})["crew.csv"]
    assert data == b'weekdays,hours\nMon,-5\n"\'=a ""b""\nc",\'+x\n'
    assert list(csv.reader(io.StringIO(data.decode())))[2] == ['\'=a "b"\nc', "'+x"]


def test_tables_without_rows_are_written_only_if_they_must_be_there() -> None:
    tables = {
        name: raw_table(name, [(1, [c.name for c in table.columns])]) for name, table in SCHEMA.tables.items()
    }
    grids = grids_of(RawBook(source="", tables=tables, unread=frozenset(), faults=()))
    assert list(grids) == [name for name, table in SCHEMA.tables.items() if table.required]


def test_the_example_is_the_same_book_in_both_forms() -> None:
    folder = Path(__file__).resolve().parents[2] / "examples" / "alder-quay" / "book"
    first, second, third = there_and_back(read_raw(folder))
    assert content(second) == content(first) == content(third)
    assert texts(read_raw(folder))["orders"][0][0] == "order"
