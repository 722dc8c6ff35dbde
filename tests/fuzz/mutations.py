"""Ways to mutate the tables of a sound book, by kind; each says which tables it touched, and what it spoilt.

A mutation is a function ``(draw, tables) -> Touch | None``; None when the book has nothing it could act on.
It changes the tables in place. A mutation that spoils a cell makes one that no book may have there, so that
the check has to name that very cell.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from fuzz.base_books import Tables

from scheduler.book.place import Cell
from scheduler.book.schema import CellRule, CellType, Column, load_schema

SCHEMA = load_schema()


@dataclass(frozen=True, kw_only=True)
class Touch:
    """What a mutation did: the tables it touched, and the cell it spoilt for certain, if any."""

    tables: frozenset[str]
    spoilt: Cell | None = None


Mutation = Callable[[Random, Tables], Touch | None]


@dataclass(frozen=True, kw_only=True)
class Spot:
    """One cell of a table, with the rule of what it may hold; rows and columns from 0, row 0 the heading."""

    table: str
    row: int
    column: int
    rule: CellRule

    @property
    def cell(self) -> Cell:
        return Cell(self.table, self.row + 1, self.column + 1)


def touched(table: str, spoilt: Cell | None = None) -> Touch:
    return Touch(tables=frozenset({table}), spoilt=spoilt)


def rule_at(table: str, heading: list[str], row: list[str], column: int) -> CellRule | None:
    """Return the rule of a cell; that of a setting stands behind its name."""
    if table not in SCHEMA.tables or column >= len(heading):
        return None
    if table == "settings":
        return SCHEMA.settings.get(row[0]) if column == 1 else None
    return next((each for each in SCHEMA.tables[table].columns if each.name == heading[column]), None)


def spots(tables: Tables, *types: CellType, filled: bool = False) -> list[Spot]:
    """Return the cells of some types, or all; those of beyond the heading have none."""
    found = []
    for table, grid in tables.items():
        for number, row in enumerate(grid[1:], start=1):
            for column, text in enumerate(row):
                rule = rule_at(table, grid[0], row, column)
                if rule and (not types or rule.type in types) and (text or not filled):
                    found.append(Spot(table=table, row=number, column=column, rule=rule))
    return found


def put(tables: Tables, spot: Spot, text: str) -> None:
    tables[spot.table][spot.row][spot.column] = text


def text_of(tables: Tables, spot: Spot) -> str:
    return tables[spot.table][spot.row][spot.column]


def any_filled_table(draw: Random, tables: Tables) -> str | None:
    filled = sorted(table for table, grid in tables.items() if len(grid) > 1 and grid[0])
    return draw.choice(filled) if filled else None


# --- cells ----------------------------------------------------------------------------------------

ODD_TEXTS = (
    "", " ", "x", "0", "-1", "1", "2", "1.5", "999", "1000000", "99999999999999", ".5", "5.", "+3", "-0",
    "yes", "no", "TRUE", "Mon", "Mon-Fri", "daily", "all", "2026-03-09", "2026-03-31", "2199-12-31", "=1+1",
    "@home", "'x", "a;b;c", ";", ";;", "a,b", '"', '""', "a\nb", "\u00e9", "e\u0301", "\u202bשלום", "🥬",
    "\ufeff", "\u200b", "\u00a0", "漢字", "\x1b[31m", "\x00", "_x0041_", "#REF!", "None", "nan", "%s", "{0}",
    "<b>", "&amp;", "..", "C:\\x", "Butterhead", "Basil", "Harbour Table", "North trough", "A" * 900,
    "FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO;COUNT=3", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "FREQ=SECONDLY",
)  # fmt: skip
NO_NUMBERS = (
    "abc",
    "1,5",
    "12 kg",
    "1e5",
    "--3",
    "NaN",
    "inf",
    "٣",
    "1.2.3",
    "0x1F",
    "1_000",
    "½",
    "12:30",
    "1/2",
)
NO_DATES = (
    "2026-02-30", "31.12.2026", "3/9/26", "tomorrow", "46118", "2026-3-2", "1850-01-01", "9999-12-31",
    "2026-03-02T00:00", "2026-00-10", "20260302", "2026-W10", "Mar 2",
)  # fmt: skip
NO_WEEKDAYS = ("Someday", "Mon-Wed-Fri", "8", "Mon Thx", "-", "Mon--Tue")


def any_text(draw: Random, tables: Tables) -> Touch | None:
    """Put any text into any cell."""
    found = spots(tables)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, draw.choice(ODD_TEXTS))
    return touched(spot.table)


def spoil_cell(draw: Random, tables: Tables) -> Touch | None:
    """Put into a cell what it may never hold."""
    found = [spot for spot in spots(tables) if _never(spot.rule)]
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, draw.choice(_never(spot.rule)))
    return touched(spot.table, spot.cell)


def _never(rule: CellRule) -> tuple[str, ...]:
    """Return texts that no cell of a rule may hold; none where any text may stand."""
    if rule.type in (CellType.WHOLE, CellType.NUMBER):
        beyond = () if rule.bounds is None else (f"{int(rule.bounds[1]) + 1}", f"{int(rule.bounds[0]) - 1}")
        return (*NO_NUMBERS, *beyond, *(("1.5",) if rule.type is CellType.WHOLE else ()))
    if rule.type is CellType.DATE:
        return NO_DATES
    if rule.type is CellType.WEEKDAYS:
        return NO_WEEKDAYS
    if rule.type in (CellType.CHOICE, CellType.YESNO) or rule.choices:
        return ("xyzzy", "-", "yes and no", "1;2")
    if isinstance(rule, Column) and rule.refers_to in SCHEMA.tables and rule.type is CellType.TEXT:
        return ("No such thing", "xyzzy")
    return ("A" * 1001,)


def blank_cell(draw: Random, tables: Tables) -> Touch | None:
    """Blank a cell; one that must be filled is spoilt by it, unless its row is blank then."""
    found = spots(tables, filled=True)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, "")
    row = tables[spot.table][spot.row]
    certain = spot.rule.required and not spot.rule.default and any(row) and spot.table != "settings"
    return touched(spot.table, spot.cell if certain else None)


def other_choice(draw: Random, tables: Tables) -> Touch | None:
    """Choose another of the words that may stand in a cell."""
    found = [spot for spot in spots(tables, CellType.CHOICE, CellType.YESNO, CellType.WEEKDAYS)]
    if not found:
        return None
    spot = draw.choice(found)
    if spot.rule.type is CellType.WEEKDAYS:
        text = draw.choice(("Mon", "Tue Fri", "daily", "Mon-Sat", "Sun", "Wednesday, Thursday", "fri to mon"))
    else:
        text = draw.choice(spot.rule.choices or ("yes", "no", "TRUE", "False"))
    put(tables, spot, draw.choice((text, text.upper(), f" {text} ")))
    return touched(spot.table)


# --- names ----------------------------------------------------------------------------------------


def rename_key(draw: Random, tables: Tables) -> Touch | None:
    """Rename what others may refer to, in its own table alone."""
    found = [spot for spot in spots(tables, CellType.TEXT, filled=True) if _refers(spot.rule) == "key"]
    if not found:
        return None
    spot = draw.choice(found)
    old = text_of(tables, spot)
    put(
        tables,
        spot,
        draw.choice((old + "x", old.upper(), old.lower(), f"{old}  1", old[:1], old.replace(" ", "-"))),
    )
    return touched(spot.table)


def rename_everywhere(draw: Random, tables: Tables) -> Touch | None:
    """Give a thing another name wherever it stands: long, of other letters, or like a formula."""
    found = [spot for spot in spots(tables, CellType.TEXT, filled=True) if _refers(spot.rule) == "key"]
    if not found:
        return None
    old = text_of(tables, draw.choice(found))
    new = draw.choice(
        ("Zoë's 漢字 🥬", "=SUM(A1)", "n" * 200, "a/b\\c:d", "<i>x</i> & y", "-5", "[red]x[/red]", "%d {}")
    )
    hit = set()
    for spot in spots(tables, CellType.TEXT, CellType.LIST, filled=True):
        parts = [part.strip() for part in text_of(tables, spot).split(";")]
        if old in parts:
            put(tables, spot, ";".join(new if part == old else part for part in parts))
            hit.add(spot.table)
    return Touch(tables=frozenset(hit))


def other_name(draw: Random, tables: Tables) -> Touch | None:
    """Refer to another thing of the book, of the right kind or not."""
    found = [
        spot for spot in spots(tables, CellType.TEXT, CellType.LIST) if _refers(spot.rule) not in ("", "key")
    ]
    names = [
        text_of(tables, spot) for spot in spots(tables, CellType.TEXT, filled=True) if _refers(spot.rule)
    ]
    if not found or not names:
        return None
    spot = draw.choice(found)
    fits = [
        tables[spot.table][row][spot.column]
        for row in range(1, len(tables[spot.table]))
        if spot.column < len(tables[spot.table][row])
    ]
    put(tables, spot, draw.choice((draw.choice(names), draw.choice(fits), draw.choice(fits).swapcase())))
    return touched(spot.table)


def _refers(rule: CellRule) -> str:
    return rule.refers_to if isinstance(rule, Column) else ""


# --- columns --------------------------------------------------------------------------------------


def drop_column(draw: Random, tables: Tables) -> Touch | None:
    """Leave a column out."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    column = draw.randrange(len(tables[table][0]))
    for row in tables[table]:
        del row[column : column + 1]
    return touched(table)


def double_column(draw: Random, tables: Tables) -> Touch | None:
    """Give a column twice."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    column, at = draw.randrange(len(tables[table][0])), draw.randrange(len(tables[table][0]) + 1)
    for row in tables[table]:
        row.insert(at, row[column] if column < len(row) else "")
    return touched(table)


def odd_heading(draw: Random, tables: Tables) -> Touch | None:
    """Write a heading otherwise: misspelt, in capitals, with a unit or a star, blank, or as a remark."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    heading = tables[table][0]
    column = draw.randrange(len(heading))
    old = heading[column]
    forms = (
        old + "x", old[:-1], old.upper(), f" {old} ", old.replace("_", " "), f"{old}* (ft)", f"({old})",
        "", "(", "x" * 300, "note", f"{old}\n(m)", "first_day", "ş",
    )  # fmt: skip
    heading[column] = draw.choice(forms)
    return touched(table)


def new_column(draw: Random, tables: Tables) -> Touch | None:
    """Add a column: of remarks, of a name no table has, or one the table may have and did not."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    unused = [each for each in SCHEMA.tables[table].columns if each.name not in tables[table][0]]
    heading, text = draw.choice((("(my remarks)", "look here"), ("colour", "red"), ("", "stray"), ("", "")))
    if unused and draw.random() < 0.7:
        column = draw.choice(unused)
        heading, text = column.name, draw.choice((column.example, column.example, "", *ODD_TEXTS))
    at = draw.randrange(len(tables[table][0]) + 1)
    for number, row in enumerate(tables[table]):
        row.insert(at, text if number else heading)
    return touched(table)


def shuffle_columns(draw: Random, tables: Tables) -> Touch | None:
    """Put the columns of a table into another order."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    width = max(len(row) for row in tables[table])
    order = draw.sample(range(width), width)
    for row in tables[table]:
        row[:] = [row[at] if at < len(row) else "" for at in order]
    return touched(table)


# --- rows -----------------------------------------------------------------------------------------


def drop_row(draw: Random, tables: Tables) -> Touch | None:
    """Leave a row out, the heading too."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    del tables[table][0 if draw.random() < 0.05 else draw.randrange(1, len(tables[table]))]
    return touched(table)


def double_row(draw: Random, tables: Tables) -> Touch | None:
    """Give a row twice, or many times."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    row = draw.choice(tables[table][1:])
    tables[table] += [list(row) for _ in range(draw.choice((1, 1, 1, 2, 40)))]
    return touched(table)


def shuffle_rows(draw: Random, tables: Tables) -> Touch | None:
    """Put the rows of a table into another order."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    rows = tables[table][1:]
    draw.shuffle(rows)
    tables[table][1:] = rows
    return touched(table)


def ragged_row(draw: Random, tables: Tables) -> Touch | None:
    """Cut a row short, or give it cells beyond the heading."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    row = draw.choice(tables[table])
    if draw.random() < 0.5:
        del row[draw.randrange(len(row) + 1) :]
    else:
        row += [draw.choice(("", "x", "5"))] * draw.choice((1, 2, 30))
    return touched(table)


def blank_rows(draw: Random, tables: Tables) -> Touch | None:
    """Put blank rows between others, or above the heading."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    at = 0 if draw.random() < 0.1 else draw.randrange(1, len(tables[table]) + 1)
    width = len(tables[table][0])
    tables[table][at:at] = [[""] * width for _ in range(draw.choice((1, 3)))]
    return touched(table)


# --- sheets ---------------------------------------------------------------------------------------


def drop_sheet(draw: Random, tables: Tables) -> Touch | None:
    """Leave a table out."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    del tables[table]
    return touched(table)


def empty_sheet(draw: Random, tables: Tables) -> Touch | None:
    """Leave nothing of a table, or its heading alone."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    tables[table] = draw.choice(([], tables[table][:1], [[]], [[""]], [["", ""], ["", "x"]]))
    return touched(table)


def rename_sheet(draw: Random, tables: Tables) -> Touch | None:
    """Give a table another name, or one of the book's it is not."""
    table = any_filled_table(draw, tables)
    if table is None:
        return None
    name = draw.choice((table[:-1], table.upper(), table.replace("_", " "), "notes", "x y", "orders", "pace"))
    if name != table:
        tables[name] = tables.pop(table)
    return Touch(tables=frozenset({table, name}))


def swap_sheets(draw: Random, tables: Tables) -> Touch | None:
    """Put the rows of one table under the name of another."""
    first, second = any_filled_table(draw, tables), any_filled_table(draw, tables)
    if first is None or second is None:
        return None
    tables[first], tables[second] = tables[second], tables[first]
    return Touch(tables=frozenset({first, second}))


def new_sheet(draw: Random, tables: Tables) -> Touch | None:
    """Add a table the book did not have, made of the examples in the schema."""
    unused = sorted(set(SCHEMA.tables) - set(tables))
    if not unused:
        return None
    table = draw.choice(unused)
    columns = [c for c in SCHEMA.tables[table].columns if c.required or draw.random() < 0.7]
    tables[table] = [[c.name for c in columns], [c.example for c in columns]]
    return touched(table)


# --- sizes ----------------------------------------------------------------------------------------


def other_size(draw: Random, tables: Tables) -> Touch | None:
    """Make a number larger or smaller, up to the limits of its column."""
    found = spots(tables, CellType.WHOLE, CellType.NUMBER)
    if not found:
        return None
    spot = draw.choice(found)
    low, high = spot.rule.bounds or (0, 10**6)
    try:
        old = float(text_of(tables, spot) or 1)
    except ValueError:
        old = 1.0
    sizes = [low, high, old * 2, old / 2, old + 1, old - 1, old * 10, 0, 1, 2, old * 1.01]
    size = min(max(draw.choice(sizes), low), high)
    if spot.rule.name == "weeks":
        size = min(size, 12)  # a season of years is no other path, and takes its time
    whole = spot.rule.type is CellType.WHOLE
    put(tables, spot, str(int(size)) if whole else f"{float(size):.6f}".rstrip("0"))
    return touched(spot.table)


def many_rows(draw: Random, tables: Tables) -> Touch | None:
    """Give a table hundreds of rows, each with a name of its own."""
    table = any_filled_table(draw, tables)
    if table is None or table == "settings":
        return None
    row, number = draw.choice(tables[table][1:]), draw.choice((100, 400))
    tables[table] += [
        [f"{cell} {each}" if at == 0 else cell for at, cell in enumerate(row)] for each in range(number)
    ]
    return touched(table)


def long_text(draw: Random, tables: Tables) -> Touch | None:
    """Put a very long text into a cell."""
    found = spots(tables, CellType.TEXT)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, draw.choice(("word " * 180, "w" * 999, "w" * 5000, "漢" * 40_000)))
    return touched(spot.table)


# --- dates ----------------------------------------------------------------------------------------


def other_date(draw: Random, tables: Tables) -> Touch | None:
    """Move one date by days, months or years."""
    found = spots(tables, CellType.DATE)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, _moved(text_of(tables, spot), _any_shift(draw)))
    return touched(spot.table)


def all_dates(draw: Random, tables: Tables) -> Touch | None:
    """Move all dates of one table, or the first day of the plan, by as many days."""
    found = spots(tables, CellType.DATE, filled=True)
    if not found:
        return None
    table, shift = draw.choice(found).table, _any_shift(draw)
    for spot in found:
        if spot.table == table:
            put(tables, spot, _moved(text_of(tables, spot), shift))
    return touched(table)


def swap_dates(draw: Random, tables: Tables) -> Touch | None:
    """Change two dates of a row for each other."""
    found = spots(tables, CellType.DATE)
    pairs = [
        (a, b) for a in found for b in found if (a.table, a.row) == (b.table, b.row) and a.column < b.column
    ]
    if not pairs:
        return None
    one, other = draw.choice(pairs)
    first, second = text_of(tables, one), text_of(tables, other)
    put(tables, one, second)
    put(tables, other, first)
    return touched(one.table)


def _any_shift(draw: Random) -> int:
    return draw.choice((1, -1, 2, 3, 7, -7, 10, -30, 60, 364, -365, 10_000))


def _moved(text: str, days: int) -> str:
    try:
        return (date.fromisoformat(text or "2026-03-09") + timedelta(days=days)).isoformat()
    except (ValueError, OverflowError):
        return "2026-03-09"


# --- units ----------------------------------------------------------------------------------------


def other_units(draw: Random, tables: Tables) -> Touch | None:
    """Change the unit of length or mass of the book and nothing else."""
    found = [spot for spot in spots(tables) if spot.table == "settings" and spot.rule.name in UNITS]
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, draw.choice(UNITS[spot.rule.name]))
    return touched("settings")


UNITS = {
    "length_unit": ("ft", "m", "cm", "FT"),
    "mass_unit": ("lb", "kg", "g", "LB"),
    "currency": ("", "€", "USD"),
}


def unit_in_cell(draw: Random, tables: Tables) -> Touch | None:
    """Write the unit into the cell; no number may have one."""
    found = spots(tables, CellType.WHOLE, CellType.NUMBER, filled=True)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, text_of(tables, spot) + draw.choice((" ft", "m", " kg", " %", "'", " EUR", " days")))
    return touched(spot.table, spot.cell)


def unit_in_heading(draw: Random, tables: Tables) -> Touch | None:
    """Write a unit into a heading, the right one or another."""
    table = any_filled_table(draw, tables)
    if table is None or table == "settings":
        return None
    column = draw.randrange(len(tables[table][0]))
    tables[table][0][column] += draw.choice(
        (" (m)", " (ft)", " (kg)", "* (lb)", " (EUR)", " (%)", " (days)", "*", "()")
    )
    return touched(table)


KINDS: dict[str, tuple[Mutation, ...]] = {
    "cells": (any_text, any_text, spoil_cell, spoil_cell, blank_cell, other_choice),
    "names": (rename_key, rename_everywhere, other_name),
    "columns": (drop_column, double_column, odd_heading, new_column, new_column, shuffle_columns),
    "rows": (drop_row, double_row, shuffle_rows, ragged_row, blank_rows),
    "sheets": (drop_sheet, empty_sheet, rename_sheet, swap_sheets, new_sheet),
    "sizes": (other_size, other_size, other_size, many_rows, long_text),
    "dates": (other_date, other_date, all_dates, swap_dates),
    "units": (other_units, unit_in_cell, unit_in_heading),
}
