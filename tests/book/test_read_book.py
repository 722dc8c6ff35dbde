"""Books without a fault: what is forgiven, and that every value keeps its cell."""

import tempfile
from fractions import Fraction
from pathlib import Path

import pytest
from helpers import TABLES, settings_csv, write_book
from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.book import read_book, typed_book
from scheduler.book.faults import BookFaults, Fault
from scheduler.book.from_csv import read_folder
from scheduler.book.place import Cell, column_letters
from scheduler.book.raw import MOST_BYTES, MOST_ROWS, RawBook, raw_table
from scheduler.book.schema import load_schema


def told(path: Path) -> tuple[Fault, ...]:
    try:
        read_book(path)
    except BookFaults as faults:
        return faults.faults
    return ()


def test_the_small_book_is_read_with_types_and_defaults(tmp_path: Path) -> None:
    book = read_book(write_book(tmp_path))
    order = book.rows("orders")[0]
    assert (order.text("order"), order.whole("amount"), order.weekdays("weekdays")) == ("R1", 12, {1, 4})
    assert (order.text("kind"), order.number_of("price")) == ("firm", Fraction(1))
    assert order.whole_or_none("greatest_age") is None
    assert book.settings.whole("weeks") == 8
    assert book.settings.yes("lift_out") is False
    assert book.rows("deliveries") == ()


def test_every_value_keeps_its_cell(tmp_path: Path) -> None:
    book = read_book(write_book(tmp_path))
    order = book.rows("orders")[0]
    assert str(order.cell("amount")) == "orders!D2"
    assert str(order.cell("price")) == "orders!A2"  # no such column: the row's first cell
    assert order.is_given("amount")
    assert not order.is_given("price")
    assert str(book.settings.cell("weeks")) == "settings!B4"


def test_case_spaces_and_hyphens_of_headings_and_files_are_forgiven(tmp_path: Path) -> None:
    path = write_book(
        tmp_path,
        board_zones=None,
        **{"Board zones": "TROUGH, Slots per Row \nNorth trough,2\n"},
    )
    assert read_book(path).rows("board_zones")[0].whole("slots_per_row") == 2


def test_a_mark_of_byte_order_blank_rows_and_blank_headings_at_the_end_are_forgiven(tmp_path: Path) -> None:
    text = "\ufeff" + TABLES["products"].replace("\n", ",,\n") + ",,,\n  ,\n"
    book = read_book(write_book(tmp_path, products=text))
    assert [row.text("product") for row in book.rows("products")] == ["Butterhead head"]


def test_a_line_break_between_quotation_marks_does_not_shift_rows(tmp_path: Path) -> None:
    rows = 'R2,"Harbour\r\n\r\nTable",Butterhead head,3,Mon\r\n\r\nR3,H,Butterhead head,x,Mon\r\n'
    with pytest.raises(BookFaults) as raised:
        read_book(write_book(tmp_path, orders=TABLES["orders"].replace("\n", "\r\n") + rows))
    assert [str(fault.place) for fault in raised.value.faults] == ["orders!D5"]


def test_the_apostrophe_before_a_formula_sign_is_taken_off(tmp_path: Path) -> None:
    orders = TABLES["orders"].replace("Harbour Table", "'=Harbour") + "R2,'t Zilte,Butterhead head,3,Mon\n"
    book = read_book(write_book(tmp_path, orders=orders))
    assert [row.text("customer") for row in book.rows("orders")] == ["=Harbour", "'t Zilte"]


def test_other_files_and_folders_beside_the_tables_are_left_alone(tmp_path: Path) -> None:
    path = write_book(tmp_path)
    (path / "README.md").write_text("what this book is about")
    (path / ".~lock.orders.csv#").write_text("")
    (path / "old.csv").mkdir()
    assert read_book(path).rows("orders")


def test_all_faults_come_at_once_in_the_order_of_tables_rows_and_columns(tmp_path: Path) -> None:
    orders = "order,customer,product,amount,weekdays\nR1,,Nothing,x,Mon\nR2,H,Nothing,1,Mon\n"
    troughs = TABLES["troughs"].replace("4,24", "4,many")
    with pytest.raises(BookFaults) as raised:
        read_book(write_book(tmp_path, {"weeks": "many"}, orders=orders, troughs=troughs))
    places = [str(fault.place) for fault in raised.value.faults]
    assert places == ["settings!B4", "troughs!C2", "orders!B2", "orders!C2", "orders!D2", "orders!C3"]
    assert raised.value.more_may_show


def test_a_refused_row_makes_no_further_faults_where_it_is_named(tmp_path: Path) -> None:
    crops = TABLES["crops"].replace("Butterhead,14", "Butterhead,soon")
    with pytest.raises(BookFaults) as raised:
        read_book(write_book(tmp_path, crops=crops))
    assert [str(fault.place) for fault in raised.value.faults] == ["crops!B2"]


def test_a_row_without_a_name_makes_no_further_faults_where_it_may_be_named(tmp_path: Path) -> None:
    with pytest.raises(BookFaults) as raised:
        read_book(write_book(tmp_path, crops=TABLES["crops"].replace("Butterhead", "")))
    assert [str(fault.place) for fault in raised.value.faults] == ["crops!A2"]


def test_a_table_that_cannot_be_read_makes_no_further_faults(tmp_path: Path) -> None:
    with pytest.raises(BookFaults) as raised:
        read_book(write_book(tmp_path, crops=TABLES["crops"].encode("utf-16")))
    assert [str(fault.place) for fault in raised.value.faults] == ["crops"]


@pytest.mark.parametrize(
    ("name", "found"),
    [("nowhere", "nothing there"), ("empty", "a folder without any CSV file")],
)
def test_a_path_without_a_book_is_told_in_one_line(tmp_path: Path, name: str, found: str) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(BookFaults) as raised:
        read_book(tmp_path / name)
    expected = "a folder with a CSV file for each table, or an .xlsx workbook with a sheet for each"
    assert str(raised.value) == f"{tmp_path / name}: found {found}; expected {expected}"


def test_a_file_at_the_limit_is_read_and_one_row_beyond_is_refused(tmp_path: Path) -> None:
    heading, rows = "from\n", "2026-03-10\n"
    path = write_book(tmp_path, closures=heading + rows * (MOST_ROWS - 1))
    assert not read_folder(path).faults
    path = write_book(tmp_path, closures=heading + rows * MOST_ROWS)
    assert [str(fault) for fault in read_folder(path).faults] == [
        "closures!A50001: found more than 50000 rows; expected at most 50000"
    ]


def test_a_file_of_one_byte_too_many_is_refused_unread(tmp_path: Path) -> None:
    path = write_book(tmp_path)
    with (path / "orders.csv").open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    assert [str(fault) for fault in read_folder(path).faults] == [
        "orders: found a file of 20.0 million bytes; expected at most 20 million"
    ]


def test_grids_from_any_form_make_the_same_book(tmp_path: Path) -> None:
    tables = {"settings": settings_csv(), **TABLES}
    grids = {}
    for name, text in tables.items():
        records = [line.replace('"', "").split(",") for line in text.splitlines()]
        grids[name] = raw_table(name, list(enumerate(records, start=1)))
    made = typed_book(RawBook(source="a grid", tables=grids, unread=frozenset(), faults=()))
    assert made.tables == read_book(write_book(tmp_path)).tables


@given(st.binary(max_size=200))
def test_any_bytes_as_a_table_give_a_book_or_faults(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = write_book(Path(folder), orders=data)
        assert all(fault.found and fault.expected and fault.code for fault in told(path))


def test_addresses_are_those_of_a_spreadsheet() -> None:
    assert [column_letters(number) for number in (1, 26, 27, 702, 703)] == ["A", "Z", "AA", "ZZ", "AAA"]
    assert str(Cell("orders", 14, 4)) == "orders!D14"
    assert str(Cell("orders")) == "orders"


def test_the_schema_keeps_tables_in_order_and_says_which_are_required() -> None:
    schema = load_schema()
    assert list(schema.tables)[0] == "settings"
    required = [table.name for table in schema.tables.values() if table.required]
    assert required == ["settings", "shelves", "equipment", "crops", "products"]
    for table in schema.tables.values():
        for column in table.columns:
            known = ("", "key", "crop_cards", "place", "lane", *schema.tables)
            assert column.refers_to in known
