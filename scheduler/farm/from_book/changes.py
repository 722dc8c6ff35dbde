"""Changes to standing orders: a pause, a skipped delivery, another amount or a multiple of it."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.from_book.days import FOREVER, Season

ONE_DAY = ("skip", "times")
"""Changes that are for one day when they have no last one; the others go on without end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change: what, from first through last day, and the amount or the number of times."""

    row: Row
    kind: str
    first: int
    last: int
    amount: Fraction


def read_changes(book: Book, season: Season, log: FaultLog) -> dict[str, list[Change]]:
    """Return order name -> its changes, by first day, then as in the book."""
    changes: dict[str, list[Change]] = {}
    for row in book.rows("order_changes"):
        kind, amount = row.text("change"), row.number_or_none("amount")
        if kind == "amount" and amount is not None and amount.denominator != 1:
            log.add(row.cell("amount"), f"{float(amount):g} units", "whole units", "bad-number")
        first, last = days_of_change(row, season)
        change = Change(row=row, kind=kind, first=first, last=last, amount=amount or Fraction(0))
        changes.setdefault(row.text("order"), []).append(change)
    return {order: sorted(found, key=lambda change: change.first) for order, found in changes.items()}


def days_of_change(row: Row, season: Season) -> tuple[int, int]:
    """Return first and last day of a change of an order or of boxes."""
    first, end = season.day(row.date("from")), row.date_or_none("to")
    if end is not None:
        return first, season.day(end)
    return first, first if row.text("change") in ONE_DAY else FOREVER


def changed_amount(usual: int, changes: list[Change], day: int) -> int:
    """Return what is delivered on a day.

    That is 0 when skipped, else the latest amount, times every multiple of that day, rounded up.
    """
    amount = Fraction(usual)
    times = Fraction(1)
    for change in changes:
        if not change.first <= day <= change.last:
            continue
        if change.kind in ("skip", "pause"):
            return 0
        if change.kind == "amount":
            amount = change.amount
        else:
            times *= change.amount
    return ceil(amount * times)
