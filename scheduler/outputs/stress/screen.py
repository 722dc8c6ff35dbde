"""A replayed plan in the terminal, in 80 columns."""

from rich.console import Console
from rich.text import Text

from scheduler.outputs.limit.lines import Grid
from scheduler.outputs.screen import Column, Listed, bold, narrowed, print_listed
from scheduler.outputs.stress.lines import (
    assumptions,
    at_risk,
    deliveries_grid,
    head,
    lift_grid,
    lift_sentence,
    orders_grid,
    sentences,
)
from scheduler.outputs.words import plain
from scheduler.stress.lift import Lift
from scheduler.stress.risk import Risk

MOST_ROWS = 12
"""Rows of one table; the page has them all."""

WORDS = {"day", "order", "product", "delivery", "sow"}
"""Columns of text, which stand to the left."""


def print_risk(console: Console, risk: Risk, lift: Lift | None = None, wish: float = 0.0) -> None:
    """Print what a replayed plan comes to, and the extra sowing that was found."""
    narrowed(console).print(bold(plain(risk.farm.name)), highlight=False)
    for line in (head(risk), assumptions(risk), *sentences(risk)):
        console.print(Text(line), highlight=False)
    print_listed(console, _table(orders_grid(risk.orders), wide="product"))
    rows = at_risk(risk)
    if rows:
        title = "Deliveries the plan fills, least sure first"
        print_listed(console, _table(deliveries_grid(risk, rows, title), wide="product"))
    if lift is not None:
        if lift.lifted:
            print_listed(console, _table(lift_grid(risk, lift.lifted), wide="sow", most=40))
        console.print(Text(lift_sentence(risk, lift.lifted, wish)), highlight=False)


def _table(grid: Grid, wide: str, most: int = MOST_ROWS) -> Listed:
    columns = [
        Column(
            heading=heading,
            words=heading in WORDS,
            wide=heading == wide,
            wrapped=heading == "sow",
        )
        for heading in grid.headings
    ]
    return Listed(title=grid.title, columns=columns, rows=grid.rows, most=most)
