"""Output against rows, board slots and tray places: one curve each, with its bends marked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scheduler.outputs.chart_svg import INK, QUIET, SIGNS, svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.outputs.limit.lines import NOUNS
from scheduler.plan.capacity import Frontier

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH, PANEL, PANELS = 7.4, 2.5, 2
"""Inches across, inches of one panel in height, and how many stand side by side."""

BLUE, RED = COLOURS[4], COLOURS[5]
TITLES = {
    "rows": "Rows, with their rafts",
    "boards": "Board slots, with their boards",
    "trays": "Tray places, with their trays",
    "beds": "Bed positions",
    "together": "All of them together, percent of now",
}


def frontier_chart(frontiers: Sequence[Frontier]) -> str:
    """Return the curves of some frontiers, one panel each."""
    rows = -(-len(frontiers) // PANELS)
    columns = min(PANELS, len(frontiers))

    def draw(figure: Figure) -> None:
        panels = list(figure.subplots(rows, columns, squeeze=False).flat)
        for panel, frontier in zip(panels, frontiers, strict=False):
            _panel(panel, frontier)
        for panel in panels[len(frontiers) :]:
            panel.set_visible(False)
        handles, labels = panels[0].get_legend_handles_labels()
        figure.legend(handles, labels, loc="outside upper left", ncols=4, fontsize=8)

    named = ", ".join(NOUNS[frontier.what][1] for frontier in frontiers)
    told = f"Units a week against {named}; the tables have the numbers."
    return svg_of("frontier", told, (WIDTH, 0.25 + PANEL * rows), draw)


def _panel(axes: Axes, frontier: Frontier) -> None:
    _curves(axes, frontier)
    _bends(axes, frontier)
    axes.set_title(TITLES[frontier.what], loc="left", fontweight="bold", fontsize=9)
    _scales(axes, frontier)


def _curves(axes: Axes, frontier: Frontier) -> None:
    """Draw the linear bound, what is carried in whole units, and what there is now."""
    points = frontier.points
    axes.plot(
        [point.number for point in points],
        [point.linear for point in points],
        color=INK,
        linewidth=1.5,
        label="linear bound",
    )
    whole = [(point.number, point.whole) for point in points if point.whole is not None]
    axes.plot(
        [number for number, _ in whole],
        [units for _, units in whole],
        **SIGNS,
        marker="o",
        markersize=4.5,
        color=BLUE,
        label="whole units",
    )
    axes.axvline(frontier.now, color=QUIET, linewidth=1.1, linestyle=(0, (4, 2)), label="what there is now")


def _bends(axes: Axes, frontier: Frontier) -> None:
    """Mark where the linear bound bends, with the number there."""
    at = {point.number: point.linear for point in frontier.points}
    bends = [bend.number for bend in frontier.bends]
    heights = [at[number] for number in bends]
    axes.plot(bends, heights, **SIGNS, marker="v", markersize=7, color=RED, label="bend")
    for place in zip(bends, heights, strict=True):
        axes.annotate(
            f"{place[0]:,}",
            place,
            textcoords="offset points",
            xytext=(0, 7),
            ha="center",
            fontsize=8,
        )


def _scales(axes: Axes, frontier: Frontier) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axes.set_ylabel("units a week")
    axes.set_xlim(0, max(point.number for point in frontier.points) * 1.03)
    axes.set_ylim(0, max(1.0, 1.14 * max(point.linear for point in frontier.points)))
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(MaxNLocator(nbins=5, integer=True))
        axis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.0f}"))
    axes.grid(axis="y")
