"""What may stand round the name of a column in its heading: a star, a unit in brackets, or a whole remark.

``width``, ``width (ft)`` and ``width* (ft)`` are one heading. A heading that is brackets alone, such as
``(my remarks)``, makes a column that is not read.
"""

import re
from collections.abc import Mapping
from dataclasses import replace

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import plain
from scheduler.book.place import Cell
from scheduler.book.raw import RawBook, RawRow, RawTable
from scheduler.book.schema import CellRule, load_schema
from scheduler.book.words import as_read

DECORATED = re.compile(r"(?P<name>[^()]*?)\s*\*?\s*(?:\((?P<unit>[^()]*)\))?\s*\*?", re.DOTALL)
REMARK = re.compile(r"\(.*\)", re.DOTALL)

ALSO = {
    "percent": ("%",),
    "min": ("minutes",),
    "hours": ("h",),
    "days": ("d",),
    "mass": ("mass",),
    "\N{DEGREE SIGN}C": ("c",),
}
"""Other ways to write a unit."""

OWN_UNITS = {"length": "length_unit", "mass": "mass_unit"}
"""Kinds of unit that a book has one of for all its tables, and the setting that names it."""


def bare_name(heading: str) -> str:
    """Return the name alone: ``width* (ft)`` is ``width``; a remark has none."""
    if is_remark(heading):
        return ""
    match = DECORATED.fullmatch(heading.strip())
    return match["name"] if match else heading


def is_remark(heading: str) -> bool:
    """Say whether a heading is brackets alone."""
    return REMARK.fullmatch(heading.strip()) is not None


def heading_of(rule: CellRule, units: Mapping[str, str]) -> str:
    """Return a heading as a workbook shows it: name, star when required, unit when the name lacks it.

    ``units`` says what stands for ``length``, ``mass`` and ``money`` in this book.
    """
    unit = units.get(rule.unit, rule.unit)
    words = rule.name.split("_")
    told = {unit, unit.removesuffix("s"), unit + "s", "minutes" if unit == "min" else unit}
    shown = unit if unit not in PLAIN_UNITS and not told.intersection(words) else ""
    return " ".join(words) + ("*" if rule.required else "") + (f" ({as_read(shown)})" if shown else "")


PLAIN_UNITS = ("", "count", "rank", "pace", "holes", "rows", "cuts")
"""Units that say no more than the name of their column."""


def undecorated(raw: RawBook, log: FaultLog) -> RawBook:
    """Return a book whose headings are names alone and whose remarks are blank; wrong units go to the log."""
    own = {kind: _OwnUnit(raw, kind) for kind in OWN_UNITS}
    return replace(raw, tables={name: _undecorated(table, own, log) for name, table in raw.tables.items()})


def _undecorated(table: RawTable, own: Mapping[str, "_OwnUnit"], log: FaultLog) -> RawTable:
    rules = {plain(column.name): column for column in load_schema().tables[table.name].columns}
    names: list[str] = []
    remarks: set[int] = set()
    for number, heading in enumerate(table.heading.cells, start=1):
        name = bare_name(heading)
        rule = rules.get(plain(name))
        match = DECORATED.fullmatch(heading)
        if is_remark(heading):
            remarks.add(number)
        elif rule and match and match["unit"] is not None:
            cell = Cell(table.name, table.heading.number, number)
            _check_unit(match["unit"].strip(), rule, cell, own.get(rule.unit), log)
        names.append(name)
    return replace(
        table,
        heading=replace(table.heading, cells=tuple(names)),
        rows=tuple(_without(row, remarks) for row in table.rows) if remarks else table.rows,
    )


def _without(row: RawRow, remarks: set[int]) -> RawRow:
    cells = (text if number not in remarks else "" for number, text in enumerate(row.cells, start=1))
    return replace(row, cells=tuple(cells))


def _check_unit(unit: str, rule: CellRule, cell: Cell, own: "_OwnUnit | None", log: FaultLog) -> None:
    if rule.unit == "money":
        return  # amounts are never converted, whatever their currency is called
    right = own.unit if own else rule.unit
    if unit.casefold() in (right.casefold(), as_read(right).casefold(), *ALSO.get(rule.unit, ())):
        return
    expected = f"'{as_read(right)}'" if right else "nothing in brackets"
    if own:
        expected += f", {own.reason}"
    log.add(cell, f"{quoted(unit)} as the unit of {rule.name}", expected, "wrong-unit")


class _OwnUnit:
    """The unit of length or mass a book says it uses."""

    def __init__(self, raw: RawBook, kind: str) -> None:
        rule = load_schema().settings[OWN_UNITS[kind]]
        self.unit, self.reason = rule.default, "the unit when settings name none"
        table = raw.tables.get("settings")
        if table is None:
            return
        columns = [plain(bare_name(heading)) for heading in table.heading.cells]
        if "setting" not in columns or "value" not in columns:
            return
        name, value = columns.index("setting") + 1, columns.index("value") + 1
        for row in table.rows:
            if plain(row.cell(name)) == rule.name and row.cell(value):
                cell = Cell(table.name, row.number, value)
                self.unit, self.reason = row.cell(value), f"the {kind} unit of the book ({cell})"
