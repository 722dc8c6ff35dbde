"""What the season page shows, ready for its template: what is filled, what is short and why, charts."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import period
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.charts import CHARTS
from scheduler.outputs.report.say import own
from scheduler.outputs.words import counted, day_in_text, money, plain
from scheduler.plan.instead import instead
from scheduler.plan.outlets import gone
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.views.season import Asked, OutOfReach, Season, Week, season
from scheduler.plan.words import done_word, sum_in_words, sum_nouns

MINUTES = 60
MOST_SHORT = 500
"""Deliveries of one kind that the page lists: some ten pages."""

CAPTIONS = {
    "harvest": (
        "Harvest against orders",
        "{Heads} {cut} in each week, and {heads} that the deliveries and targets of that week take. "
        "What is delivered on a Monday may have been {cut} the week before.",
    ),
    "crops": (
        "{Harvest} by crop",
        "{Heads} {cut} in each week; colour, hatch and letters are those of the drawings.",
    ),
    "places": (
        "Places against their limits",
        "Slots in use in each week. What is closed or out of service is off the limit, "
        "which is that of the day with most slots.",
    ),
    "hours": ("Hours", "Work in each week, by the minutes of the book and the crop cards."),
}
"""Chart -> its heading and what is to be known about it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One line on deliveries of one kind: counts and units as text."""

    name: str
    asked: str
    filled: str
    short: str
    unreachable: str
    ordered: str
    delivered: str
    missing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """One delivery that is short."""

    day: str
    whom: Markup
    product: Markup
    missing: str
    reason: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Early:
    """Deliveries of one product that are too early or out of reach."""

    product: Markup
    deliveries: str
    missing: str
    days: str
    reason: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of a table with a heading in front; ``marked`` for a week in which a firm delivery is short."""

    head: str
    cells: tuple[str, ...]
    marked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One chart with its heading and caption."""

    name: str
    title: str
    caption: str
    svg: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPage:
    """The season's page: ``lead`` are its first sentences, ``shorts`` (heading, rows) of each kind."""

    lead: tuple[str, ...]
    kinds: tuple[Kind, ...]
    shorts: tuple[tuple[str, tuple[Short, ...]], ...]
    early: tuple[Early, ...]
    charts: tuple[Picture, ...]
    week_heads: tuple[str, ...]
    weeks: tuple[Line, ...]
    total: Line


def season_context(farm: Farm, plan: Plan) -> SeasonPage:
    """Return what ``season.html.j2`` shows."""
    found = season(farm, plan)
    asked = [(name, each) for name, each in _kinds(found) if each.deliveries]
    return SeasonPage(
        lead=(*_lead(asked), *_instead(farm, plan), *_goods(farm, plan)),
        kinds=tuple(_kind(name, each) for name, each in asked),
        shorts=tuple(_shorts(farm, found.short)),
        early=tuple(_early(farm, row) for row in found.unreachable),
        charts=tuple(
            Picture(name=name, title=title, caption=caption, svg=Markup(draw(farm, plan)))
            for name, draw in CHARTS.items()
            if name in CAPTIONS
            for title, caption in (captioned(farm, name),)
        ),
        week_heads=(*(name for name, _ in asked), *_harvest_heads(farm), "Not sold", "Hours"),
        weeks=tuple(_week(farm, week, [name for name, _ in asked]) for week in found.weeks),
        total=_total(found, [each for _, each in asked]),
    )


def hours(minutes: int) -> str:
    """Return hundredths of a minute as hours with one decimal."""
    return f"{minutes / CENT / MINUTES:,.1f}"


def week_of(farm: Farm, first: int, last: int) -> str:
    """Return a week as ``2 to 8 March 2026``."""
    return period(farm.date_of(first), farm.date_of(last))


def _kinds(found: Season | Week) -> list[tuple[str, Asked]]:
    return [
        ("Firm deliveries", found.firm),
        ("Flexible deliveries", found.flexible),
        ("Weeks of targets", found.targets),
    ]


def _lead(asked: Iterable[tuple[str, Asked]]) -> Iterable[str]:
    """Say of each kind what is filled, and what is short."""
    said = False
    for name, each in asked:
        noun, said = name[0].lower() + name[1:], True
        if each.complete == each.deliveries:
            yield (
                f"All {each.deliveries:,} {noun} are filled."
                if each.deliveries > 1
                else f"{name}: 1, filled."
            )
            continue
        parts = [f"{each.complete:,} of {each.deliveries:,} {noun} are filled"]
        if each.short:
            parts.append(f"{each.short:,} short, {counted(each.missing, 'unit')} missing in all")
        if each.unreachable:
            parts.append(f"{each.unreachable:,} too early or out of reach, which no new sowing can fill")
        yield "; ".join(parts) + "."
    if not said:
        yield "No deliveries were asked for."


def _instead(farm: Farm, plan: Plan) -> Iterable[str]:
    """Say of each substitute how much of it is given."""
    for each in instead(farm, plan):
        units = f"{counted(each.units, 'unit')} of {plain(each.substitute)}"
        where = "1 delivery" if each.deliveries == 1 else f"{each.deliveries:,} deliveries"
        yield f"In place of {plain(each.product)}: {units}, in {where}."


def _goods(farm: Farm, plan: Plan) -> Iterable[str]:
    """Say where all heads go, where the farm has outlets."""
    if not farm.outlets:
        return
    found = gone(farm, plan)
    harvested = f"{sum_in_words(farm, found.heads)} {done_word(farm)}"
    yield (
        f"Of {harvested}, {found.given:,} go into deliveries and targets, "
        f"{sum(found.sold.values()):,} are sold at outlets, {found.left:,} are left over."
    )
    for outlet, units in found.units.items():
        yield f"{plain(outlet)}: {counted(units, 'unit')} sold for {money(farm, found.takings[outlet])}."


def _kind(name: str, each: Asked) -> Kind:
    return Kind(
        name=name,
        asked=f"{each.deliveries:,}",
        filled=f"{each.complete:,}",
        short=f"{each.short:,}",
        unreachable=f"{each.unreachable:,}",
        ordered=f"{each.ordered:,}",
        delivered=f"{each.filled:,}",
        missing=f"{each.missing:,}",
    )


def _shorts(farm: Farm, rows: Sequence[DemandRow]) -> Iterable[tuple[str, tuple[Short, ...]]]:
    for name, firm, target in (
        ("Firm deliveries", True, False),
        ("Flexible deliveries", False, False),
        ("Weeks of targets", False, True),
    ):
        found = [row for row in rows if row.target == target and (target or row.firm == firm)]
        if found:
            most = f"; the first {MOST_SHORT:,} of {len(found):,}, all of them stand in tables/demands.csv"
            listed = name if len(found) <= MOST_SHORT else f"{name}{most}"
            yield listed, tuple(_short(farm, row) for row in found[:MOST_SHORT])


def _short(farm: Farm, row: DemandRow) -> Short:
    return Short(
        day=_dated(farm, row.day),
        whom=own(row.customer or row.order),
        product=own(row.product),
        missing=f"{row.amount - row.filled:,} of {row.amount:,}",
        reason=own(row.reason),
    )


def _early(farm: Farm, row: OutOfReach) -> Early:
    days = [_dated(farm, row.first), _dated(farm, row.last)]
    return Early(
        product=own(row.product),
        deliveries=f"{row.deliveries:,}",
        missing=f"{row.missing:,}",
        days=days[0] if row.first == row.last else f"{days[0]} to {days[1]}",
        reason=own(row.reason),
    )


def _dated(farm: Farm, day: int) -> str:
    """Return a day as ``Tue 10 Mar``, with the year where it is not that of the first day."""
    year = farm.date_of(day).year
    return day_in_text(farm, day) + (f" {year}" if year != farm.calendar.first_day.year else "")


def _week(farm: Farm, week: Week, kinds: Sequence[str]) -> Line:
    cells = [_filled(each) for name, each in _kinds(week) if name in kinds]
    counts = (week.heads_ordered, week.heads_cut, week.heads_left)
    cells += [*(f"{number:,}" for number in counts), hours(week.worked)]
    return Line(head=week_of(farm, week.first, week.last), cells=tuple(cells), marked=bool(week.firm.short))


def _filled(each: Asked) -> str:
    return f"{each.complete:,} of {each.deliveries:,}" if each.deliveries else "-"


def _total(found: Season, asked: Sequence[Asked]) -> Line:
    counts = (found.heads_ordered, found.heads_cut, found.heads_left)
    cells = [*map(_filled, asked), *(f"{number:,}" for number in counts), hours(found.worked)]
    return Line(head="Season", cells=tuple(cells))


def captioned(farm: Farm, chart: str) -> tuple[str, str]:
    """Return title and caption of a chart, in the words for what the farm's crops give."""
    nouns = sum_nouns(farm)
    words = {
        "heads": nouns,
        "Heads": nouns[0].upper() + nouns[1:],
        "Harvest": "Heads" if nouns == "heads" else "Harvest",
        "cut": done_word(farm),
    }
    title, caption = CAPTIONS[chart]
    return title.format(**words), caption.format(**words)


def _harvest_heads(farm: Farm) -> tuple[str, str]:
    """Return the headings of what is ordered and harvested in a week."""
    return ("Heads ordered", "Heads cut") if sum_nouns(farm) == "heads" else ("Ordered", "Harvested")
