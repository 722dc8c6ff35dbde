"""A replayed plan in the terminal, in 80 columns."""

from rich.console import Console
from rich.text import Text

from scheduler.outputs.limit.lines import Grid
from scheduler.outputs.screen import Column, Listed, heading, narrowed, print_listed
from scheduler.outputs.stress.lines import (
    TRIED,
    assumptions,
    at_risk,
    deliveries_grid,
    head,
    lift_grid,
    lift_sentence,
    orders_grids,
    sentences,
)
from scheduler.outputs.words import plain
from scheduler.stress.lift import Lift
from scheduler.stress.risk import Risk

MOST_ROWS = 12
"""Rows of one table; the page has them all."""

WORDS = {"day", "order", "for", "product", "delivery", "sow"}
"""Columns of text, which stand to the left."""

NAMES = WORDS - {"day"}
"""Columns of names, which go on in the next line where they are long."""

MOST_SOWINGS = 40


MORE_SOWING = "--chance 95 looks for extra sowing that makes firm deliveries so sure; --order names which."


def print_risk(console: Console, risk: Risk, lift: Lift | None = None, wish: float = 0.0) -> None:
    """Print what a replayed plan comes to, and the extra sowing that was found."""
    narrowed(console).print(heading(plain(risk.farm.name)), highlight=False)
    for line in (head(risk), TRIED, assumptions(risk), "", *sentences(risk)):
        _say(console, line)
    for grid in orders_grids(risk.orders):
        _print_grid(console, grid)
    rows = at_risk(risk)
    if rows:
        _print_grid(console, deliveries_grid(risk, rows, "Deliveries the plan fills, least sure first"))
    if lift is None and any(each.demand.firm for each in rows):
        _say(console, MORE_SOWING)
    if lift is not None:
        if lift.lifted:
            _print_grid(console, lift_grid(risk, lift.lifted), most=MOST_SOWINGS)
        _say(console, lift_sentence(risk, lift.lifted, wish))


def _say(console: Console, line: str) -> None:
    console.print(Text(line), highlight=False)


def _print_grid(console: Console, grid: Grid, most: int = MOST_ROWS) -> None:
    """Print a table and below it how it is read."""
    columns = [
        Column(
            heading=heading,
            words=heading in WORDS,
            wide=heading in WIDE,
            wrapped=heading in NAMES,
            widest=CODE if heading == "order" else None,
        )
        for heading in grid.headings
    ]
    print_listed(console, Listed(title=grid.title, columns=columns, rows=grid.rows, most=most))
    if grid.note:
        _say(console, grid.note)


CODE = 12
"""Letters of an order's name before it goes on in the next line."""

WIDE = {"for", "product", "delivery", "sow"}
"""Columns that share what width the others leave."""
