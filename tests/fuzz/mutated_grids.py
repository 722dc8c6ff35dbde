"""Mutations of whole columns, rows and sheets."""

from random import Random

from fuzz.base_books import Tables
from fuzz.mutated_cells import ODD_TEXTS
from fuzz.spots import (
    SCHEMA,
    Touch,
    any_filled_table,
    touched,
)

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
