"""A replayed plan in the terminal, in 80 columns."""

from rich.console import Console
from rich.table import Table
from rich.text import Text

from scheduler.outputs.limit.lines import Grid
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
from scheduler.plan.words import worth_listing
from scheduler.stress.lift import Lift
from scheduler.stress.risk import Risk

WIDTH = 80
MOST_ROWS = 12
"""Rows of one table; the page has them all."""

WORDS = {"order", "product", "delivery", "sow"}
"""Columns of text, which stand to the left."""


def print_risk(console: Console, risk: Risk, lift: Lift | None = None, wish: float = 0.0) -> None:
    """Print what a replayed plan comes to, and the extra sowing that was found."""
    console.width = min(WIDTH, console.width) if console.is_terminal else WIDTH
    console.print(Text(plain(risk.farm.name), style="bold"), highlight=False)
    for line in (head(risk), assumptions(risk), *sentences(risk)):
        console.print(Text(line), highlight=False)
    console.print(_table(orders_grid(risk.orders), wide="product"), highlight=False)
    rows = at_risk(risk)
    if rows:
        title = "Deliveries the plan fills, least sure first"
        console.print(_table(deliveries_grid(risk, rows, title), wide="product"), highlight=False)
    if lift is not None:
        if lift.lifted:
            console.print(_table(lift_grid(risk, lift.lifted), wide="sow", most=40), highlight=False)
        console.print(Text(lift_sentence(risk, lift.lifted, wish)), highlight=False)


def _table(grid: Grid, wide: str, most: int = MOST_ROWS) -> Table:
    table = Table(
        title=Text(grid.title),
        title_justify="left",
        title_style="bold",
        box=None,
        expand=True,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    for heading in grid.headings:
        table.add_column(
            Text(heading),
            ratio=1 if heading == wide else None,
            justify="left" if heading in WORDS or heading == "day" else "right",
            no_wrap=heading != "sow",
            overflow="ellipsis" if heading in WORDS - {"sow"} else "fold",
        )
    shown = worth_listing(len(grid.rows), most)
    for row in grid.rows[:shown]:
        table.add_row(*(Text(cell) for cell in row))
    if shown < len(grid.rows):
        table.add_row(Text(f"and {len(grid.rows) - shown} more"))
    return table
