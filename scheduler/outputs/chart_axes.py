"""What several charts write alike: names in a legend, and dates below."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.farm.dates import day_of_month
from scheduler.farm.units import ceil_div
from scheduler.outputs.drawings.text import width_of
from scheduler.outputs.words import plain, shortened

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LEGEND_SIZE = 8
"""Points of the names in a legend."""

BESIDE = 2.8
"""Type sizes that stay free beside a sign and a name in a legend."""

POINTS = 72
"""Points of an inch."""

LINES = ("-", "--", ":", "-.", (0, (1, 3)), (0, (6, 2, 1, 2)))
"""Kinds of line, so that places can be told apart without colour."""


def legend_name(name: str, most: int) -> str:
    """Return a grower's text for a chart: one line, at most so many signs, and none a legend leaves out."""
    said = shortened(plain(name).strip() or "?", most)
    return f" {said}" if said.startswith("_") else said


def legend_columns(names: Sequence[str], most: int, width: float, sign: float = 1.6) -> int:
    """Return how many columns of a legend stand side by side; its names go down one column after another.

    Args:
        names: what stands in it, in :data:`LEGEND_SIZE`.
        most: most columns.
        width: of the figure, inches.
        sign: length of the sign before each name, in type sizes.
    """
    for columns in range(min(most, len(names)), 1, -1):
        long, longer = divmod(len(names), columns)
        starts = [long * at + min(at, longer) for at in range(columns + 1)]
        parts = [names[first:end] for first, end in pairwise(starts)]
        wide = sum(max(width_of(name, LEGEND_SIZE) for name in part) for part in parts)
        if wide + LEGEND_SIZE * columns * (sign + BESIDE) <= width * POINTS:
            return columns
    return 1


def mark_dates(axes: Axes, places: Sequence[int], dates: Sequence[date], most: int) -> None:
    """Write at most so many of some dates below a chart, each at its place along the axis."""
    step = max(1, ceil_div(len(places), most))
    axes.set_xticks(list(places[::step]), [day_of_month(day) for day in dates[::step]])
