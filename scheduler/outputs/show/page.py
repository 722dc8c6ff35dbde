"""How a page for the terminal is put together: parts within 80 columns, a grower's text as plain text.

Nothing here reads markup: every text is a :class:`rich.text.Text`, and signs that could steer a terminal are
taken out of names by :func:`words.plain` first.
"""

import io
from collections.abc import Iterable, Sequence

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from scheduler.farm.dates import column_date, column_day, day_of_month
from scheduler.farm.farm import Farm
from scheduler.outputs.screen import WIDTH
from scheduler.outputs.words import plain

NARROWEST = 40
YEAR = 365
"""Days in which no day and month come twice."""

Part = RenderableType


def rendered(parts: Iterable[Part], *, width: int = WIDTH, styled: bool = False) -> str:
    """Lay parts out below each other; without ``styled`` nothing is coloured.

    Args:
        parts: what stands on the page.
        width: columns; never more than 80 are used, and never fewer than 40.
        styled: write bold heads for a terminal.
    """
    console = Console(
        file=io.StringIO(),
        width=max(NARROWEST, min(WIDTH, width)),
        force_terminal=styled,
        color_system="standard" if styled else None,
        legacy_windows=False,
        _environ={},
    )
    with console.capture() as capture:
        for part in parts:
            # in a padding of its own a text keeps its way of wrapping, which print alone would drop
            console.print(Padding(part, 0), highlight=False)
    return "".join(f"{line.rstrip()}\n" for line in capture.get().splitlines())


def table(*columns: str) -> Table:
    """Return a table without lines.

    Args:
        columns: one word a column: ``name`` is cut short with dots when it is too long, ``rest`` is wrapped
            in what width is left, ``number`` stands to the right; anything else keeps its width.
    """
    made = Table(
        box=None,
        show_header=False,
        pad_edge=False,
        padding=(0, 1, 0, 0),
        expand="rest" in columns,
    )
    for kind in columns:
        made.add_column(
            justify="right" if kind == "number" else "left",
            no_wrap=kind != "rest",
            overflow="ellipsis" if kind == "name" else "fold",
            ratio=1 if kind == "rest" else None,
            max_width=26 if kind == "name" else None,
        )
    return made


def row(made: Table, *cells: str) -> None:
    """Add a row of texts to a table; signs that could steer a terminal are taken out."""
    made.add_row(*(Text(plain(cell)) for cell in cells))


def day_of(farm: Farm, day: int) -> str:
    """Return ``Mon  9 Mar``, in a plan of more than a year `` 9 Mar 2026``; always as wide in one plan."""
    said = column_day if farm.calendar.days <= YEAR else column_date
    return said(farm.date_of(day))


def days_in_words(farm: Farm, days: Sequence[int]) -> str:
    """Return ``9 Mar`` or ``9 Mar-2 Apr``, first and last of some days; nothing for none."""
    if not days:
        return ""
    first, last = (day_of_month(farm.date_of(day)) for day in (days[0], days[-1]))
    return first if first == last else f"{first}-{last}"


def titled(text: str) -> Text:
    """Return the heading of a part further down, a blank line above it."""
    return Text(f"\n{text}", style="bold")


def left_out(number: int, where: str) -> Text:
    """Return the line that says how much is not listed, and the table that has it all."""
    return Text(f"and {number:,} more, see {where}")
