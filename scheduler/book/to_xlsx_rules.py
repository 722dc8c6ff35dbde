"""What a workbook offers and refuses while it is filled in: lists, limits, formats and notes.

These rules help; they protect nothing, for pasted cells pass them by. Reading checks everything again.
"""

from collections.abc import Mapping
from typing import Any

from openpyxl.worksheet.datavalidation import DataValidation

from scheduler.book.place import column_letters
from scheduler.book.schema import CellRule, CellType, Column, load_schema
from scheduler.book.words import as_read, listed

LAST_ROW = 1000
"""Last row with lists and limits; further rows are read all the same."""

CARDS = "lists"
"""Sheet with the cards of the crop library."""

WEEKDAYS = "daily,Mon-Fri,Mon Thu,Tue Fri,Mon Wed Fri,Mon,Tue,Wed,Thu,Fri,Sat,Sun"

FORMATS = {
    CellType.WHOLE: "0",
    CellType.NUMBER: "General",
    CellType.DATE: "yyyy-mm-dd",
    CellType.YESNO: "General",
}
"""Number formats; all else is text, so that 3-4 stays 3-4 and =A1 no formula."""

MONEY = "0.00##"
TEXT = "@"

SHOWN_UNITS = {"min": "minutes"}


def number_format(rule: CellRule) -> str:
    """Return the number format of the cells of a column."""
    return MONEY if rule.unit == "money" else FORMATS.get(rule.type, TEXT)


def validation(rule: CellRule, last_row: int) -> DataValidation | None:
    """Return what may be typed into the cells of a column; None where anything may."""
    options = _options(rule, last_row)
    if options is None:
        return None
    return DataValidation(
        allow_blank=True,
        showErrorMessage=options.pop("showErrorMessage", True),
        errorTitle="Not allowed",
        **options,
    )


def _options(rule: CellRule, last_row: int) -> dict[str, Any] | None:
    if isinstance(rule, Column) and (source := _names(rule, last_row)):
        error = f"This name is not in {rule.refers_to.replace('_', ' ')}. Keep it only if you add it there."
        return {"type": "list", "formula1": source, "errorStyle": "warning", "error": error}
    if rule.type is CellType.WEEKDAYS:
        return {"type": "list", "formula1": f'"{WEEKDAYS}"', "showErrorMessage": False}
    if rule.type is CellType.YESNO:
        return {"type": "list", "formula1": '"yes,no"', "error": "yes or no"}
    if rule.type is CellType.CHOICE:
        return {
            "type": "list",
            "formula1": f'"{",".join(rule.choices)}"',
            "error": listed(rule.choices, "or"),
        }
    if rule.type is CellType.DATE:
        error = f"A date, such as {rule.example}"
        return {"type": "date", "operator": "greaterThan", "formula1": "DATE(1999,12,31)", "error": error}
    if rule.bounds:
        low, high = (format(float(bound), ".15g") for bound in rule.bounds)
        kind = "whole" if rule.type is CellType.WHOLE else "decimal"
        error = f"{'A whole number' if kind == 'whole' else 'A number'}, {low} to {high}"
        return {"type": kind, "operator": "between", "formula1": low, "formula2": high, "error": error}
    return None


def _names(rule: Column, last_row: int) -> str:
    """Return the formula of the names that may stand there; empty when no sheet lists them."""
    if rule.type is CellType.LIST:
        return ""
    tables = load_schema().tables
    if rule.refers_to == "crop_cards":
        sheet, letter = CARDS, "A"
    elif rule.refers_to in tables:
        sheet, table = rule.refers_to, tables[rule.refers_to]
        letter = column_letters([column.name for column in table.columns].index(table.key) + 1)
    else:
        return ""
    column = f"{sheet}!${letter}$2:${letter}${last_row}"
    return f"OFFSET({sheet}!${letter}$2,0,0,MAX(1,COUNTA({column})),1)"


def note(rule: CellRule, units: Mapping[str, str]) -> str:
    """Return what to know of a column: its meaning, whether it may be blank, unit, limits, an example."""
    lines = [rule.description, _blank_line(rule)]
    unit = units.get(rule.unit, SHOWN_UNITS.get(rule.unit, rule.unit))
    if unit:
        lines.append(f"Unit: {as_read(unit)}")
    if rule.bounds:
        low, high = (format(float(bound), ".15g") for bound in rule.bounds)
        lines.append(f"Allowed: {low} to {high}")
    elif rule.choices:
        lines.append(f"Allowed: {listed(rule.choices, 'or')}")
    elif rule.type is CellType.YESNO:
        lines.append("Allowed: yes or no")
    if isinstance(rule, Column) and rule.refers_to in load_schema().tables:
        lines.append(f"A name from the sheet {rule.refers_to}")
    elif isinstance(rule, Column) and rule.refers_to == "crop_cards":
        lines.append(f"A card from the sheet {CARDS}")
    if rule.type is CellType.LIST:
        lines.append("Several with ; between")
    return "\n".join([*lines, f"Example: {rule.example}"])


def _blank_line(rule: CellRule) -> str:
    if rule.required:
        return "Must be filled."
    return f"Blank means {rule.default}." if rule.default else "May be blank."
