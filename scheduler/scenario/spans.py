"""Rows that hold from one day to another, changed from days in between: each part becomes a row of its own.

Several changes of one number multiply and are rounded once, so that their order does not matter.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import prod

from scheduler.scenario.scenario import Change
from scheduler.scenario.tables import Line, Tables

DAY = timedelta(days=1)
SERVICE = ("first_day", "last_day")
"""Columns of the days on which a shelf, trough or bed is in service."""

Cells = Mapping[str, str]
Amounts = Callable[[Line, Sequence[Change]], Mapping[str, tuple[str, str]]]
"""The row and the changes that hold -> column -> its new text, and the key that asks for it."""


def times(changes: Sequence[Change], key: str = "percent") -> Fraction:
    """Return how many times as much several changes by so many percent come to."""
    return prod((1 + (change.number(key) or Fraction(0)) / 100 for change in changes), start=Fraction(1))


def changed_from(
    tables: Tables, line: Line, changes: Sequence[Change], amounts: Amounts, keys: Cells | None = None
) -> None:
    """Change numbers of a row from the day of each change on; the row is split where one falls inside it.

    Args:
        tables: the tables.
        line: a row with columns ``from`` and ``to``.
        changes: those that are for it.
        amounts: what is written.
        keys: column -> key that is told of the other cells of a part, where it is called otherwise.
    """
    first = tables.first_day
    begins, ends = line.day("from"), line.day("to")
    whole = Line(table=line.table, number=line.number, cells=dict(line.cells))
    _write(tables, line, _held(changes, max(begins or first, first)), amounts)
    cuts = _cuts(changes, max(begins or first, first), ends)
    if not cuts:
        return
    tables.write(line, "to", (cuts[0] - DAY).isoformat(), changes[0].at("from"))
    for day, after in zip(cuts, [*cuts[1:], None], strict=True):
        held = _held(changes, day)
        last = (after - DAY).isoformat() if after else whole.cells.get("to", "")
        found = amounts(whole, held)
        cells = whole.cells | {"from": day.isoformat(), "to": last}
        cells |= {column: text for column, (text, _) in found.items()}
        told = {"to": "from"} | dict(keys or {}) | {column: key for column, (_, key) in found.items()}
        tables.add(line.table, cells, held[-1], told)


def _cuts(changes: Sequence[Change], begins: date, ends: date | None) -> list[date]:
    """Return the days on which a change begins inside a row, first to last."""
    days = sorted({change.start for change in changes if change.start and change.start > begins})
    return [day for day in days if ends is None or day <= ends]


def _held(changes: Sequence[Change], day: date) -> list[Change]:
    """Return the changes that hold on a day."""
    return [change for change in changes if change.start is None or change.start <= day]


def _write(tables: Tables, line: Line, held: Sequence[Change], amounts: Amounts) -> None:
    if held:
        for column, (text, key) in amounts(line, held).items():
            tables.write(line, column, text, held[0].at(key))


def ended(tables: Tables, line: Line, change: Change, columns: tuple[str, str] = ("from", "to")) -> bool:
    """End a row on the day before a change, and take it out where it never begins.

    ``columns`` are those of its first and its last day. Return whether it was taken out.
    """
    first, last = columns
    opens = max(line.day(first) or tables.first_day, tables.first_day)
    if change.start is None or change.start <= opens:
        tables.drop([line])
        return True
    until = line.day(last)
    if until is None or until >= change.start:
        tables.write(line, last, (change.start - DAY).isoformat(), change.at("from"))
    return False
