"""The sheet of one table: heading with notes, cells of the right kind, lists and limits, how it prints."""

import textwrap
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Literal

from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.book.from_xlsx_cells import escaped, number_text
from scheduler.book.grids import MEANING, Grid
from scheduler.book.guard import bare, changes_when_edited, guarded
from scheduler.book.headings import heading_of
from scheduler.book.number_hints import NUMBER
from scheduler.book.parse import Refused, parse
from scheduler.book.place import column_letters
from scheduler.book.schema import CellRule, CellType, Table, load_schema
from scheduler.book.to_xlsx_rules import LAST_ROW, TEXT, note, number_format, validation

GREY = PatternFill("solid", fgColor="D9D9D9")
STILL_BLANK = PatternFill("solid", bgColor="F2C9A0")
LINE = Side(style="medium", color="404040")
LINE_HEIGHT = 15
SIGNS_PER_WIDTH = 1.25
"""Letters of running text for each unit of a column's width, which counts digits."""

PAGE_WIDTH = 150
"""Characters across a landscape page that can still be read."""

NUMERIC = (CellType.WHOLE, CellType.NUMBER, CellType.DATE)


def fill_table_sheet(sheet: Worksheet, table: Table, grid: Grid, units: Mapping[str, str]) -> None:
    """Write one table: all columns of the schema, then remarks."""
    remarks = [name for name in grid.columns if name not in {column.name for column in table.columns}]
    last = max(LAST_ROW, len(grid.rows) + 500)
    for number, column in enumerate(table.columns, start=1):
        cell = cell_at(sheet, 1, number)
        put_text(cell, heading_of(column, units))
        style_heading(cell, bold=column.required)
        cell.comment = _comment(note(column, units))
        sheet.column_dimensions[column_letters(number)].number_format = number_format(column)
        _add_validation(sheet, column, number, 2, last)
    for number, heading in enumerate(remarks, start=len(table.columns) + 1):
        put_text(cell_at(sheet, 1, number), heading)
        style_heading(cell_at(sheet, 1, number), bold=False)
    places = {
        name: number for number, name in enumerate([*(c.name for c in table.columns), *remarks], start=1)
    }
    rules = {column.name: column for column in table.columns}
    for row, texts in enumerate(grid.rows, start=2):
        for name, text in zip(grid.columns, texts, strict=True):
            put(cell_at(sheet, row, places[name]), text, rules.get(name))
    _mark_blanks(sheet, table, last)
    _set_widths(sheet)
    set_height(sheet, 1)
    finish_sheet(sheet, repeated_columns="A:A")


def fill_settings_sheet(sheet: Worksheet, table: Table, grid: Grid, units: Mapping[str, str]) -> None:
    """Write every setting of the schema in its order, blank ones too, each with what it is beside it."""
    schema = load_schema()
    order = list(schema.settings)
    given = [row for row in grid.rows if row[0] in schema.settings]
    missing = [(name, "") for name in order if name not in {row[0] for row in given}]
    rows = sorted([*given, *missing], key=lambda row: order.index(row[0]))
    rows += [row for row in grid.rows if row[0] not in schema.settings]
    headings = [*(heading_of(column, units) for column in table.columns), MEANING, *grid.columns[2:]]
    for number, heading in enumerate(headings, start=1):
        put_text(cell_at(sheet, 1, number), heading)
        style_heading(cell_at(sheet, 1, number), bold=number <= len(table.columns))
    for number, column in enumerate(table.columns, start=1):
        cell_at(sheet, 1, number).comment = _comment(note(column, units))
    for row, texts in enumerate(rows, start=2):
        setting = schema.settings.get(texts[0])
        put_text(cell_at(sheet, row, 1), texts[0])
        value = cell_at(sheet, row, 2)
        if setting:
            value.number_format = number_format(setting)
            cell_at(sheet, row, 1).font = font(bold=setting.required)
            put_text(
                cell_at(sheet, row, 3), " ".join(_sentence(line) for line in note(setting, {}).split("\n"))
            )
            _add_validation(sheet, setting, 2, row, row)
        put(value, texts[1], setting)
        value.alignment = Alignment(horizontal="left", vertical="top")
        for number, text in enumerate(texts[2:], start=4):
            put_text(cell_at(sheet, row, number), text)
        cell_at(sheet, row, 1).alignment = Alignment(vertical="top")
        cell_at(sheet, row, 3).alignment = Alignment(wrap_text=True, vertical="top")
    for letter, width in (("A", 18), ("B", 26), ("C", 92)):
        sheet.column_dimensions[letter].width = width
    for row in range(1, len(rows) + 2):
        set_height(sheet, row)
    finish_sheet(sheet)


def cell_at(sheet: Worksheet, row: int, column: int) -> SheetCell:
    """Return a cell; no sheet of ours has merged ones."""
    cell = sheet.cell(row, column)
    assert isinstance(cell, SheetCell)
    return cell


def put(cell: SheetCell, text: str, rule: CellRule | None) -> None:
    """Write the text of a cell as the number or date it is, where nothing is lost by that; else as text."""
    if not text:
        return
    value = _as_value(text, rule)
    if value is None:
        put_text(cell, text)
        return
    cell.value = value
    if rule is not None:
        cell.number_format = number_format(rule)


def put_text(cell: SheetCell, text: str) -> None:
    """Write text that no spreadsheet program takes for anything else."""
    # reading takes an apostrophe off that a sheet made of CSV brought along: text of that form gets another
    cell.value = escaped(text if bare(text) == text else guarded(text))
    cell.data_type = "s"
    cell.number_format = TEXT
    if changes_when_edited(text):
        cell.quotePrefix = True


def font(*, bold: bool = False, size: int = 11, underline: Literal["single"] | None = None) -> Font:
    """Return the one font of the workbook; a font without a name would be drawn in any."""
    return Font(name="Calibri", family=2, size=size, bold=bold, underline=underline)


def style_heading(cell: SheetCell, *, bold: bool) -> None:
    """Make a heading that shows in black and white too: bold for what must be filled, grey, a line below."""
    cell.font = font(bold=bold)
    cell.fill = GREY
    cell.border = Border(bottom=LINE)
    cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left")


def set_height(sheet: Worksheet, row: int) -> None:
    """Make a row as high as its wrapped texts: not every program does so by itself."""
    most = 1
    for number in range(1, sheet.max_column + 1):
        cell = cell_at(sheet, row, number)
        signs = int(SIGNS_PER_WIDTH * sheet.column_dimensions[cell.column_letter].width) - 2
        if cell.alignment.wrap_text:
            most = max(most, len(textwrap.wrap(str(cell.value or ""), signs)))
    sheet.row_dimensions[row].height = LINE_HEIGHT * most + 1


def finish_sheet(sheet: Worksheet, *, repeated_columns: str = "") -> None:
    """Set what shows on the screen and how it prints: heading in sight, landscape, fitted to the width."""
    sheet.freeze_panes = "B2" if repeated_columns else "A2"
    sheet.sheet_view.zoomScale = 100
    width = sum(dimension.width for dimension in sheet.column_dimensions.values())
    pages = max(1, round(width / PAGE_WIDTH + 0.3))
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = pages, 0
    sheet.page_margins.left = sheet.page_margins.right = 0.4
    sheet.print_title_rows = "1:1"
    if repeated_columns and pages > 1:
        sheet.print_title_cols = repeated_columns
    assert sheet.oddFooter is not None
    for part, text in ((sheet.oddFooter.left, "&A"), (sheet.oddFooter.right, "&P / &N")):
        assert part is not None
        part.text = text
    sheet.print_options.gridLines = True


def _as_value(text: str, rule: CellRule | None) -> int | float | date | None:
    if rule is None or rule.type not in NUMERIC:
        return None
    if rule.type is CellType.DATE:
        try:
            value = parse(text, rule)
        except Refused:
            return None
        return value if isinstance(value, date) else None
    if not NUMBER.fullmatch(text):
        return None
    exact = Fraction(text)
    number = exact.numerator if exact.denominator == 1 else float(exact)
    shown = number_text(float(number))
    return number if NUMBER.fullmatch(shown) and Fraction(shown) == exact else None


def _comment(text: str) -> Comment:
    lines = sum(1 + len(line) // 44 for line in text.split("\n"))
    return Comment(text, "raftway", height=24 + 19 * lines, width=320)


def _add_validation(sheet: Worksheet, rule: CellRule, column: int, first: int, last: int) -> None:
    found = validation(rule, max(LAST_ROW, last))
    if found is not None:
        letter = column_letters(column)
        found.add(f"{letter}{first}:{letter}{last}")
        sheet.add_data_validation(found)


def _mark_blanks(sheet: Worksheet, table: Table, last: int) -> None:
    """Colour a blank cell that must be filled once its row holds anything."""
    width = column_letters(len(table.columns))
    for number, column in enumerate(table.columns, start=1):
        if column.required:
            letter = column_letters(number)
            formula = f'AND(COUNTA($A2:${width}2)>0,{letter}2="")'
            rule = FormulaRule(formula=[formula], fill=STILL_BLANK)  # type: ignore[no-untyped-call]
            sheet.conditional_formatting.add(f"{letter}2:{letter}{last}", rule)


def _set_widths(sheet: Worksheet) -> None:
    for number, values in enumerate(sheet.iter_cols(values_only=True), start=1):
        longest = max((len(_shown(value)) for value in values[1:]), default=0)
        word = max((len(word) for word in str(values[0]).split()), default=0)
        sheet.column_dimensions[column_letters(number)].width = min(42, max(longest + 2, word + 3, 10))


def _shown(value: object) -> str:
    return "" if value is None else str(value)


def _sentence(line: str) -> str:
    return line if line.endswith(".") else line + "."
