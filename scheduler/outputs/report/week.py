"""What a week's sheet shows, ready for its template: rows of text, sums, pictures and anchors."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from markupsafe import Markup

from scheduler.book.words import listed
from scheduler.farm.dates import long_day, period
from scheduler.farm.farm import Farm
from scheduler.outputs.cautions import SEED, cautions, cautions_for
from scheduler.outputs.report.pictures import Picture, Pictures
from scheduler.outputs.report.row import Row
from scheduler.outputs.report.rows import row_of
from scheduler.outputs.report.say import own, time
from scheduler.outputs.report.supply_rows import parts_given
from scheduler.outputs.words import HARVESTS, TAKEN_OUT, are_taken_out, counted, day_in_text
from scheduler.plan.tally import WORKS
from scheduler.plan.views.lines import Care, Cutting, Delivery, Line, Picking, Soaking, Sowing
from scheduler.plan.views.week import Amounts, Week, WorkDay
from scheduler.plan.words import are_greens, cell_word, done_word, head_word, own_nouns, seed_sum

VERBS = {
    "discard": "Throw away",
    "cut": "Cut",
    "pick": "Pick",
    "clear": "Pull out and clean up",
    "clean": "Clean rows between crops",
    "deliver": "Deliver",
    "lift": "Lift out empty rafts",
    "out": "Take out empty rafts",
    "raft": "Plant onto rafts, in at the intake end",
    "plant": "Set into beds",
    "transplant": "Plant onto boards",
    "move": "Move to another slot",
    "sow": "Sow",
    "uncover": "Uncover",
    "thin": "Thin",
    "soak": "Soak seed",
    "wash": "Wash",
    "order": "Order",
    "chore": "Chores of the house",
}
"""Kind of work -> how a sheet calls it."""

UNITS = {
    "cut": ("raft", "head"),
    "pick": ("", "piece"),
    "clear": ("", "plant"),
    "clean": ("", ""),
    "plant": ("", "plant"),
    "deliver": ("", "unit"),
    "discard": ("", "plant"),
    "lift": ("raft", ""),
    "out": ("raft", ""),
    "raft": ("raft", "plant"),
    "transplant": ("board", "plant"),
    "sow": ("tray", "cell"),
    "uncover": ("tray", "cell"),
    "thin": ("tray", "cell"),
    "soak": ("", "seed"),
    "wash": ("", ""),
    "move": ("", ""),
    "order": ("pack", ""),
    "chore": ("", ""),
}
"""Kind of work -> what its units and its plants are called in the sum; empty where none is told."""

HOURS = {
    "sow": "Sowing",
    "transplant": "Planting onto boards",
    "raft": "Planting onto rafts",
    "plant": "Setting into beds",
    "cut": "Cutting",
    "pick": "Picking",
    "clear": "Clearing beds",
    "wash": "Washing",
    "lift": "Lifting out",
    "chore": "Chores",
}
"""Kind of work that hours are counted for -> how a sheet calls it."""

CAUTIONED = {"out": "lift"}
"""Kinds of work that have the cautions of another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """All lines of one kind of work on one day: its name, their sum, cautions, rows."""

    work: str
    verb: str
    sum: str
    cautions: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A drawing of a trough or shelf after a day's work; ``last`` where the week has no later one of it."""

    picture: Picture
    last: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySheet:
    """One day: heading, hours in words, blocks of work, pictures; ``short`` heads its columns."""

    anchor: str
    name: str
    short: str
    hours: str
    closed: str
    blocks: tuple[Block, ...]
    pictures: tuple[Drawn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRow:
    """One row of the week's table of hours: a name, a cell for each day, and their sum."""

    name: str
    cells: tuple[str, ...]
    sum: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """One line of a customer's list: the day, what, how much of how much, and what is missing."""

    day: str
    product: Markup
    amount: str
    missing: str
    reason: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekSheet:
    """One week, ready to print; ``page`` names its printed pages, ``brief`` tells it in the contents.

    ``span`` has its first and last day, ``dates`` the same in words.
    """

    anchor: str
    page: str
    number: int
    title: str
    span: tuple[date, date]
    dates: str
    brief: Mapping[str, str]
    days: tuple[DaySheet, ...]
    idle: str
    hour_days: tuple[str, ...]
    hours: tuple[HoursRow, ...]
    total: HoursRow
    crew: HoursRow | None
    customers: tuple[tuple[Markup, tuple[Parcel, ...]], ...]
    targets: tuple[tuple[Markup, tuple[Parcel, ...]], ...]

    @property
    def last_drawn(self) -> tuple[Drawn, ...]:
        """The last drawing of the week of each trough and shelf."""
        return tuple(drawn for day in self.days for drawn in day.pictures if drawn.last)


def week_sheet(farm: Farm, week: Week, pictures: Pictures) -> WeekSheet:
    """Return a week ready for its template."""
    busy = [day for day in week.days if day.work or day.closed]
    idle = [day for day in week.days if day not in busy]
    worked = [day for day in week.days if day.minutes]
    span = farm.date_of(week.first), farm.date_of(week.last)
    return WeekSheet(
        anchor=f"week-{week.number}",
        page=f"week{week.number}",
        number=week.number,
        title=f"Week {week.number}",
        span=span,
        dates=period(*span),
        brief=_brief(farm, week),
        days=tuple(_seed_once(_day(farm, week, day, pictures) for day in busy)),
        idle=listed([day_in_text(farm, day.day) for day in idle]),
        hour_days=tuple(day_in_text(farm, day.day) for day in worked),
        hours=tuple(_hours_row(work, week, worked) for work in WORKS if week.minutes.get(work)),
        total=HoursRow(
            name="Together",
            cells=tuple(time(day.total) for day in worked),
            sum=time(sum(day.total for day in worked)),
        ),
        crew=_crew(worked),
        customers=tuple(_customers(farm, week.deliveries)),
        targets=tuple(_targets(farm, week.targets)),
    )


def _seed_once(days: Iterable[DaySheet]) -> Iterator[DaySheet]:
    """Leave out the caution about seed after the first work of the week it stands under; others come again.

    What seed is bought is decided once: at the water, with knives and over microgreens every day counts.
    """
    of_seed = {caution.text for caution in cautions() if caution.name == SEED}
    told: set[str] = set()
    for day in days:
        blocks = []
        for block in day.blocks:
            said = tuple(text for text in block.cautions if text not in told)
            told |= of_seed.intersection(said)
            blocks.append(replace(block, cautions=said))
        yield replace(day, blocks=tuple(blocks))


def _brief(farm: Farm, week: Week) -> dict[str, str]:
    """Return the few figures of a week that the contents show; nothing for those that are none."""
    found = {}
    for work in ("sow", "transplant", "raft"):
        units = week.amounts(work).units
        found[work] = f"{units:,}" if units else ""
    found["harvest"] = _harvest(farm, week)
    short = sum(1 for each in week.deliveries if each.filled < each.amount)
    found["deliver"] = f"{len(week.deliveries):,}" if week.deliveries else ""
    found["short"] = f"{short:,}" if short else ""
    found["hours"] = time(sum(week.minutes.values())) if week.minutes else ""
    return found


def harvest_heading(farm: Farm) -> str:
    """Return what heads the harvest of each week: ``Heads cut``, ``Pieces picked``, ``Harvested``."""
    nouns = own_nouns(farm)
    done = done_word(farm)
    return done.capitalize() if _several(farm) else f"{nouns} {done}".capitalize()


def _several(farm: Farm) -> bool:
    return len({head_word(crop) for crop in farm.crops.values()}) > 1


def _harvest(farm: Farm, week: Week) -> str:
    """Return all that is cut and picked in a week; each kind with its noun where a farm has several."""
    lines = [line for day in week.days for work in HARVESTS for line in day.work.get(work, ())]
    sums = _sums(farm, lines)
    if _several(farm):
        return ", ".join(counted(number, word) for word, number in sums.items())
    return "".join(f"{number:,}" for number in sums.values())


def _sums(farm: Farm, lines: Iterable[Line]) -> dict[str, int]:
    """Return head, piece or gram -> how many of them are cut or picked, in the same order every week."""
    sums = dict.fromkeys(map(head_word, farm.crops.values()), 0)
    for line in lines:
        if isinstance(line, Cutting | Picking):
            sums[head_word(farm.crops[line.crop])] += line.heads
    return {word: number for word, number in sums.items() if number}


def _day(farm: Farm, week: Week, day: WorkDay, pictures: Pictures) -> DaySheet:
    return DaySheet(
        anchor=f"week-{week.number}-day-{day.day}",
        name=long_day(farm.date_of(day.day)),
        short=day_in_text(farm, day.day),
        hours=_hours(day),
        closed=f"Closed: no {listed([str(work) for work in day.closed], 'or')} work today."
        if day.closed
        else "",
        blocks=tuple(_block(farm, day, work) for work in day.work),
        pictures=tuple(_drawn(week, day, pictures)),
    )


def _drawn(week: Week, day: WorkDay, pictures: Pictures) -> Iterator[Drawn]:
    later = [each for each in week.days if each.day > day.day]
    for trough in day.troughs:
        last = all(trough not in each.troughs for each in later)
        yield from (Drawn(picture=each, last=last) for each in pictures.trough(trough, day.day))
    for shelf in day.shelves:
        last = all(shelf not in each.shelves for each in later)
        yield from (Drawn(picture=each, last=last) for each in pictures.shelf(shelf, day.day))


def _hours(day: WorkDay) -> str:
    said = []
    if day.total:
        said.append(f"{time(day.total)} of {time(day.crew)}" if day.crew else time(day.total))
    elif day.work and day.crew == 0:  # uncovering, thinning and delivering take no counted time
        said.append("the crew has no hours today")
    said += [f"{name}: {crates} of {room} crates in the evening" for name, crates, room in day.cooled]
    return "; ".join(said)


def _block(farm: Farm, day: WorkDay, work: str) -> Block:
    return Block(
        work=work,
        verb=TAKEN_OUT if are_taken_out(farm, work, _cut_crops(day, work)) else VERBS[work],
        sum=sum_of(farm, day, work),
        cautions=tuple(_cautions(farm, day, work)),
        rows=tuple(row_of(line, farm) for line in day.work[work]),
    )


def _cautions(farm: Farm, day: WorkDay, work: str) -> Iterator[str]:
    """Yield the cautions of a kind of work; that of wet rafts only where there are rafts."""
    crops = [farm.crops[crop] for crop in _cut_crops(day, work)]
    dry = bool(crops) and all(crop.is_cut_in_trays for crop in crops)
    seeded = [line.crop for line in day.work[work] if isinstance(line, Sowing | Soaking)]
    for caution in cautions_for(CAUTIONED.get(work, work), greens=are_greens(farm, seeded)):
        if caution.name != "lift" or not dry:
            yield caution.text


def _cut_crops(day: WorkDay, work: str) -> list[str]:
    return [line.crop for line in day.work[work] if isinstance(line, Cutting)]


def sum_of(farm: Farm, day: WorkDay, work: str) -> str:
    """Return the units and plants of one kind of work on a day, seed that is soaked by its own measure."""
    if work == "soak":
        return seed_sum(
            farm, ((line.crop, line.seeds) for line in day.work[work] if isinstance(line, Soaking))
        )
    if work in HARVESTS:
        return _harvested(farm, day, work)
    amounts = day.amounts(work)
    lines = (line for line in day.work[work] if isinstance(line, Sowing | Care))
    whole = sum(line.cells for line in lines if cell_word(farm, line.crop) == "tray")
    return _sum(work, replace(amounts, plants=amounts.plants - whole))


def _harvested(farm: Farm, day: WorkDay, work: str) -> str:
    """Return rafts and trays, then what is cut or picked: heads, pieces and grams each by themselves."""
    units: dict[str, int] = {}
    sums = _sums(farm, day.work[work])
    for line in day.work[work]:
        # where trays are what is sold, their number is told once
        if isinstance(line, Cutting) and head_word(farm.crops[line.crop]) != "tray":
            item = "tray" if farm.crops[line.crop].is_cut_in_trays else "raft"
            units[item] = units.get(item, 0) + line.units
    return ", ".join(
        [
            *(counted(units[item], item) for item in ("raft", "tray") if units.get(item)),
            *(counted(number, word) for word, number in sums.items()),
        ]
    )


def _sum(work: str, amounts: Amounts) -> str:
    unit, plant = UNITS[work]
    said = [counted(amounts.units, unit)] if unit else []
    said += [counted(amounts.plants, plant)] if plant and (amounts.plants or not said) else []
    return ", ".join(said)


def _hours_row(work: str, week: Week, days: Sequence[WorkDay]) -> HoursRow:
    return HoursRow(
        name=HOURS[work],
        cells=tuple(time(day.minutes[work]) if work in day.minutes else "" for day in days),
        sum=time(week.minutes[work]),
    )


def _crew(days: Sequence[WorkDay]) -> HoursRow | None:
    limits = [day.crew for day in days if day.crew is not None]
    if not limits:
        return None
    return HoursRow(name="The crew has", cells=tuple(time(limit) for limit in limits), sum=time(sum(limits)))


def _customers(farm: Farm, deliveries: Sequence[Delivery]) -> Iterator[tuple[Markup, tuple[Parcel, ...]]]:
    for customer, theirs in groupby(deliveries, key=lambda each: each.customer):
        yield own(customer), tuple(_parcel(each, day_in_text(farm, each.day)) for each in theirs)


def _targets(farm: Farm, targets: Sequence[Delivery]) -> Iterator[tuple[Markup, tuple[Parcel, ...]]]:
    for each in targets:
        days = f"{day_in_text(farm, each.day)} to {day_in_text(farm, each.last)}"
        yield own(each.order), (_parcel(each, days),)


def _parcel(each: Delivery, day: str) -> Parcel:
    missing = each.amount - each.filled
    return Parcel(
        day=day,
        product=own(each.product),
        amount=Markup(", ").join(parts_given(each)),
        missing=f"{missing:,} of {each.amount:,} short" if missing > 0 else "",
        reason=own(each.reason) if missing > 0 else Markup(""),
    )
