"""The curve of pace: how fast each shelf and trough grows, week by week."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scheduler.farm.farm import Farm
from scheduler.farm.units import MILLI
from scheduler.outputs.chart_axes import LINES, legend_name, mark_dates
from scheduler.outputs.chart_svg import svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.plan.rows import Plan
from scheduler.plan.views.pace_curve import PlaceCurve, place_curves

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZE = (7.4, 2.6)
"""Inches of the chart."""

DATES, SMALL, LETTERS, MOST = 13, 8, 30, 6


def groups(curves: Sequence[PlaceCurve]) -> list[tuple[str, PlaceCurve]]:
    """Return places that grow alike as one: their names joined, and the curve of the first."""
    alike: dict[tuple[int, ...], list[PlaceCurve]] = {}
    for curve in curves:
        alike.setdefault(tuple(week.pace for week in curve.weeks), []).append(curve)
    return [(", ".join(curve.place for curve in same), same[0]) for same in alike.values()]


def pace_chart(farm: Farm, _plan: Plan) -> str:
    """Return the pace of all places that differ, week by week, as one ``<svg>`` element."""
    found = groups(place_curves(farm))[:MOST]

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        for number, (names, curve) in enumerate(found):
            edges = [week.first for week in curve.weeks] + [week.last + 1 for week in curve.weeks[-1:]]
            paces = [week.pace / MILLI for week in curve.weeks]
            axes.step(
                edges, [*paces, *paces[-1:]], where="post", linewidth=1.8, linestyle=LINES[number],
                color=COLOURS[(4 + number) % len(COLOURS)], label=legend_name(names, LETTERS),
            )  # fmt: skip
        _frame(axes, farm, found)

    told = "Pace of each shelf and trough by week; 1 means the days of the crop card."
    return svg_of("pace", told, SIZE, draw)


def _frame(axes: Axes, farm: Farm, found: Sequence[tuple[str, PlaceCurve]]) -> None:
    highest = max((week.pace for _, curve in found for week in curve.weeks), default=MILLI)
    axes.set_ylim(0, 1.15 * max(highest, MILLI) / MILLI)
    axes.set_ylabel("pace")
    axes.grid(axis="y")
    if found:
        days = [week.first for week in found[0][1].weeks]
        mark_dates(axes, days, [farm.date_of(day) for day in days], DATES)
        axes.legend(loc="lower left", fontsize=SMALL, ncols=2)
