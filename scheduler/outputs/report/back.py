"""What the pages at the back show, ready for their template: orders, numbers, lots, figures, cautions."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from crops.library import sources
from crops.rows import MARKS, NO_SOURCE, Source
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.cautions import LOCAL, cautions
from scheduler.outputs.drawings.palette import crop_styles
from scheduler.outputs.report.crop_cards import Card, crop_card
from scheduler.outputs.report.lifting import Lifting, lifting
from scheduler.outputs.report.lots import Lot, LotPage, lot_line
from scheduler.outputs.report.money_rows import MoneyTable, money_table
from scheduler.outputs.report.say import own
from scheduler.outputs.report.season import Line, hours, week_of
from scheduler.outputs.words import counted, day_in_text
from scheduler.plan.rows import GoalRow, Plan, SupplyRow
from scheduler.plan.tally import WORKS
from scheduler.plan.views.figures import CropFigures, crop_figures
from scheduler.plan.views.season import Season, SeedSum, season
from scheduler.plan.words import done_word, sum_nouns

CALLED = {
    "sow": "Sowing",
    "transplant": "Onto boards",
    "raft": "Onto rafts",
    "plant": "Into beds",
    "cut": "Cutting",
    "pick": "Picking",
    "clear": "Clearing",
    "wash": "Washing",
    "lift": "Lifting out",
    "chore": "Chores",
}
"""Kind of work that hours are counted for -> heading of its column."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One order to place; ``late`` says so where it comes late."""

    day: str
    item: Markup
    packs: str
    amount: str
    purpose: Markup
    needed: str
    lasts: str
    cost: str
    late: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Seed:
    """Seed of one crop for the season."""

    crop: Markup
    variety: Markup
    sowings: str
    days: str
    cells: str
    seeds: str
    cost: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbers:
    """A table of whole or decimal numbers, one line a week; the last line is the sum, where there is one."""

    title: str
    heads: tuple[Markup, ...]
    rows: tuple[Line, ...]
    sum: Line | None
    foot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One goal and how far the plan is known to reach it."""

    name: str
    value: str
    bound: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """One caution in full, its source, how that was seen, and what was not read in it."""

    text: str
    source: str
    mark: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BackPage:
    """The pages at the back; ``sources`` are (number, source in one line, how it was seen).

    With ``lot_pages`` the lots stand on those, and only links to them at the back.
    """

    orders: tuple[Order, ...]
    orders_cost: str
    seed: tuple[Seed, ...]
    seed_cost: str
    money: MoneyTable | None
    numbers: tuple[Numbers, ...]
    lots: tuple[Lot, ...]
    lot_pages: tuple[LotPage, ...] = ()
    cards: tuple[Card, ...]
    marks: tuple[tuple[str, str], ...]
    sources: tuple[tuple[int, str, str], ...]
    lifting: Lifting
    cautions: tuple[Warned, ...]
    goals: tuple[Goal, ...]
    local: str


def back_context(farm: Farm, plan: Plan) -> BackPage:
    """Return what ``back.html.j2`` shows."""
    found, figures = season(farm, plan), crop_figures(farm)
    used = list(_sources_of(figures))
    numbers = {source.source_id: number for number, source in enumerate(used, start=1)}
    marks = {figure.mark for crop in figures for figure in crop.figures}
    return BackPage(
        orders=tuple(_order(farm, row) for row in found.supplies),
        orders_cost=_money(farm, found.supplies_cost),
        seed=tuple(_seed(farm, row) for row in found.seed),
        seed_cost=_money(farm, found.seed_cost),
        money=money_table(farm, plan),
        numbers=(_heads(farm, found), _hours(farm, found), _places(farm, found)),
        lots=tuple(lot_line(farm, story) for story in found.lots),
        cards=tuple(crop_card(crop, numbers) for crop in figures),
        marks=tuple((mark, meaning) for mark, meaning in MARKS.items() if mark in marks),
        sources=tuple((numbers[source.source_id], source.on_paper, source.evidence) for source in used),
        lifting=lifting(farm),
        cautions=tuple(
            Warned(text=each.in_full, source=each.source.on_paper, mark=each.evidence, note=each.note)
            for each in cautions()
        ),
        goals=tuple(_goal(row) for row in plan.goals),
        local=LOCAL,
    )


def _sources_of(figures: Iterable[CropFigures]) -> Iterator[Source]:
    """Return the sources that figures of cards rest on, in the order of the library."""
    used = {figure.source_id for crop in figures for figure in crop.figures}
    return (source for key, source in sources().items() if key in used and key != NO_SOURCE)


def _money(farm: Farm, hundredths: int) -> str:
    """Return an amount with the farm's currency; empty for nothing."""
    return f"{hundredths / CENT:,.2f} {farm.currency}" if hundredths else ""


def _order(farm: Farm, row: SupplyRow) -> Order:
    return Order(
        day=day_in_text(farm, max(row.order_by, farm.today)),
        item=own(row.item),
        packs=counted(row.packs, "pack"),
        amount=counted(row.amount, {"seed": "seed", "plugs": "plug"}.get(row.kind, "piece")),
        purpose=own(row.crop_or_product),
        needed=day_in_text(farm, row.arrive_by),
        lasts=day_in_text(farm, row.covers_until),
        cost=_money(farm, row.cost),
        late=f"comes late: it was to be ordered by {day_in_text(farm, row.order_by)}" if row.late else "",
    )


def _seed(farm: Farm, row: SeedSum) -> Seed:
    return Seed(
        crop=own(row.crop),
        variety=own(row.variety),
        sowings=f"{row.sowings:,}",
        days=" to ".join(dict.fromkeys(day_in_text(farm, day) for day in (row.first, row.last))),
        cells=f"{row.cells:,}",
        seeds=f"{row.seeds:,}",
        cost=_money(farm, row.cost),
    )


def _heads(farm: Farm, found: Season) -> Numbers:
    styles = crop_styles(farm)
    rows = [
        Line(
            head=week_of(farm, week.first, week.last),
            cells=(*(_shown(week.heads[crop]) for crop in farm.crops), _shown(week.heads_cut)),
        )
        for week in found.weeks
    ]
    sums = [_shown(found.heads_of(crop)) for crop in farm.crops]
    names = ", ".join(f"{styles[crop].code} {crop}" for crop in farm.crops)
    return Numbers(
        title=f"{sum_nouns(farm)[0].upper()}{sum_nouns(farm)[1:]} {done_word(farm)} by crop",
        heads=(*(own(styles[crop].code) for crop in farm.crops), Markup("All")),
        rows=tuple(rows),
        sum=Line(head="Season", cells=(*sums, _shown(found.heads_cut))),
        foot=f"{names}.",
    )


def _hours(farm: Farm, found: Season) -> Numbers:
    works = [work for work in WORKS if found.minutes_of(work)]
    limited = farm.crew is not None
    rows = [
        Line(
            head=week_of(farm, week.first, week.last),
            cells=(
                *(hours(week.minutes[work]) for work in works),
                hours(week.worked),
                *([hours(week.crew)] if week.crew is not None else []),
            ),
        )
        for week in found.weeks
    ]
    return Numbers(
        title="Hours by work",
        heads=tuple(Markup(name) for name in (*(CALLED[work] for work in works), "All", *["Crew"] * limited)),
        rows=tuple(rows),
        sum=Line(
            head="Season",
            cells=(*(hours(found.minutes_of(work)) for work in works), hours(found.worked), *[""] * limited),
        ),
        foot="Crew: the hours the book gives for the week."
        if limited
        else "The book gives no hours of a crew.",
    )


def _places(farm: Farm, found: Season) -> Numbers:
    uses = [use for use in (*found.places, *found.equipment) if len(use.weeks) == len(found.weeks)]
    rows = [
        Line(
            head=week_of(farm, week.first, week.last),
            cells=tuple(f"{use.weeks[at].peak.used:,} of {use.weeks[at].peak.there:,}" for use in uses),
        )
        for at, week in enumerate(found.weeks)
    ]
    return Numbers(
        title="Fullest day of each week",
        heads=tuple(own(use.name) for use in uses),
        rows=tuple(rows),
        sum=None,
        foot="Slots in use of those there are; of trays, boards, rafts and domes those in use or washed, "
        "of those owned.",
    )


def _shown(number: int) -> str:
    return f"{number:,}" if number else ""


def _goal(row: GoalRow) -> Goal:
    return Goal(
        name=row.goal,
        value=f"{row.value:,.2f} {row.unit}",
        bound="not known" if row.bound is None else f"{row.bound:,.2f}",
        status=row.status,
    )
