"""Mutations of sizes, dates and units."""

from datetime import date, timedelta
from random import Random

from fuzz.base_books import Tables
from fuzz.spots import (
    Touch,
    any_filled_table,
    put,
    spots,
    text_of,
    touched,
)

from scheduler.book.schema import CellType

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
