"""The workbook that is written: it explains itself, helps while it is filled in, and holds no formula."""

import io
from datetime import date

import pytest
from office import office_to
from openpyxl import load_workbook
from workbooks import said

from crops.library import cards
from scheduler.book.from_xlsx import read_workbook
from scheduler.book.grids import Grid, grids_of
from scheduler.book.schema import load_schema
from scheduler.book.starter import starter
from scheduler.book.to_xlsx import workbook_file

FIRST_DAY = date(2026, 3, 2)


@pytest.fixture(scope="module")
def data():
    return workbook_file(starter("ft", FIRST_DAY))


@pytest.fixture(scope="module")
def book(data):
    return load_workbook(io.BytesIO(data))


def rule_of(sheet, address):
    (found,) = [rule for rule in sheet.data_validations.dataValidation if address in rule.sqref]
    return found


def test_the_sheets_stand_in_the_order_of_the_schema_between_about_and_lists(book):
    assert book.sheetnames == ["about", *load_schema().tables, "lists"]
    assert all(sheet.sheet_state == "visible" for sheet in book)


def test_headings_carry_a_star_when_required_and_the_unit_their_name_lacks(book):
    assert [cell.value for cell in book["troughs"][1]][:6] == [
        "trough*",
        "width* (ft)",
        "length* (ft)",
        "raft width* (ft)",
        "raft length* (ft)",
        "lie*",
    ]
    assert [cell.value for cell in book["orders"][1]] == [
        "order*",
        "customer*",
        "product*",
        "amount* (units)",
        "weekdays*",
        "every weeks",
        "from",
        "to",
        "kind",
        "price (EUR)",
        "priority",
        "greatest age (days)",
    ]
    warm = [cell.value for cell in book["temperatures"][1]]
    assert warm[-2:] == ["water (\N{DEGREE SIGN}C)", "air (\N{DEGREE SIGN}C)"]
    lamps = [str(cell.value) for cell in book["light"][1]]
    assert {
        "lamp flux (\N{MICRO SIGN}mol/m\N{SUPERSCRIPT TWO}/s)",
        "lamp light (mol/m\N{SUPERSCRIPT TWO}/d)",
    } <= {*lamps}


def test_every_heading_is_bold_only_if_required_and_has_a_note_with_all_the_schema_says(book):
    for table in load_schema().tables.values():
        for column, cell in zip(table.columns, book[table.name][1], strict=False):
            assert cell.font.b == column.required
            note = cell.comment.text
            assert column.description in note
            assert f"Example: {column.example}" in note
            assert ("Must be filled." in note) == column.required
            assert not column.default or f"Blank means {column.default}." in note


def test_a_note_reads_as_a_whole(book):
    assert book["orders"]["L1"].comment.text == (
        "Greatest age in days after cutting at delivery; blank means the farm's hold days\n"
        "May be blank.\nUnit: days\nAllowed: 0 to 30\nExample: 1"
    )
    assert book["troughs"]["B1"].comment.text == (
        "Inside width of the water\nMust be filled.\nUnit: ft\nAllowed: 0.1 to 200\nExample: 4"
    )


def test_choices_names_and_limits_are_offered_and_kept(book):
    kind = rule_of(book["orders"], "I2")
    assert (kind.type, kind.formula1, kind.errorStyle) == ("list", '"firm,flexible"', None)
    product = rule_of(book["orders"], "C2")
    assert product.formula1 == "OFFSET(products!$A$2,0,0,MAX(1,COUNTA(products!$A$2:$A$1000)),1)"
    assert product.errorStyle == "warning"
    assert rule_of(book["crops"], "B2").formula1.startswith("OFFSET(lists!$A$2,")
    amount = rule_of(book["orders"], "D1000")
    assert (amount.type, amount.formula1, amount.formula2) == ("whole", "0", "1000000")
    assert amount.error == "A whole number, 0 to 1000000"
    assert rule_of(book["orders"], "G2").type == "date"
    weekdays = rule_of(book["orders"], "E2")
    assert (weekdays.type, weekdays.showErrorMessage) == ("list", False)


def test_each_setting_has_its_own_rule_and_says_what_it_is(book):
    sheet = book["settings"]
    rows = {row[0].value: row for row in sheet.iter_rows(min_row=2)}
    assert list(rows) == list(load_schema().settings)
    assert rule_of(sheet, rows["lift_out"][1].coordinate).formula1 == '"yes,no"'
    assert rule_of(sheet, rows["weeks"][1].coordinate).formula2 == "156"
    assert rows["first_day"][1].number_format == "yyyy-mm-dd"
    assert rows["lift_minutes"][2].value == (
        "Work to lift one empty raft out of the middle of a row. Blank means 5. Unit: minutes. Allowed: 0 to "
        "240. Example: 5."
    )


def test_rules_stay_within_what_a_spreadsheet_program_takes(book):
    for sheet in book:
        for rule in sheet.data_validations.dataValidation:
            assert len(rule.formula1) <= 255
            assert len(rule.error or "") <= 225


def test_every_card_is_listed(book):
    listed = [cell.value for cell in book["lists"]["A"][1:]]
    assert listed == [card.name for card in cards()]


def test_tables_print_landscape_with_their_heading_on_every_page(book):
    for table in load_schema().tables:
        sheet = book[table]
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.freeze_panes in ("A2", "B2")
    assert book["crops"].page_setup.fitToWidth == 4
    assert book["crops"].print_title_cols == "$A:$A"
    assert book["orders"].page_setup.fitToWidth == 1


def test_blank_cells_and_cells_with_text_have_the_format_of_their_column(book):
    assert book["orders"].column_dimensions["A"].number_format == "@"
    assert book["orders"].column_dimensions["G"].number_format == "yyyy-mm-dd"
    assert book["orders"]["G2"].number_format == "yyyy-mm-dd"
    assert book["orders"]["J2"].number_format == "0.00##"
    assert book["orders"]["J2"].value == 2.4


def test_the_first_sheet_says_how_to_fill_it_in_and_how_to_run_it(book):
    words = " ".join(str(cell.value) for row in book["about"].iter_rows() for cell in row if cell.value)
    for said_there in (*load_schema().tables, "raftway check", "raftway plan", "star (*)", "2026-03-02"):
        assert said_there in words
    assert book["about"]["A6"].hyperlink.location == "settings!A2"


def test_the_same_book_gives_the_same_bytes(data):
    assert workbook_file(starter("ft", FIRST_DAY)) == data
    properties = load_workbook(io.BytesIO(data)).properties
    assert properties.created == properties.modified
    assert properties.modified.date() == FIRST_DAY


def test_another_book_gives_other_bytes(data):
    assert workbook_file(starter("ft", date(2026, 3, 9))) != data


RISKY = [
    "=1+1",
    '=HYPERLINK("x","y")',
    "+1",
    "-1",
    "@SUM(1)",
    "'quoted",
    "#REF!",
    "TRUE",
    "2026-03-02",
    "007",
    "3-4",
]


def test_text_can_never_become_a_formula_a_number_or_a_date(tmp_path):
    grids = dict(starter("ft", FIRST_DAY))
    rows = tuple((f"R{number}", text, "Butterhead", "1", "Mon") for number, text in enumerate(RISKY))
    grids["orders"] = Grid(
        name="orders", columns=("order", "customer", "product", "amount", "weekdays"), rows=rows
    )
    path = tmp_path / "book.xlsx"
    path.write_bytes(workbook_file(grids))
    sheet = load_workbook(path)["orders"]
    for row, text in enumerate(RISKY, start=2):
        cell = sheet.cell(row, 2)
        assert (cell.value, cell.data_type, cell.number_format) == (text, "s", "@")
        assert bool(cell.quotePrefix) == (text[0] in "=+-@'")
    read = grids_of(read_workbook(path))["orders"]
    assert [row[1] for row in read.rows] == RISKY


def test_what_a_cell_cannot_be_is_kept_as_text(tmp_path):
    grids = dict(starter("ft", FIRST_DAY))
    odd = ("many", "0.123456789012345678901", "31.2.2026")
    rows = tuple(("R", "H", "Butterhead", text, "Mon", text) for text in odd)
    columns = ("order", "customer", "product", "amount", "weekdays", "from")
    grids["orders"] = Grid(name="orders", columns=columns, rows=rows)
    path = tmp_path / "book.xlsx"
    path.write_bytes(workbook_file(grids))
    assert grids_of(read_workbook(path))["orders"].rows == rows


@pytest.mark.office
def test_another_program_opens_it_and_saves_the_same_book(data, tmp_path):
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    (saved,) = office_to(path, "xlsx")
    assert said(saved) == []
    assert grids_of(read_workbook(saved)) == grids_of(read_workbook(path))
    kept = load_workbook(saved)
    assert kept["orders"]["L1"].comment.text.startswith("Greatest age in days")
    assert rule_of(kept["orders"], "C2").formula1.startswith("OFFSET(products!$A$2")
