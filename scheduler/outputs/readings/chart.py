"""Readings drawn over time, one panel for each thing that is measured."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from math import isnan
from typing import TYPE_CHECKING

from scheduler.book.readings import Reading
from scheduler.farm.dates import day_of_month
from scheduler.farm.from_book.readings import Sifted, gaps
from scheduler.outputs.chart_axes import LEGEND_SIZE, LINES, legend_columns, legend_name
from scheduler.outputs.chart_svg import svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.outputs.readings.ranges import UNITS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH, PANEL, LETTERS = 7.4, 2.0, 26
MOST_POINTS = 2_000
"""Points of a line; of more, evenly many are left out."""

DAY, DATES = timedelta(days=1), 12
NOTHING = float("nan")
"""Where a line breaks off."""


def readings_chart(sifted: Sifted) -> str:
    """Return the readings that are kept as one ``<svg>`` element."""
    kinds = [kind for kind in UNITS if any(key[1] == kind and kept for key, kept in sifted.kept.items())]

    moments = [each.when for kept in sifted.kept.values() for each in kept]
    first = min(moments, default=datetime(2000, 1, 1))  # noqa: DTZ001
    start = datetime(first.year, first.month, first.day)  # noqa: DTZ001
    days = (max(moments, default=start) - start).days + 1

    def draw(figure: Figure) -> None:
        panels = figure.subplots(max(1, len(kinds)), squeeze=False, sharex=True)
        for number, kind in enumerate(kinds):
            axes = panels[number][0]
            own = [(place, kept) for (place, each), kept in sifted.kept.items() if each == kind and kept]
            for at, (place, kept) in enumerate(own):
                points, alone = _points(kept, start)
                axes.plot(
                    [when for when, _ in points],
                    [value for _, value in points],
                    color=COLOURS[(at + 4) % len(COLOURS)],
                    linestyle=LINES[at % len(LINES)],
                    linewidth=1.2,
                    marker="." if alone else None,
                    markevery=alone,
                    label=legend_name(place or "all troughs", LETTERS),
                )
            axes.set_ylabel(f"{kind}{',' if UNITS[kind] else ''}{UNITS[kind]}")
            axes.grid(axis="y")
            _name_lines(axes)
        marked = range(0, days + 1, max(1, -(-days // DATES)))
        dates = [start + number * DAY for number in marked]
        panels[-1][0].set_xticks(list(marked), [day_of_month(date) for date in dates])

    told = f"Readings of {', '.join(kinds) or 'nothing'} over time."
    return svg_of("readings", told, (WIDTH, PANEL * max(1, len(kinds))), draw)


def _points(kept: Sequence[Reading], start: datetime) -> tuple[list[tuple[float, float]], list[int]]:
    """Return days since the start and values of a line, and which of them stand alone.

    Over a gap no line is drawn, for nobody knows what the water was; a reading between two gaps is a dot.
    """
    step = max(1, -(-len(kept) // MOST_POINTS))
    after = {two.when for _, two in gaps(kept)}
    points: list[tuple[float, float]] = []
    for at, each in enumerate(kept):
        if each.when in after:
            points.append((NOTHING, NOTHING))
        if at % step == 0 or each.when in after:
            points.append(((each.when - start) / DAY, each.value / 1000))
    ends = [-1, *(at for at, (when, _) in enumerate(points) if isnan(when)), len(points)]
    return points, [one + 1 for one, two in pairwise(ends) if two - one == 2]


def _name_lines(axes: Axes) -> None:
    """Write the names of the lines above their panel, where they cover none of them."""
    _, names = axes.get_legend_handles_labels()
    axes.legend(
        loc="lower right",
        bbox_to_anchor=(1, 1),
        borderaxespad=0,
        ncols=legend_columns(names, len(names), WIDTH),
        fontsize=LEGEND_SIZE,
    )
