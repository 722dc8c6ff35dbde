"""The curve of fish feed over the band that plants ask, one panel a loop of water."""

from __future__ import annotations

from collections.abc import Sequence
from math import nan
from typing import TYPE_CHECKING

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.outputs.chart_axes import mark_dates
from scheduler.outputs.chart_svg import INK, svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.outputs.words import plain
from scheduler.plan.rows import Plan
from scheduler.plan.rows_water import WaterRow

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH, PANEL = 7.4, 2.2
"""Inches of the chart, and in height of each panel."""

DATES, SMALL, LETTERS = 13, 8, 60
TINT, BLUE = "#A6DDCB", COLOURS[4]


def water_chart(farm: Farm, plan: Plan) -> str:
    """Return the feed of each loop, week by week, as one ``<svg>`` element."""
    return drawn(farm, plan.water)


def drawn(farm: Farm, rows: Sequence[WaterRow]) -> str:
    """Return the chart of some rows; without rows one empty panel says so."""
    loops = list(dict.fromkeys(row.loop for row in rows))

    def draw(figure: Figure) -> None:
        panels = figure.subplots(max(1, len(loops)), squeeze=False)
        for number, loop in enumerate(loops):
            axes = panels[number][0]
            _panel(axes, [row for row in rows if row.loop == loop])
            _dates(axes, farm, rows)
            axes.set_title(plain(loop)[:LETTERS], loc="left", fontsize=SMALL, fontweight="bold")
            if not number:
                axes.legend(loc="upper left", bbox_to_anchor=(0.35, 1.18), ncols=2, fontsize=SMALL)
        if not loops:
            panels[0][0].set_title("No fish in this book", loc="left", fontsize=SMALL)

    told = "Feed a day that fish eat, over the band that the plants ask, by week; the table has the numbers."
    return svg_of("water", told, (WIDTH, PANEL * max(1, len(loops))), draw)


def _panel(axes: Axes, rows: Sequence[WaterRow]) -> None:
    """Draw steps from day to day; days on which a loop is not by itself stay open."""
    edges: list[float] = []
    low: list[float] = []
    high: list[float] = []
    eaten: list[float] = []
    for row in rows:
        for values, value in ((low, row.asked_low), (high, row.asked_high), (eaten, row.eaten)):
            values += ([nan, nan] if edges and edges[-1] != row.day else []) + [value, value]
        edges += ([edges[-1], row.day] if edges and edges[-1] != row.day else []) + [row.day, row.last + 1]
    axes.fill_between(
        edges, low, high, facecolor=TINT, hatch="//", edgecolor=INK, linewidth=0.4,
        label="asked by the plants",
    )  # fmt: skip
    axes.plot(edges, eaten, color=BLUE, linewidth=1.8, label="eaten by the fish")
    axes.set_ylabel("g of feed a day")
    axes.set_ylim(0, 1.08 * max(1, *(row.asked_high for row in rows), *(row.eaten for row in rows)))
    axes.grid(axis="y")


def _dates(axes: Axes, farm: Farm, rows: Sequence[WaterRow]) -> None:
    """Let every panel go over all days, with the first day of some weeks below."""
    first, end = min(row.day for row in rows), max(row.last for row in rows) + 1
    days = list(range(first, end, WEEK))
    mark_dates(axes, days, [farm.date_of(day) for day in days], DATES)
    axes.set_xlim(first, end)
