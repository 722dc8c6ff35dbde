"""Charts of a season: harvest against orders, places against their limits, hours, heads by crop.

Every colour has a hatch or a sign of its own beside it, so that a chart reads in black and white too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from textwrap import fill
from typing import TYPE_CHECKING, cast

from scheduler.farm.dates import day_of_month
from scheduler.farm.farm import Farm
from scheduler.farm.units import HOUR, ceil_div
from scheduler.outputs.chart_axes import LEGEND_SIZE, legend_columns, legend_name, mark_dates
from scheduler.outputs.chart_svg import INK, SIGNS, svg_of
from scheduler.outputs.drawings.palette import COLOURS, crop_styles
from scheduler.outputs.pace.chart import pace_chart
from scheduler.outputs.water.chart import water_chart
from scheduler.plan.rows import Plan
from scheduler.plan.views.places import PlaceUse, place_use
from scheduler.plan.views.season import Week, weeks
from scheduler.plan.words import done_word, sum_nouns

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.container import BarContainer
    from matplotlib.figure import Figure

    Shown = Artist | BarContainer

WIDTH, HEIGHT = 7.4, 2.5
"""Inches of a chart; as wide as a page of A4 within its margins."""

PANEL, PANELS = 1.3, 2
"""Inches in height of one small chart among several, and how many stand side by side."""

MOST_PANELS = 24
"""Small charts that still go on two pages; of more places the fullest are drawn, and tables have all."""

MOST_BARS = 1_500
"""Bars with a hatch in one chart; of more, those of one crop are one shape: 4,000 took a browser over 5 GB to
print (measured)."""

LINE, COLUMNS, SMALL = 0.22, 4, LEGEND_SIZE
"""Inches of one line of a legend, how many names stand in it at most, and points of small text."""

DATES = 13
"""Most dates below a chart."""

LABEL = 30
"""Signs in a line of the label of an axis."""

LETTERS = 26
"""Most letters of a name in a chart; the tables have the whole."""

FAR = 2.5
"""A limit more than this many times the highest bar is told, not drawn: it would flatten the bars."""

BAR = 0.82
ORANGE, SKY, GREEN, YELLOW, BLUE, RED, PURPLE, GREY = COLOURS

WORKS = {
    "sow": ("sowing", YELLOW, ""),
    "transplant": ("onto boards", SKY, "//"),
    "raft": ("onto rafts", BLUE, ""),
    "plant": ("into beds", PURPLE, "//"),
    "cut": ("cutting", GREEN, "\\\\"),
    "pick": ("picking", ORANGE, ""),
    "clear": ("clearing beds", PURPLE, ".."),
    "wash": ("washing", GREY, ".."),
    "lift": ("lifting out", RED, "xx"),
    "chore": ("chores", PURPLE, "oo"),
}
"""Kind of work -> its name, colour and hatch."""


def harvest_chart(farm: Farm, plan: Plan) -> str:
    """Return heads cut in each week as bars, heads ordered as a line, weeks with a short delivery marked."""
    found, done = weeks(farm, plan), done_word(farm)

    def draw(figure: Figure) -> None:
        axes = _axes(figure, farm, found, f"{sum_nouns(farm)} in the week")
        used, left = [week.heads_used for week in found], [week.heads_left for week in found]
        ordered = [week.heads_ordered for week in found]
        shown: list[Shown] = [_bars(axes, used, f"{done} and delivered", (SKY, ""))]
        if any(left):
            shown.append(_bars(axes, left, f"{done} and not sold", ("white", "////"), bottom=used))
        shown += axes.plot(
            range(len(found)), ordered, color=INK, linewidth=1.3, marker="o", markersize=2.6, label="ordered"
        )
        short = {at: ordered[at] for at, week in enumerate(found) if week.firm.short}
        if short:
            shown += axes.plot(
                list(short),
                list(short.values()),
                **SIGNS,
                marker="v",
                markersize=7.5,
                color=RED,
                label="a firm delivery is short",
            )
        _scale(axes, [*ordered, *(week.heads_cut for week in found)])
        _legend(figure, shown)

    what = f"{sum_nouns(farm)} {done}".capitalize()
    told = f"{what} and ordered in each of {len(found)} weeks; the table of weeks has the numbers."
    return svg_of("harvest", told, (WIDTH, HEIGHT), draw)


def crops_chart(farm: Farm, plan: Plan) -> str:
    """Return heads cut of each crop in each week, on top of each other."""
    found, styles = weeks(farm, plan), crop_styles(farm)
    crops = [name for name in farm.crops if any(week.heads[name] for week in found)]
    names = {name: legend_name(f"{styles[name].code} {name}", LETTERS) for name in crops}

    def draw(figure: Figure) -> None:
        axes = _axes(figure, farm, found, f"{sum_nouns(farm)} {done_word(farm)} in the week")
        shown: list[Shown] = []
        bottom: list[float] = [0] * len(found)
        for name in crops:
            style, heads = styles[name], [week.heads[name] for week in found]
            look = (style.colour, style.hatch * 3)
            draw_all = _bars if len(crops) * len(found) <= MOST_BARS else _steps
            shown.append(draw_all(axes, heads, names[name], look, bottom, style.ink))
            bottom = _added(bottom, heads)
        _scale(axes, bottom)
        _legend(figure, shown)

    what = f"{sum_nouns(farm)} {done_word(farm)}".capitalize()
    told = f"{what} of each of {len(crops)} crops in each of {len(found)} weeks."
    lines = ceil_div(len(crops), legend_columns(list(names.values()), COLUMNS, WIDTH))
    return svg_of("crops", told, (WIDTH, HEIGHT + LINE * max(0, lines - 1)), draw)


def hours_chart(farm: Farm, plan: Plan) -> str:
    """Return hours of each kind of work in each week, and the crew's hours where the book limits them."""
    found = weeks(farm, plan)
    works = [work for work in WORKS if any(week.minutes[work] for week in found)]
    crew = [week.crew / HOUR for week in found if week.crew is not None]

    def draw(figure: Figure) -> None:
        axes = _axes(figure, farm, found, "hours in the week")
        shown: list[Shown] = []
        bottom: list[float] = [0] * len(found)
        for work in works:
            name, colour, hatch = WORKS[work]
            hours = [week.minutes[work] / HOUR for week in found]
            shown.append(_bars(axes, hours, name, (colour, hatch), bottom))
            bottom = _added(bottom, hours)
        if crew and max(crew) <= FAR * max(bottom):
            shown.append(_limit(axes, crew, "hours the crew has"))
            _scale(axes, [*bottom, *crew])
        else:
            _scale(axes, bottom)
            if crew:
                axes.set_title(_crew(crew), loc="left", fontsize=SMALL)
        _legend(figure, shown, len(shown))

    told = f"Hours of work in each of {len(found)} weeks; the table of weeks has the numbers."
    return svg_of("hours", told, (WIDTH, HEIGHT), draw)


def places_chart(farm: Farm, plan: Plan) -> str:
    """Return, for each shelf, board zone and trough, slots in use in each week against those there are."""
    every, found = place_use(farm, plan), weeks(farm, plan)
    uses = _fullest(every)
    rows = -(-max(len(uses), 1) // PANELS)

    def draw(figure: Figure) -> None:
        panels = list(figure.subplots(rows, PANELS, squeeze=False).flat)
        shown: Sequence[Shown] = ()
        for panel, use in zip(panels, uses, strict=False):
            shown = _place(panel, farm, use)
            _dates(panel, farm, found, DATES // PANELS)
        for panel in panels[len(uses) :]:
            panel.set_visible(False)
        _legend(figure, shown)

    most = "" if len(uses) == len(every) else f", the fullest of {len(every)}"
    told = f"Slots in use of {len(uses)} places{most} in each of {len(found)} weeks, mean and fullest day."
    return svg_of("places", told, (WIDTH, LINE + PANEL * rows), draw)


def _fullest(uses: Sequence[PlaceUse]) -> Sequence[PlaceUse]:
    """Return all places, or the fullest of many, in the order of the book."""
    if len(uses) <= MOST_PANELS:
        return uses
    ranked = sorted(uses, key=lambda use: (-use.peak.used / max(1, use.peak.there), -use.peak.used))
    kept = {use.name for use in ranked[:MOST_PANELS]}
    return [use for use in uses if use.name in kept]


CHARTS: Mapping[str, Callable[[Farm, Plan], str]] = {
    "harvest": harvest_chart,
    "crops": crops_chart,
    "places": places_chart,
    "hours": hours_chart,
    "water": water_chart,
    "pace": pace_chart,
}
"""Name of a chart -> what draws it, as one ``<svg>`` element."""


def _place(axes: Axes, farm: Farm, use: PlaceUse) -> list[Shown]:
    at = range(len(use.weeks))
    means, peaks = [week.mean for week in use.weeks], [week.peak.used for week in use.weeks]
    most = [week.most for week in use.weeks]
    bars = axes.bar(at, means, 1.0, color=SKY, linewidth=0, label="mean of the week")
    ends = [each - 0.45 for each in at], [each + 0.45 for each in at]
    fullest = axes.hlines(peaks, *ends, color=BLUE, linewidth=1.8, label="its fullest day")
    limit = _limit(axes, most, "slots there are")
    peak, date = use.peak, farm.date_of(use.peak.day)
    axes.set_title(legend_name(use.name, LETTERS), loc="left", pad=4, fontweight="bold", fontsize=SMALL + 0.5)
    said = f"{peak.used:,} of {peak.there:,} {use.unit}s on {day_of_month(date)}"
    axes.set_title(said, loc="right", pad=4, fontsize=SMALL - 0.5)
    _scale(axes, [*peaks, *most])
    return [bars, fullest, limit]


def _axes(figure: Figure, farm: Farm, found: Sequence[Week], said: str) -> Axes:
    axes = figure.subplots()
    # a long one would stand higher than the axis and run into the legend
    axes.set_ylabel(fill(said, LABEL))
    _dates(axes, farm, found, DATES)
    return axes


def _bars(
    axes: Axes,
    heights: Sequence[float],
    label: str,
    look: tuple[str, str],
    bottom: Sequence[float] | float = 0,
    ink: str = INK,
) -> BarContainer:
    """Draw a bar for each week; ``look`` is colour and hatch, ``ink`` the colour of hatch and edge."""
    return axes.bar(
        range(len(heights)),
        heights,
        BAR,
        bottom,
        color=look[0],
        hatch=look[1],
        edgecolor=ink,
        linewidth=0.4,
        label=label,
        clip_on=False,
    )


def _steps(
    axes: Axes,
    heights: Sequence[float],
    label: str,
    look: tuple[str, str],
    bottom: Sequence[float],
    ink: str,
) -> Artist:
    """Draw what :func:`_bars` draws as one shape, without room between the weeks."""
    edges = [at - 0.5 for at in range(len(heights) + 1)]
    return axes.stairs(
        _added(bottom, heights),
        edges,
        baseline=bottom,
        fill=True,
        facecolor=look[0],
        hatch=look[1],
        edgecolor=ink,
        linewidth=0.4,
        label=label,
        clip_on=False,
    )


def _added(bottom: Sequence[float], more: Sequence[float]) -> list[float]:
    return [below + number for below, number in zip(bottom, more, strict=True)]


def _dates(axes: Axes, farm: Farm, found: Sequence[Week], most: int) -> None:
    """Write the first day of some weeks below a chart."""
    mark_dates(axes, range(len(found)), [farm.date_of(week.first) for week in found], most)
    axes.set_xlim(-0.6, len(found) - 0.4)


def _scale(axes: Axes, values: Sequence[float]) -> None:
    """Let the chart reach a little above its highest value, with a few whole numbers beside it."""
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axes.set_ylim(0, max(1.0, 1.06 * max(values, default=0)))
    axes.yaxis.set_major_locator(MaxNLocator(nbins=4, integer=True))
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.0f}"))
    axes.grid(axis="y")


def _limit(axes: Axes, limits: Sequence[float], label: str) -> Artist:
    """Draw a limit over each week as a broken line that steps where it changes."""
    edges = [at - 0.5 for at in range(len(limits) + 1)]
    return axes.stairs(
        limits, edges, baseline=None, color=INK, linewidth=1.4, linestyle=(0, (4, 1.5)), label=label
    )


def _crew(crew: Sequence[float]) -> str:
    least, most = f"{min(crew):,.4g}", f"{max(crew):,.4g}"
    hours = most if least == most else f"{least} to {most}"
    return f"The crew has {hours} hours a week, far above this chart."


def _legend(figure: Figure, shown: Sequence[Shown], columns: int = COLUMNS) -> None:
    if shown:
        labels = [str(each.get_label()) for each in shown]
        columns = legend_columns(labels, columns, WIDTH)
        figure.legend(
            cast("Sequence[Artist]", shown), labels, loc="outside upper left", ncols=columns, fontsize=SMALL
        )
