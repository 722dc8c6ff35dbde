"""The first and the last sheet of a workbook: how to fill it in, and the cards that may be named."""

from openpyxl.styles import Alignment
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from crops.library import cards
from scheduler.book.schema import load_schema
from scheduler.book.to_xlsx_sheets import cell_at, finish_sheet, font, put_text, set_height, style_heading

TITLE = "The book of a floating-raft farm"

BEFORE = (
    "Raftway reads the sheets below and plans what to sow, when each batch moves and where it stands.",
    "Rows are there to be changed: put your own farm in their place, in the order of the list.",
)

AFTER = (
    ("How to fill it in", ""),
    ("1", "Fill the sheets from top to bottom. Those that need not be filled may stay empty."),
    ("2", "Bold headings with a star (*) must be filled in every row. Any other cell may stay blank."),
    ("3", "Point at a heading: its note says what belongs there, the unit, what is allowed and an example."),
    ("4", "Where a list drops down, pick from it: names must be the same on every sheet, letter for letter."),
    (
        "5",
        "Write dates as 2026-03-02, and numbers without their unit.",
    ),
    ("6", "Percent columns hold 95 for 95 %, in cells with number format, not percent format."),
    ("7", "Do not merge cells, and do not rename sheets or headings. Sheets of your own are not read."),
    ("8", "A column whose heading stands in brackets, such as (my remarks), is yours and is not read."),
    ("How to run it", ""),
    ("check", "raftway check BOOK.xlsx says what is missing or does not fit, each with its sheet and cell."),
    ("plan", "raftway plan BOOK.xlsx --out plan makes the plan. This workbook is only read, never changed."),
)


def fill_about_sheet(sheet: Worksheet) -> None:
    """Write in plain words what to fill in which order, and how to check and plan."""
    put_text(cell_at(sheet, 1, 1), TITLE)
    cell_at(sheet, 1, 1).font = font(bold=True, size=16)
    row = 2
    for line in BEFORE:
        put_text(cell_at(sheet, row, 1), line)
        row += 1
    row += 1
    for number, heading in enumerate(("Sheet", "Must be filled", "What it holds"), start=1):
        put_text(cell_at(sheet, row, number), heading)
        cell_at(sheet, row, number).font = font(bold=True)
    for table in load_schema().tables.values():
        row += 1
        link = cell_at(sheet, row, 1)
        put_text(link, table.name)
        link.hyperlink = Hyperlink(ref=link.coordinate, location=f"{table.name}!A2", display=table.name)
        link.font = font(underline="single", bold=table.required)
        put_text(cell_at(sheet, row, 2), "yes" if table.required else "if you have it")
        put_text(cell_at(sheet, row, 3), table.description)
    row += 1
    for name, text in AFTER:
        row += 1 if text else 2
        put_text(cell_at(sheet, row, 1), name)
        put_text(cell_at(sheet, row, 2), text)
        cell_at(sheet, row, 1).font = font(bold=not text)
    for letter, width in (("A", 18), ("B", 16), ("C", 90)):
        sheet.column_dimensions[letter].width = width
    for cells in sheet.iter_rows(min_row=2):
        for cell in cells:
            cell.alignment = Alignment(horizontal="left")
    finish_sheet(sheet)
    sheet.page_setup.fitToHeight = 1
    sheet.freeze_panes = None
    sheet.print_options.gridLines = False
    sheet.sheet_view.showGridLines = False


def fill_lists_sheet(sheet: Worksheet) -> None:
    """Write the cards of the crop library; the sheet is not read."""
    headings = ("card", "crop", "group", "days from seed to first harvest", "route")
    for number, heading in enumerate(headings, start=1):
        put_text(cell_at(sheet, 1, number), heading)
        style_heading(cell_at(sheet, 1, number), bold=True)
    for row, card in enumerate(cards(), start=2):
        for number, text in ((1, card.name), (2, card.title), (3, card.group), (5, card.route)):
            put_text(cell_at(sheet, row, number), text)
        days = card.value("days_total")
        if days is not None:
            cell_at(sheet, row, 4).value = round(days)
    for letter, width in (("A", 28), ("B", 28), ("C", 12), ("D", 16), ("E", 24)):
        sheet.column_dimensions[letter].width = width
    set_height(sheet, 1)
    finish_sheet(sheet)
