"""Chances of the weeks: the usual and the least chance of the firm deliveries of each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.farm.dates import day_of_month
from scheduler.outputs.chart_svg import QUIET, SIGNS, svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.stress.risk import Risk

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDTH, HEIGHT = 7.4, 2.6
BLUE, RED = COLOURS[4], COLOURS[5]
PERCENT = 100


def weekly_chart(risk: Risk) -> str:
    """Return the chances of each week's deliveries as SVG: firm ones, or all where none is firm."""
    rows = risk.of(firm=True) or list(risk.deliveries)
    weeks: dict[int, list[float]] = {}
    for each in rows:
        start = risk.farm.calendar.week_start(each.demand.first)
        weeks.setdefault(start, []).append(PERCENT * each.chance.share)
    days = sorted(weeks)

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        axes.plot(
            days,
            [sum(weeks[day]) / len(weeks[day]) for day in days],
            color=BLUE,
            linewidth=1.6,
            label="on average",
        )
        axes.plot(
            days,
            [min(weeks[day]) for day in days],
            **SIGNS,
            marker="v",
            markersize=5,
            color=RED,
            label="least sure delivery of the week",
        )
        axes.axhline(95, color=QUIET, linewidth=1.0, linestyle=(0, (4, 2)), label="95 percent")
        axes.set_ylim(0, 103)
        axes.set_ylabel("filled, percent")
        ticks = days[:: max(1, len(days) // 8)]
        axes.set_xticks(ticks, [day_of_month(risk.farm.date_of(day)) for day in ticks])
        figure.legend(loc="outside upper left", fontsize=8, ncols=3, handlelength=3.2)

    told = "Chance of the firm deliveries of each week; the tables have the numbers."
    return svg_of("risk", told, (WIDTH, HEIGHT), draw)
