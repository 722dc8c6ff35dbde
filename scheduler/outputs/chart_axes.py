"""What several charts write alike: names in a legend, and dates below."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from scheduler.farm.dates import day_of_month
from scheduler.farm.units import ceil_div
from scheduler.outputs.words import plain, shortened

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def legend_name(name: str, most: int) -> str:
    """Return a grower's text for a chart: one line, at most so many signs, and none a legend leaves out."""
    said = shortened(plain(name).strip() or "?", most)
    return f" {said}" if said.startswith("_") else said


def mark_dates(axes: Axes, places: Sequence[int], dates: Sequence[date], most: int) -> None:
    """Write at most so many of some dates below a chart, each at its place along the axis."""
    step = max(1, ceil_div(len(places), most))
    axes.set_xticks(list(places[::step]), [day_of_month(day) for day in dates[::step]])
