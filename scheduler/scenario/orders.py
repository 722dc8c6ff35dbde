"""Orders, single deliveries and targets that change by so many percent from a day on.

Several changes of one amount multiply and are rounded up once, so that their order does not matter.
"""

from collections.abc import Sequence
from datetime import timedelta
from math import ceil

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import changed_from, times
from scheduler.scenario.tables import Line, Tables, said

PAST_THE_PLAN = 365
"""Days past the last week to which a change of an order runs: longer than anything is planned ahead."""


def change_orders(tables: Tables, changes: Sequence[Change]) -> None:
    """Make all changes of orders at once."""
    for change in changes:
        _check_customers(tables, change)
        _standing(tables, change)
    for line in tables.lines("deliveries"):
        _delivery(tables, line, [change for change in changes if _is_for(change, line)])
    for line in tables.lines("targets"):
        found = [change for change in changes if not change.words("customer") and _is_for(change, line)]
        _target(tables, line, found)


def _check_customers(tables: Tables, change: Change) -> None:
    known = {line.text("customer") for table in ("orders", "deliveries") for line in tables.lines(table)}
    for customer in change.words("customer"):
        if said(customer) not in known:
            listed = ", ".join(f"'{name}'" for name in sorted(known))
            expected = f"one of {listed}" if known else "no customer: the book has none"
            tables.log.add(change.at("customer"), f"'{customer}'", expected, "unknown-name")


def _standing(tables: Tables, change: Change) -> None:
    """Let standing orders be so many times their usual amount from the day on."""
    first = tables.first_day
    end = first + timedelta(weeks=int(tables.setting("weeks")), days=PAST_THE_PLAN)
    for line in tables.lines("orders"):
        if _is_for(change, line):
            cells = {
                "order": line.text("order"),
                "from": max(change.start or first, first).isoformat(),
                "to": end.isoformat(),
                "change": "times",
                "amount": decimal_text(times([change])),
            }
            keys = {"to": "from", "amount": "percent"}
            tables.add("order_changes", cells, change, keys)


def _delivery(tables: Tables, line: Line, changes: Sequence[Change]) -> None:
    day = line.day("date")
    held = [change for change in changes if change.start is None or (day and day >= change.start)]
    if held:
        tables.write(line, "amount", _amount(line, held), held[0].at("percent"))


def _target(tables: Tables, line: Line, changes: Sequence[Change]) -> None:
    """Split a target where its amount changes; the parts keep its name, or the one it would be given."""
    if changes and not line.text("target"):
        tables.write(line, "target", f"Target {line.number - 1}", changes[0].at("percent"))
    changed_from(
        tables,
        line,
        changes,
        lambda of, held: {"amount": (_amount(of, held), "percent")},
        {"target": "product"},
    )


def _amount(line: Line, changes: Sequence[Change]) -> str:
    return str(ceil(line.number_of("amount") * times(changes)))


def _is_for(change: Change, line: Line) -> bool:
    """Say whether a change is for an order, a delivery or a target."""
    customers = {said(name) for name in change.words("customer")}
    products = {said(name) for name in change.words("product")}
    return (not products or line.text("product") in products) and (
        not customers or line.text("customer") in customers
    )
