"""A limit in the terminal, in 80 columns."""

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.limit.lines import (
    Grid,
    frontier_grid,
    frontier_sentences,
    grids,
    head,
    sentences,
)
from scheduler.outputs.words import plain
from scheduler.plan.capacity import Frontier, Limit
from scheduler.plan.words import worth_listing

WIDTH = 80
MOST_ROWS = 10
"""Rows of one table; the page has them all."""


def print_limit(
    console: Console, farm: Farm, limit: Limit, asked: str, frontiers: Sequence[Frontier] = ()
) -> None:
    """Print a limit; ``asked`` says what the mix is."""
    console.width = min(WIDTH, console.width) if console.is_terminal else WIDTH
    console.print(Text(plain(farm.name), style="bold"), highlight=False)
    console.print(Text(plain(head(farm, limit, asked))), highlight=False)
    for grid in grids(limit):
        console.print(_table(grid), highlight=False)
    for sentence in sentences(limit):
        console.print(Text(sentence), highlight=False)
    for frontier in frontiers:
        console.print(_table(frontier_grid(frontier, _told(frontier))), highlight=False)
        for sentence in frontier_sentences(frontier):
            console.print(Text(sentence), highlight=False)


def _told(frontier: Frontier) -> set[int]:
    """Return the numbers of a frontier that a screen has room for: its ends, its bends, and what there is."""
    bends = {bend.number for bend in frontier.bends}
    numbers = [point.number for point in frontier.points]
    told = {numbers[0], frontier.now, numbers[-1], *bends}
    found = [point.number for point in frontier.points if point.whole is not None]
    return told | set(found)


def _table(grid: Grid) -> Table:
    table = Table(
        title=Text(grid.title),
        title_justify="left",
        title_style="bold",
        box=None,
        expand=True,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    last = len(grid.headings) - 1
    words = any(" " in row[last] and not row[last][:1].isdigit() for row in grid.rows)
    for at, heading in enumerate(grid.headings):
        wide = last if words else 0
        table.add_column(
            Text(heading),
            ratio=1 if at == wide else None,
            justify="left" if at in (0, wide) else "right",
            no_wrap=at == 0,
            overflow="ellipsis",
        )
    shown = worth_listing(len(grid.rows), MOST_ROWS if grid.title.startswith(("Product", "What")) else 30)
    for row in grid.rows[:shown]:
        table.add_row(*(Text(cell) for cell in row))
    if shown < len(grid.rows):
        table.add_row(Text(f"and {len(grid.rows) - shown} more"))
    return table
