"""Tables of the commands that answer on one screen of 80 columns: comparison, limit, risk and sweep."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.table import Table
from rich.text import Text

from scheduler.plan.words import worth_listing

WIDTH = 80
"""Columns of a screen, and of what goes into a file or a pipe; every page for the terminal keeps to them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column.

    Attributes:
        heading: what stands above it.
        words: text, to the left; else numbers, to the right.
        wide: it takes what width the others leave.
        wrapped: a long text goes on in the next line; else it is cut short with dots.
        width: so many columns of the screen; None for as many as it needs.
        widest: so many at most.
    """

    heading: str = ""
    words: bool = False
    wide: bool = False
    wrapped: bool = False
    width: int | None = None
    widest: int | None = None


def narrowed(console: Console) -> Console:
    """Return a console that prints no wider than 80 columns, and just as wide into a file or a pipe."""
    console.width = min(WIDTH, console.width) if console.is_terminal else WIDTH
    return console


def heading(text: str) -> Text:
    """Return a heading; words of the grower in it must be plain already."""
    return Text(text, style="bold")


def wrapped(line: str, inset: int | None = None) -> str:
    """Return a line in lines of the screen, those after the first set in; by a little unless told how far."""
    columns = len(line) - len(line.lstrip()) + 2 if inset is None else inset
    return textwrap.fill(line, WIDTH, subsequent_indent=" " * columns, break_on_hyphens=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A table to print.

    Attributes:
        columns: its columns.
        rows: a text for each column; a grower's own words are plain already.
        title: what stands above it, or nothing.
        most: rows that are listed before the rest is counted; None for all.
        headed: whether headings are shown.
    """

    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]
    title: str = ""
    most: int | None = None
    headed: bool = True


def print_listed(console: Console, listed: Listed) -> None:
    """Print a table without lines, below a blank line if it has a title, and how many rows are left out."""
    shown = len(listed.rows) if listed.most is None else worth_listing(len(listed.rows), listed.most)
    table = Table(
        title=heading(listed.title) if listed.title else None,
        title_justify="left",
        title_style="bold",
        box=None,
        show_header=listed.headed,
        expand=any(column.wide for column in listed.columns),
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    for column in listed.columns:
        table.add_column(
            Text(column.heading),
            ratio=1 if column.wide else None,
            justify="left" if column.words else "right",
            no_wrap=not column.wrapped,
            overflow="fold" if column.wrapped else "ellipsis",
            width=column.width,
            max_width=column.widest,
        )
    for row in listed.rows[:shown]:
        table.add_row(*(Text(cell) for cell in row))
    if listed.title:
        console.print()
    console.print(table, highlight=False)
    if shown < len(listed.rows):
        console.print(Text(f"and {len(listed.rows) - shown:,} more"), highlight=False)
