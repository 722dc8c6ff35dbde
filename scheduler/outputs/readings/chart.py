"""Readings drawn over time, one panel for each thing that is measured."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from scheduler.farm.dates import day_of_month
from scheduler.farm.from_book.readings import Sifted
from scheduler.outputs.chart_svg import svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.outputs.readings.ranges import UNITS
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDTH, PANEL, SMALL, LETTERS = 7.4, 1.9, 8, 26
MOST_POINTS = 2_000
"""Points of a line; of more, evenly many are left out."""

DAY, DATES = timedelta(days=1), 12
STYLES = ("-", "--", ":", "-.")


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
                shown = kept[:: max(1, -(-len(kept) // MOST_POINTS))]
                axes.plot(
                    [(each.when - start) / DAY for each in shown],
                    [each.value / 1000 for each in shown],
                    color=COLOURS[(at + 4) % len(COLOURS)],
                    linestyle=STYLES[at % len(STYLES)],
                    linewidth=1.2,
                    label=plain(place)[:LETTERS] or "all troughs",
                )
            axes.set_ylabel(f"{kind}{',' if UNITS[kind] else ''}{UNITS[kind]}")
            axes.grid(axis="y")
            axes.legend(loc="upper right", ncols=len(own), fontsize=SMALL)
        marked = range(0, days + 1, max(1, -(-days // DATES)))
        dates = [start + number * DAY for number in marked]
        panels[-1][0].set_xticks(list(marked), [day_of_month(date) for date in dates])

    told = f"Readings of {', '.join(kinds) or 'nothing'} over time."
    return svg_of("readings", told, (WIDTH, PANEL * max(1, len(kinds))), draw)
