"""A comparison on one screen of 80 columns; what has no room there is on the page."""

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from scheduler.outputs.compare.lines import Block, blocks
from scheduler.outputs.compare.sentences import sentences
from scheduler.outputs.words import plain
from scheduler.plan.views.compared import Comparison
from scheduler.plan.words import worth_listing

WIDTH = 80
MOST_CASES = 3
"""Farms that fit side by side: the book's own and two others."""

CELL = 17
"""Columns of one farm."""

MOST_LINES = 6
"""Lines of a block of places."""

MOST_SHORTS = 5
ON_SCREEN = ("Deliveries filled, units and heads", "Money", "Work, water and plants", "Places")


def print_comparison(console: Console, comparison: Comparison) -> None:
    """Print a comparison; plain text when the console is no terminal."""
    console.width = min(WIDTH, console.width) if console.is_terminal else WIDTH
    calendar = comparison.farm.calendar
    head = f"{plain(comparison.farm.name)}: {calendar.first_day} to {calendar.date_of(calendar.days - 1)}"
    console.print(Text(head, style="bold"))
    shown = min(len(comparison.cases), MOST_CASES)
    for number, block in enumerate(each for each in blocks(comparison) if each.title in ON_SCREEN):
        console.print(_table(comparison, block, shown, headed=number == 0), highlight=False)
    if len(comparison.cases) > shown:
        console.print(Text(f"and {len(comparison.cases) - shown} more, see compare.html"))
    for case, lines in zip(comparison.cases[1:], sentences(comparison), strict=True):
        console.print(Text(plain(case.name), style="bold"))
        for line in lines:
            console.print(Padding(Text(line), (0, 0, 0, 2)), highlight=False)
    _print_shorts(console, comparison)


def _table(comparison: Comparison, block: Block, shown: int, *, headed: bool) -> Table:
    table = Table(
        title=Text(block.title),
        title_justify="left",
        title_style="bold",
        box=None,
        show_header=headed,
        expand=True,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    table.add_column("", ratio=1, no_wrap=True, overflow="ellipsis")
    for case in comparison.cases[:shown]:
        table.add_column(Text(plain(case.name)), justify="right", width=CELL, overflow="ellipsis")
    listed = worth_listing(len(block.lines), MOST_LINES) if block.title == "Places" else len(block.lines)
    for line in block.lines[:listed]:
        table.add_row(Text(line.label), *(Text(cell) for cell in line.cells[:shown]))
    if listed < len(block.lines):
        table.add_row(Text(f"and {len(block.lines) - listed} more"))
    return table


def _print_shorts(console: Console, comparison: Comparison) -> None:
    lines = comparison.shorts
    if not lines:
        console.print("Nothing is short in any of them.", highlight=False)
        return
    listed = worth_listing(len(lines), MOST_SHORTS)
    table = Table.grid(expand=True, padding=(0, 1, 0, 0), pad_edge=False)
    titled = "Units short, farm by farm" if len(comparison.cases) > 1 else "Units short"
    table.title, table.title_justify, table.title_style = Text(titled), "left", "bold"
    table.add_column(width=10)
    table.add_column(ratio=1, no_wrap=True, overflow="ellipsis")
    for _ in comparison.cases[:MOST_CASES]:
        table.add_column(justify="right", width=6)
    for line in lines[:listed]:
        missing = ["-" if each is None else f"{each:,}" for each in line.missing[:MOST_CASES]]
        told = f"{plain(line.product)}, {plain(line.customer or line.demand)}"
        table.add_row(str(comparison.farm.date_of(line.day)), Text(told), *missing)
    console.print(table, highlight=False)
    if listed < len(lines):
        console.print(Text(f"and {len(lines) - listed:,} more"))
