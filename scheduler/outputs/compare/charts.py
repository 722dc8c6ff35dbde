"""Charts of a comparison: one line for each farm, told apart by dashes and signs as well as by colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from scheduler.farm.units import CENT
from scheduler.outputs.chart_axes import LEGEND_SIZE, legend_columns, legend_name, mark_dates
from scheduler.outputs.chart_svg import INK, QUIET, svg_of
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.outputs.words import plain
from scheduler.plan.views.compared import Comparison

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH, HEIGHT = 7.4, 2.6
"""Inches of a chart; as wide as a page of A4 within its margins."""

DATES = 13
LETTERS = 26
SIGN = 3.2
"""Length of a line in a legend, in type sizes: its dashes are seen."""

ORANGE, SKY, GREEN, YELLOW, BLUE, RED, PURPLE, GREY = COLOURS
LOOKS: tuple[tuple[str, Any, str], ...] = (
    (INK, "-", "o"),
    (BLUE, (0, (5, 1.5)), "s"),
    (RED, (0, (1.5, 1.2)), "^"),
    (GREEN, (0, (6, 1.5, 1.5, 1.5)), "D"),
    (PURPLE, (0, (3, 1)), "v"),
    (ORANGE, (0, (1, 1)), "x"),
    (SKY, (0, (8, 2)), "P"),
    (GREY, (0, (2, 3)), "*"),
)
"""Colour, dashes and sign of each farm; the ninth begins again."""

RING: dict[str, Any] = {
    "linestyle": "none",
    "marker": "o",
    "markersize": 9,
    "markerfacecolor": "none",
    "markeredgecolor": INK,
    "markeredgewidth": 1.2,
}
"""What marks the week in which a change has paid for itself."""

CROWDED, MARKED = 30, 4
"""Of more weeks than these only every fourth has a sign, no two lines on the same ones side by side."""


def delivered_chart(comparison: Comparison) -> str:
    """Return the units each farm delivers in each week."""

    def draw(figure: Figure) -> None:
        axes = _axes(figure, comparison, "units delivered in the week")
        for number, (case, totals) in enumerate(zip(comparison.cases, comparison.totals, strict=True)):
            _line(axes, number, case.name, [week.filled for week in totals.weeks])
        axes.set_ylim(bottom=0)
        _legend(figure, axes)

    told = f"Units delivered in each of {len(comparison.spans)} weeks by {len(comparison.cases)} farms."
    return svg_of("compare-delivered", told, (WIDTH, HEIGHT), draw)


def gained_chart(comparison: Comparison) -> str | None:
    """Return what each change has brought by the end of each week, its price taken off; None without any."""
    found = [(n, t.paid_back) for n, t in enumerate(comparison.totals) if t.paid_back is not None]
    if not found:
        return None

    def draw(figure: Figure) -> None:
        axes = _axes(figure, comparison, plain(comparison.farm.currency) or "money")
        axes.axhline(0, color=QUIET, linewidth=0.9)
        rings: list[tuple[int, float]] = []
        for number, paid in found:
            assert paid is not None
            net = [float(each) / CENT for each in paid.net]
            _line(axes, number, comparison.cases[number].name, net)
            if paid.week is not None:
                rings.append((paid.week, net[paid.week]))
        if rings:
            axes.plot(*zip(*rings, strict=True), label="paid back", zorder=5, **RING)
        _legend(figure, axes)

    told = f"What each of {len(found)} changes has brought by the end of each week, less its price."
    return svg_of("compare-gained", told, (WIDTH, HEIGHT), draw)


def filling_chart(comparison: Comparison) -> str | None:
    """Return how the places fill that a farm has more than the first; None where there are none."""
    found = [
        (number, place)
        for number, totals in enumerate(comparison.totals)
        for place in totals.opened
        if any(share is not None for share in place.weeks)
    ]
    if not found:
        return None

    def draw(figure: Figure) -> None:
        axes = _axes(figure, comparison, "percent of its slots in use")
        for at, (number, place) in enumerate(found):
            shares = [float("nan") if share is None else float(share) * 100 for share in place.weeks]
            _line(axes, at + 1, f"{place.name} ({comparison.cases[number].name})", shares)
        axes.set_ylim(0, 104)
        _legend(figure, axes)

    told = f"Slots in use of {len(found)} new or larger places in each week."
    return svg_of("compare-filling", told, (WIDTH, HEIGHT), draw)


def _axes(figure: Figure, comparison: Comparison, said: str) -> Axes:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axes = figure.subplots()
    axes.set_ylabel(said)
    dates = [comparison.farm.date_of(first) for first, _ in comparison.spans]
    mark_dates(axes, range(len(dates)), dates, DATES)
    axes.set_xlim(-0.6, len(comparison.spans) - 0.4)
    axes.yaxis.set_major_locator(MaxNLocator(nbins=5, integer=True))
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.0f}"))
    axes.grid(axis="y")
    return axes


def _line(axes: Axes, number: int, name: str, values: Sequence[float]) -> None:
    colour, dashes, sign = LOOKS[number % len(LOOKS)]
    axes.plot(
        range(len(values)),
        values,
        color=colour,
        linestyle=dashes,
        marker=sign,
        markevery=(number % MARKED, MARKED) if len(values) > CROWDED else 1,
        markersize=3.4,
        linewidth=1.4,
        label=legend_name(name, 2 * LETTERS),
    )


def _legend(figure: Figure, axes: Axes) -> None:
    handles, labels = axes.get_legend_handles_labels()
    columns = legend_columns(labels, 3, WIDTH, SIGN)
    figure.legend(
        handles,
        labels,
        loc="outside upper left",
        ncols=columns,
        fontsize=LEGEND_SIZE,
        handlelength=SIGN,
    )
