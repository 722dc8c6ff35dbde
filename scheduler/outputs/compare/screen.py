"""A comparison in the 80 columns of a screen; farms that do not fit side by side stand further below."""

from collections.abc import Iterator, Sequence

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
"""Farms that fit side by side: the one the others are held against, and two others."""

MOST_COUNTED = 5
"""Farms whose units short fit side by side."""

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
    titles = (delivered_title(comparison), *ON_SCREEN)
    told = [each for each in blocks(comparison) if each.title in titles]
    for shown in _side_by_side(len(comparison.cases)):
        for number, block in enumerate(told):
            print_listed(console, _table(comparison, block, shown, headed=number == 0))
            if block.note and shown[-1] == len(comparison.cases) - 1:
                console.print(Text(block.note), highlight=False)
    for case, lines in zip(comparison.cases[1:], sentences(comparison), strict=True):
        console.print()
        console.print(heading(plain(case.name)))
        for line in lines:
            console.print(Padding(Text(line), (0, 0, 0, 2)), highlight=False)
    _print_shorts(console, comparison)


def _side_by_side(cases: int) -> Iterator[Sequence[int]]:
    """Yield the numbers of farms that stand side by side: the first beside some others each time."""
    yield range(min(cases, MOST_CASES))
    for start in range(MOST_CASES, cases, MOST_CASES - 1):
        yield 0, *range(start, min(cases, start + MOST_CASES - 1))


def _table(comparison: Comparison, block: Block, shown: Sequence[int], *, headed: bool) -> Listed:
    names = [plain(comparison.cases[number].name) for number in shown]
    columns = [
        Column(words=True, wide=True, wrapped=True),
        *(Column(heading=name, width=CELL, wrapped=True) for name in names),
    ]
    rows = [(line.label, *(line.cells[number] for number in shown)) for line in block.lines]
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
    for start in range(0, len(comparison.cases), MOST_COUNTED):
        _print_missing(console, comparison, slice(start, start + MOST_COUNTED))


def _print_missing(console: Console, comparison: Comparison, shown: slice) -> None:
    """Print what is short of each delivery in some of the farms."""
    names = ", ".join(plain(case.name) for case in comparison.cases[shown])
    titled = f"Units short, farm by farm: {names}" if len(comparison.cases) > 1 else "Units short"
    numbers = [Column(width=6) for _ in comparison.cases[shown]]
    columns = [Column(words=True), Column(words=True, wide=True), *numbers]
    rows = [
        (
            day_of(comparison.farm, line.day),
            f"{plain(line.product)}, {plain(line.customer or line.demand)}",
            *("-" if each is None else f"{each:,}" for each in line.missing[shown]),
        )
        for line in comparison.shorts
    ]
    print_listed(console, Listed(title=titled, columns=columns, rows=rows, most=MOST_SHORTS, headed=False))
