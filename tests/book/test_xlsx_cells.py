"""Cells of a workbook: what is taken over, and what is said of those that would be a guess."""

from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from helpers import write_book
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from workbooks import part_of, put, replace_part, said, texts, write_workbook

from scheduler.book.book import read_book, read_raw
from scheduler.book.from_xlsx import read_workbook

ORDERS = (
    "order,customer,product,amount,weekdays,from,kind,price\n"
    "R1,Harbour Table,Butterhead head,12,Tue Fri,2026-04-06,firm,2.4\n"
)
DELIVERIES = "customer,product,amount,date\nHarbour Table,Butterhead head,20,2026-04-24\n"


def moment(*parts: int) -> datetime:
    return datetime(*parts)  # noqa: DTZ001 - a workbook knows no time zones


def row_of(path: Path, table: str) -> list[str]:
    return texts(read_workbook(path))[table][1]


def test_both_forms_give_the_same_texts(tmp_path):
    folder = write_book(tmp_path, orders=ORDERS, deliveries=DELIVERIES)
    workbook = write_workbook(tmp_path, orders=ORDERS, deliveries=DELIVERIES)
    assert texts(read_raw(workbook)) == texts(read_raw(folder))


def test_both_forms_give_the_same_rows_with_the_same_cells(tmp_path):
    folder = read_book(write_book(tmp_path, orders=ORDERS))
    workbook = read_book(write_workbook(tmp_path, orders=ORDERS))
    assert workbook.tables == folder.tables
    assert workbook.settings == folder.settings


@pytest.mark.parametrize(
    ("value", "form", "text"),
    [
        (24.0, "General", "24"),
        (0.1 + 0.2, "General", "0.3"),
        (2.4, '0.00 "EUR"', "2.4"),
        (2.4, '0.00 "of 100 %"', "2.4"),
        (1234567, "#,##0", "1234567"),
        (0.00001, "General", "0.00001"),
        ("2,40", "@", "2,40"),
        (True, "General", "TRUE"),
    ],
)
def test_a_number_becomes_its_plain_digits(tmp_path, value, form, text):
    path = write_workbook(tmp_path, put("orders!H2", value, form), orders=ORDERS)
    assert row_of(path, "orders")[7] == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (date(2026, 4, 6), "2026-04-06"),
        (moment(2026, 4, 6, 0, 0), "2026-04-06"),
        ("2026-04-06", "2026-04-06"),
    ],
)
def test_a_date_is_written_year_month_day_whether_it_has_a_time_of_midnight_or_not(tmp_path, value, text):
    path = write_workbook(tmp_path, put("orders!F2", value), orders=ORDERS)
    assert row_of(path, "orders")[5] == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (12, "12"),
        ("=SUM(A1:A9) is what he said", "=SUM(A1:A9) is what he said"),
        ("two\r\nlines", "two\nlines"),
        ("spelt_x000D_out", "spelt\nout"),
        ("_x005F_x0041_", "_x0041_"),
        ("_x0041_", "_x0041_"),
        ("_x0000_", "_x0000_"),
        ("\u202bשלום\u202c 🥬", "\u202bשלום\u202c 🥬"),
    ],
)
def test_text_stays_text_even_when_it_looks_like_a_formula(tmp_path, value, text):
    def change(workbook):
        workbook["orders"]["B2"] = value
        if isinstance(value, str):
            workbook["orders"]["B2"].data_type = "s"

    assert row_of(write_workbook(tmp_path, change, orders=ORDERS), "orders")[1] == text


def test_yes_and_no_may_be_ticks(tmp_path):
    def change(workbook):
        workbook["settings"].append(["lift_out", True])
        workbook["settings"].append(["share_trays", False])

    settings = read_book(write_workbook(tmp_path, change)).settings
    assert (settings.yes("lift_out"), settings.yes("share_trays")) == (True, False)


def test_the_value_of_a_setting_is_read_as_its_name_asks(tmp_path):
    path = write_workbook(tmp_path, put("settings!B3", moment(2026, 3, 2)))
    assert read_book(path).settings.date("first_day") == date(2026, 3, 2)


def test_a_setting_left_blank_in_a_workbook_is_as_if_it_were_not_there(tmp_path):
    def change(workbook):
        workbook["settings"].append(["currency", None])

    assert read_book(write_workbook(tmp_path, change)).settings == read_book(write_book(tmp_path)).settings


def test_a_formula_gives_its_saved_value(tmp_path):
    path = write_workbook(tmp_path, put("orders!D2", "=6+6"), orders=ORDERS)
    name = "xl/worksheets/sheet8.xml"
    calculated = part_of(path, name).replace(b"<f>6+6</f><v />", b"<f>6+6</f><v>12</v>")
    assert b"<v>12</v>" in calculated
    replace_part(path, name, calculated)
    assert row_of(path, "orders")[3] == "12"


def test_a_formula_that_gives_empty_text_is_a_blank_cell(tmp_path):
    path = write_workbook(tmp_path, put("orders!H2", "=IF(TRUE,A9)"), orders=ORDERS)
    name = "xl/worksheets/sheet8.xml"
    data = part_of(path, name).replace(b'<c r="H2">', b'<c r="H2" t="str">')
    assert b't="str"' in data
    replace_part(path, name, data)
    assert said(path) == []


CASES = [
    (
        "a formula without a saved value",
        put("orders!D2", "=6+6"),
        "orders!D2: found a formula without a saved value; expected a value: open the workbook in a "
        "spreadsheet program, save it, and try again",
    ),
    (
        "an error value",
        put("orders!D2", "#REF!"),
        "orders!D2: found the error #REF!; expected a whole number, such as 24; the formula behind it fails",
    ),
    (
        "an error value where a name belongs",
        put("orders!C2", "#N/A"),
        "orders!C2: found the error #N/A; expected text, such as Leaf lettuce; the formula behind it fails",
    ),
    (
        "a date that lost its format",
        put("orders!F2", 46118, "General"),
        "orders!F2: found '46118'; expected a date written year-month-day; a date that lost its format in a "
        "spreadsheet would be 2026-04-06",
    ),
    (
        "a date with a time of day",
        put("orders!F2", moment(2026, 4, 6, 14, 30)),
        "orders!F2: found a date with a time of day, 2026-04-06 14:30; expected the date alone: 2026-04-06",
    ),
    (
        "a date as text in another order",
        put("orders!F2", "6.4.2026"),
        "orders!F2: found '6.4.2026'; expected a date written year-month-day: 2026-04-06 or 2026-06-04",
    ),
    (
        "a name that a spreadsheet took for a date",
        put("orders!A2", date(2026, 4, 3)),
        "orders!A2: found the date 2026-04-03; expected text, such as R1: give the cell another format and "
        "type it again",
    ),
    (
        "a number that a spreadsheet took for a date",
        put("orders!D2", moment(1900, 1, 24)),
        "orders!D2: found the date 1900-01-24; expected a whole number, such as 24: give the cell another "
        "format and type it again",
    ),
    (
        "a time",
        put("orders!D2", time(6, 30)),
        "orders!D2: found the time 06:30; expected a whole number, such as 24",
    ),
    (
        "a length of time",
        put("orders!D2", timedelta(hours=30, minutes=5)),
        "orders!D2: found the time 30:05; expected a whole number, such as 24",
    ),
    (
        "a number shown in percent",
        put("orders!D2", 0.24, "0%"),
        "orders!D2: found 24 %, for the cell is shown in percent and holds 0.24; expected a whole number, "
        "such as 24, not in percent",
    ),
    (
        "a percent column shown in percent",
        put("crops!H2", 0.955, "0.0%"),
        "crops!H2: found 95.5 %, for the cell is shown in percent and holds 0.955; expected 95.5 in a cell "
        "with number format",
    ),
    (
        "a fraction where a whole number belongs",
        put("orders!D2", 12.5),
        "orders!D2: found '12.5'; expected a whole number, such as 24",
    ),
    (
        "truth where a number belongs",
        put("orders!D2", True),
        "orders!D2: found 'TRUE'; expected a whole number, such as 24",
    ),
    (
        "very long text",
        put("orders!B2", "a" * 5000),
        "orders!B2: found 5000 characters; expected at most 1000",
    ),
    (
        "the value of a setting in percent",
        put("settings!B4", 0.08, "0%"),
        "settings!B4: found 8 %, for the cell is shown in percent and holds 0.08; expected a whole number, "
        "such as 26, not in percent",
    ),
    (
        "a required setting that is blank",
        put("settings!B4", None),
        "settings!B4: found a blank cell; expected weeks, such as 26",
    ),
]


def test_hours_typed_as_a_time_are_offered_as_a_decimal_number(tmp_path):
    crew = "weekdays,hours\nMon,6\n"
    assert said(write_workbook(tmp_path, put("crew!B2", time(5, 30)), orders=ORDERS, crew=crew)) == [
        "crew!B2: found the time 05:30; expected hours as a decimal number: 5.5"
    ]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_trap_is_told_with_its_cell_and_makes_no_further_fault(tmp_path, case):
    _, change, message = case
    assert said(write_workbook(tmp_path, change, orders=ORDERS)) == [message]


def test_faults_of_reading_and_of_parsing_come_together_in_order(tmp_path):
    def change(workbook):
        put("orders!D2", "#REF!")(workbook)
        put("orders!F2", "soon")(workbook)
        put("crops!B2", "=1+1")(workbook)

    places = [line.split(":")[0] for line in said(write_workbook(tmp_path, change, orders=ORDERS))]
    assert places == ["crops!B2", "orders!D2", "orders!F2"]


def test_a_row_with_a_refused_name_makes_no_further_faults_where_it_is_named(tmp_path):
    path = write_workbook(tmp_path, put("crops!A2", "#NAME?"))
    assert [line.split(":")[0] for line in said(path)] == ["crops!A2"]


def test_days_counted_from_1904_are_the_same_days(tmp_path):
    def change(workbook):
        workbook.epoch = CALENDAR_MAC_1904
        workbook["orders"]["F2"] = date(2026, 4, 6)

    path = write_workbook(tmp_path, change, orders=ORDERS)
    assert row_of(path, "orders")[5] == "2026-04-06"

    def lost(workbook):
        change(workbook)
        put("orders!F2", 46118 - 1462, "General")(workbook)

    assert said(write_workbook(tmp_path, lost, orders=ORDERS)) == [
        "orders!F2: found '44656'; expected a date written year-month-day; a date that lost its format in a "
        "spreadsheet would be 2026-04-06"
    ]


def test_a_workbook_is_only_read(tmp_path):
    path = write_workbook(tmp_path)
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    path.chmod(0o400)
    read_book(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert list(tmp_path.iterdir()) == [path]


def test_rows_under_the_small_book_still_stand_where_they_stood(tmp_path):
    def change(workbook):
        workbook["orders"]["A9"] = "R9"
        workbook["orders"]["D9"] = "many"

    places = [line.split(":")[0] for line in said(write_workbook(tmp_path, change))]
    assert places == ["orders!B9", "orders!C9", "orders!D9", "orders!E9"]
