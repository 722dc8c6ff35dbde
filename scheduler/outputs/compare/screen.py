"""A comparison on one screen of 80 columns; what has no room there is on the page."""

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from scheduler.outputs.compare.lines import Block, blocks, delivered_title
from scheduler.outputs.compare.sentences import doubt, held_against, sentences
from scheduler.outputs.screen import Column, Listed, heading, narrowed, print_listed
from scheduler.outputs.show.page import day_of
from scheduler.outputs.words import date_in_text, plain
from scheduler.plan.views.compared import Comparison

MOST_CASES = 3
"""Farms that fit side by side: the book's own and two others."""

CELL = 17
"""Columns of one farm."""

MOST_LINES = 6
"""Lines of a block of places."""

MOST_SHORTS = 5
ON_SCREEN = ("Money", "Work, water and plants", "Places")


def print_comparison(console: Console, comparison: Comparison) -> None:
    """Print a comparison; plain text when the console is no terminal."""
    farm = comparison.farm
    head = f"{plain(farm.name)}: {date_in_text(farm, 0)} to {date_in_text(farm, farm.calendar.days - 1)}"
    narrowed(console).print(heading(head))
    if held_against(comparison):
        console.print(Text(f"Differences are {held_against(comparison)}"), highlight=False)
    shown = min(len(comparison.cases), MOST_CASES)
    titles = (delivered_title(comparison), *ON_SCREEN)
    for number, block in enumerate(each for each in blocks(comparison) if each.title in titles):
        print_listed(console, _table(comparison, block, shown, headed=number == 0))
        if block.note:
            console.print(Text(block.note), highlight=False)
    if len(comparison.cases) > shown:
        console.print(Text(f"and {len(comparison.cases) - shown} more, see compare.html"))
    for case, lines in zip(comparison.cases[1:], sentences(comparison), strict=True):
        console.print()
        console.print(heading(plain(case.name)))
        for line in lines:
            console.print(Padding(Text(line), (0, 0, 0, 2)), highlight=False)
    _print_shorts(console, comparison)


def _table(comparison: Comparison, block: Block, shown: int, *, headed: bool) -> Listed:
    columns = [
        Column(words=True, wide=True),
        *(Column(heading=plain(case.name), width=CELL) for case in comparison.cases[:shown]),
    ]
    rows = [(line.label, *line.cells[:shown]) for line in block.lines]
    most = MOST_LINES if block.title == "Places" else None
    return Listed(title=block.title, columns=columns, rows=rows, most=most, headed=headed)


def _print_shorts(console: Console, comparison: Comparison) -> None:
    lines = comparison.shorts
    if not lines:
        console.print("Nothing is short in any of them.", highlight=False)
        return
    if told := doubt(comparison):
        console.print()
        console.print(Text(told), highlight=False)
    shown = comparison.cases[:MOST_CASES]
    names = ", ".join(plain(case.name) for case in shown)
    titled = f"Units short, farm by farm: {names}" if len(comparison.cases) > 1 else "Units short"
    columns = [Column(words=True), Column(words=True, wide=True), *(Column(width=6) for _ in shown)]
    rows = [
        (
            day_of(comparison.farm, line.day),
            f"{plain(line.product)}, {plain(line.customer or line.demand)}",
            *("-" if each is None else f"{each:,}" for each in line.missing[:MOST_CASES]),
        )
        for line in lines
    ]
    print_listed(console, Listed(title=titled, columns=columns, rows=rows, most=MOST_SHORTS, headed=False))
