"""Sheets and headings of a workbook: which are read, and what is said of the others."""

import pytest
from helpers import TABLES, faults_of, write_book
from openpyxl.chart import BarChart, Reference
from workbooks import put, said, write_workbook

from scheduler.book.book import read_book
from scheduler.book.from_xlsx import MOST_COLUMNS
from scheduler.book.raw import MOST_ROWS


def test_a_sheet_may_have_the_title_of_its_table(tmp_path):
    def change(workbook):
        workbook["orders"].title = "Standing orders"
        workbook["board_zones"].title = "Board Zones"

    book = read_book(write_workbook(tmp_path, change))
    assert [len(book.rows(name)) for name in ("orders", "board_zones")] == [1, 1]


def test_sheets_unlike_any_table_are_left_alone(tmp_path):
    def change(workbook):
        for name in ("about", "lists", "Notes", "Sheet1", "Map of the farm", "Prices 2025"):
            workbook.create_sheet(name)["A1"] = "=1+1"
        chart = BarChart()
        chart.add_data(Reference(workbook["orders"], min_col=4, min_row=1, max_row=2))
        workbook.create_chartsheet("Chart").add_chart(chart)

    assert said(write_workbook(tmp_path, change)) == []


def test_hidden_sheets_rows_and_columns_are_read(tmp_path):
    def change(workbook):
        workbook["orders"].sheet_state = "veryHidden"
        workbook["orders"].row_dimensions[2].hidden = True
        workbook["orders"].column_dimensions["D"].hidden = True

    book = read_book(write_workbook(tmp_path, change))
    assert book.tables == read_book(write_book(tmp_path)).tables


def test_cells_that_are_only_formatted_are_not_there(tmp_path):
    def change(workbook):
        workbook["orders"].cell(70_000, 400).number_format = "0.00"

    assert said(write_workbook(tmp_path, change)) == []


def heading(*cells):
    def change(workbook):
        for number, text in enumerate(cells, start=1):
            workbook["troughs"].cell(1, number).value = text

    return change


@pytest.mark.parametrize(
    "width", ["width", "Width", "width (ft)", "width* (ft)", "width (FT) *", "width*", "width(ft)"]
)
def test_a_heading_may_carry_a_star_and_its_unit(tmp_path, width):
    path = write_workbook(tmp_path, heading("trough", width, "length"))
    assert read_book(path).rows("troughs")[0].whole_or_none is not None
    assert read_book(path).tables == read_book(write_book(tmp_path)).tables


def test_the_csv_form_takes_the_same_headings(tmp_path):
    troughs = TABLES["troughs"].replace("trough,width", "trough*,width* (ft)")
    assert read_book(write_book(tmp_path, troughs=troughs)).tables == read_book(write_book(tmp_path)).tables
    assert faults_of(tmp_path, troughs=troughs.replace("(ft)", "(m)")) == [
        "troughs!B1: found 'm' as the unit of width; expected 'ft', the length unit of the book (settings!B9)"
    ]


@pytest.mark.parametrize("unit", ["C", "\N{DEGREE SIGN}C", "c"])
def test_a_unit_is_read_in_plain_letters_and_as_it_is_told(tmp_path, unit):
    def change(workbook):
        workbook["crops"].cell(1, workbook["crops"].max_column + 1, f"heat limit ({unit})")

    assert said(write_workbook(tmp_path, change)) == []


def test_another_unit_of_temperature_is_refused_with_the_one_that_is_told(tmp_path):
    crops = TABLES["crops"].replace("crop,", "heat limit (F),crop,", 1).replace("\n", "\n,")
    assert faults_of(tmp_path, crops=crops.rstrip(",")) == [
        "crops!A1: found 'F' as the unit of heat_limit; expected '\N{DEGREE SIGN}C'"
    ]


@pytest.mark.parametrize("unit", ["lb", "mass"])
def test_masses_carry_the_unit_of_the_book(tmp_path, unit):
    def change(workbook):
        workbook["settings"].append(["mass_unit", "lb"])
        workbook["products"]["D1"] = f"mass per unit ({unit})"

    assert said(write_workbook(tmp_path, change)) == []


def test_masses_in_another_unit_are_refused(tmp_path):
    def change(workbook):
        workbook["products"]["D1"] = "mass per unit (g)"

    assert said(write_workbook(tmp_path, change)) == [
        "products!D1: found 'g' as the unit of mass_per_unit; expected 'kg', the unit when settings name none"
    ]


def test_a_column_headed_by_a_remark_in_brackets_is_not_read(tmp_path):
    def change(workbook):
        workbook["orders"]["F1"] = "(my remarks)"
        workbook["orders"]["F2"] = "call before noon"

    book = read_book(write_workbook(tmp_path, change))
    assert book.tables == read_book(write_book(tmp_path)).tables


NO_TABLE = (
    ": found a sheet that is no table of the book; expected 'orders', or a name unlike any table's if it is "
    "not to be read"
)
UNSAVED = (
    ": found a formula without a saved value; expected a value: open the workbook in a spreadsheet program, "
    "save it, and try again"
)


def second_orders(workbook):
    workbook.copy_worksheet(workbook["orders"]).title = "Standing Orders"


def far_cell(workbook):
    workbook["orders"].cell(2, MOST_COLUMNS + 1).value = 1


def far_row(workbook):
    workbook["orders"].cell(MOST_ROWS + 1, 1).value = "R9"


def merge(workbook):
    workbook["orders"].append(["R2", "Harbour Table"])
    workbook["orders"].merge_cells("B2:B3")


def empty(workbook):
    workbook["orders"].delete_rows(1, 9)


def blank_first_row(workbook):
    workbook["orders"].insert_rows(1)


def rename(old, new):
    def change(workbook):
        workbook[old].title = new

    return change


CASES = [
    (
        "a near miss",
        rename("orders", "order"),
        ["order" + NO_TABLE],
    ),
    (
        "a near miss of a title",
        rename("orders", "Standing order"),
        ["Standing order" + NO_TABLE],
    ),
    (
        "a copy of a sheet",
        lambda workbook: (
            workbook.copy_worksheet(workbook["orders"]) and rename("orders Copy", "orders (2)")(workbook)
        ),
        ["orders (2)" + NO_TABLE],
    ),
    (
        "two sheets for one table",
        second_orders,
        ["Standing Orders: found a second sheet for orders; expected 'orders' alone"],
    ),
    (
        "an empty sheet",
        empty,
        ["orders: found an empty sheet; expected a heading row with the names of the columns"],
    ),
    (
        "a blank first row",
        blank_first_row,
        ["orders!A1: found a blank first row; expected a heading row with the names of the columns"],
    ),
    ("merged cells", merge, ["orders!B2: found merged cells B2:B3; expected a cell for each value"]),
    ("too many rows", far_row, ["orders!A50001: found more than 50000 rows; expected at most 50000"]),
    ("too many columns", far_cell, ["orders!GS1: found more than 200 columns; expected at most 200"]),
    (
        "a sheet that must be there is not",
        lambda workbook: workbook.remove(workbook["products"]),
        [
            "products: found no such table; expected one with the columns product, crop (What is sold: "
            "a crop, or any one of several crops or varieties, in a pack)"
        ],
    ),
    (
        "a wrong unit of length",
        heading("trough", "width (m)"),
        [
            "troughs!B1: found 'm' as the unit of width; expected 'ft', the length unit of the book "
            "(settings!B9)"
        ],
    ),
    (
        "a unit where there is none",
        heading("trough (name)"),
        ["troughs!A1: found 'name' as the unit of trough; expected nothing in brackets"],
    ),
    (
        "another unit of time",
        put("equipment!F1", "wash days (hours)"),
        ["equipment!F1: found 'hours' as the unit of wash_days; expected 'days'"],
    ),
    (
        "a misspelt heading with a unit",
        heading("trough", "widht* (ft)"),
        ["troughs!B1: found unknown column 'widht'; expected 'width'?"],
    ),
    (
        "an error in the heading",
        heading("trough", "#REF!"),
        ["troughs!B1: found the error #REF!; expected text; the formula behind it fails"],
    ),
    (
        "a formula in the heading",
        heading("trough", '="wid"&"th"'),
        ["troughs!B1" + UNSAVED],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_of_a_sheet_is_told(tmp_path, case):
    _, change, messages = case
    assert said(write_workbook(tmp_path, change)) == messages


def test_a_misspelt_sheet_makes_no_further_faults_where_its_names_are_used(tmp_path):
    changes = "order,from,change\nR1,2026-04-07,skip\n"
    path = write_workbook(tmp_path, rename("products", "product"), order_changes=changes)
    assert said(path) == ["product" + NO_TABLE.replace("orders", "products")]


def test_without_a_length_unit_lengths_are_in_metres(tmp_path):
    def change(workbook):
        workbook["settings"].delete_rows(9)
        workbook["troughs"]["B1"] = "width (ft)"

    assert said(write_workbook(tmp_path, change)) == [
        "troughs!B1: found 'ft' as the unit of width; expected 'm', the unit when settings name none"
    ]


def test_a_workbook_without_any_table_is_told_in_one_line(tmp_path):
    def change(workbook):
        for name in workbook.sheetnames:
            workbook.remove(workbook[name])
        workbook.create_sheet("Sheet1")
        workbook.create_sheet("Sheet2")

    path = write_workbook(tmp_path, change)
    assert said(path) == [
        f"{path}: found a workbook without any table of the book (it has 'Sheet1', 'Sheet2'); expected an "
        ".xlsx workbook with a sheet for each table"
    ]
