"""A limit in the terminal, in 80 columns."""

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.limit.lines import (
    LEFT_OUT,
    Grid,
    frontier_grid,
    frontier_sentences,
    grids,
    head,
    sentences,
)
from scheduler.outputs.screen import Column, Listed, heading, narrowed, print_listed
from scheduler.outputs.words import plain
from scheduler.plan.capacity import Frontier, Limit

MOST_ROWS = 10
"""Rows of one table; the page has them all."""

MOST_POINTS = 30
"""Points of a frontier."""


def print_limit(
    console: Console, farm: Farm, limit: Limit, asked: str, frontiers: Sequence[Frontier] = ()
) -> None:
    """Print a limit; ``asked`` says what the mix is."""
    narrowed(console).print(heading(plain(farm.name)), highlight=False)
    console.print(Text(plain(head(farm, limit, asked))), highlight=False)
    _say(console, sentences(limit))
    for grid in grids(limit):
        print_listed(console, _table(grid))
        _say(console, [grid.note])
    curves = [frontier_grid(frontier, _told(frontier)) for frontier in frontiers]
    for frontier, grid in zip(frontiers, curves, strict=True):
        print_listed(console, _table(grid))
        _say(console, frontier_sentences(frontier))
    if any(grid.note for grid in curves):
        _say(console, [LEFT_OUT])


def _say(console: Console, lines: Sequence[str]) -> None:
    for line in lines:
        console.print(Text(line), highlight=False)


def _told(frontier: Frontier) -> set[int]:
    """Return the numbers of a frontier that a screen has room for: its ends, its bends, and what there is."""
    bends = {bend.number for bend in frontier.bends}
    numbers = [point.number for point in frontier.points]
    told = {numbers[0], frontier.now, numbers[-1], *bends}
    return told | {point.number for point in frontier.points if point.whole is not None}


def _table(grid: Grid) -> Listed:
    last = len(grid.headings) - 1
    words = any(" " in row[last] and not row[last][:1].isdigit() for row in grid.rows)
    wide = last if words else 0
    columns = [
        Column(heading=heading, words=at in (0, wide), wide=at == wide, wrapped=True)
        for at, heading in enumerate(grid.headings)
    ]
    most = MOST_ROWS if grid.title.startswith(("Product", "What", "Days")) else MOST_POINTS
    return Listed(title=grid.title, columns=columns, rows=grid.rows, most=most)
