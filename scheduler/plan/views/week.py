"""The work sheets of a plan: week by week and day by day, every line the crew needs, in numbers and names."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from scheduler.farm.calendar import WEEK, Work
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.rows import Plan
from scheduler.plan.views.bed_lines import bed_lines
from scheduler.plan.views.ledger import Ledger, Spot
from scheduler.plan.views.lines import (
    DAY_ORDER,
    Care,
    Chore,
    Cutting,
    Delivery,
    Discarding,
    Line,
    Moving,
    Ordering,
    Picking,
    PullingOut,
    SettingIn,
    SettingOut,
    Soaking,
    Sowing,
    TakingOut,
    Washing,
)
from scheduler.plan.views.nursery_lines import nursery_lines
from scheduler.plan.views.places import evening_crates
from scheduler.plan.views.supply_lines import deliveries, supply_lines
from scheduler.plan.views.trough_lines import trough_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """How much there is to do of one kind of work on one day.

    ``units`` counts trays, boards, rafts or packs, each once; ``plants`` cells, plants, heads or sale units.
    """

    units: int
    plants: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkDay:
    """One day of a sheet.

    Attributes:
        day: the day.
        work: kind of work -> its lines, kinds in the order they can be done in.
        minutes: kind of work -> hundredths of a minute, kinds in the order of the plan's hours.
        crew: hundredths of a minute the crew has; None without a limit.
        closed: kinds of work that fall on this day of the week and are closed today.
        troughs: troughs in which something was set out, cut, taken out or thrown away.
        shelves: shelves on which trays were sown.
        cooled: (cooler, crates in it in the evening, crates there is room for), those in use.
    """

    day: int
    work: Mapping[str, tuple[Line, ...]]
    minutes: Mapping[str, int]
    crew: int | None
    closed: tuple[Work, ...]
    troughs: tuple[str, ...]
    shelves: tuple[str, ...]
    cooled: tuple[tuple[str, int, int], ...] = ()

    @property
    def total(self) -> int:
        """Work of all kinds, hundredths of a minute."""
        return sum(self.minutes.values())

    def amounts(self, work: str) -> Amounts:
        """Return the sums over all lines of a kind of work."""
        counted = [_amounts(line) for line in self.work.get(work, ())]
        return Amounts(units=sum(units for units, _ in counted), plants=sum(plants for _, plants in counted))


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One sheet: the days of one calendar week that the plan reports, today's first.

    Attributes:
        number: which week of the plan it is, from 1; that of the first day is 1.
        first, last: its first and last day.
        days: all days from first to last, those without work too.
        deliveries: what goes to customers in the week, by customer, day and product; also what is short.
        targets: weekly targets of the week.
    """

    number: int
    first: int
    last: int
    days: tuple[WorkDay, ...]
    deliveries: tuple[Delivery, ...]
    targets: tuple[Delivery, ...]

    @property
    def minutes(self) -> dict[str, int]:
        """Work of each kind in the week, hundredths of a minute."""
        found: dict[str, int] = defaultdict(int)
        for day in self.days:
            for work, minutes in day.minutes.items():
                found[work] += minutes
        return dict(found)

    def amounts(self, work: str) -> Amounts:
        """Return the sums over all days for a kind of work."""
        days = [day.amounts(work) for day in self.days]
        return Amounts(units=sum(day.units for day in days), plants=sum(day.plants for day in days))


def week_sheets(farm: Farm, plan: Plan) -> tuple[Week, ...]:
    """Return the sheets of all weeks from today through the last reported day."""
    ledger = Ledger(farm, plan)
    lines: dict[int, dict[str, list[Line]]] = defaultdict(lambda: defaultdict(list))
    rank = {place.name: at for at, place in enumerate(farm.places)}
    made = [*nursery_lines(ledger), *trough_lines(ledger), *bed_lines(ledger), *supply_lines(ledger)]
    for day, work, line in sorted(made, key=lambda each: _place_of(each[2], rank)):
        lines[day][work].append(line)
    minutes: dict[int, dict[str, int]] = defaultdict(dict)
    for row in plan.hours:
        minutes[row.day][row.work] = row.minutes
    goods = sorted(deliveries(ledger), key=lambda each: (each.customer, each.day, each.product, each.demand))
    cooled = evening_crates(farm, plan)
    weeks = []
    calendar = farm.calendar
    for start in range(calendar.week_start(farm.today), calendar.days, WEEK):
        first, last = max(start, farm.today), min(start + WEEK, calendar.days) - 1
        weeks.append(
            Week(
                number=(start - calendar.week_start(0)) // WEEK + 1,
                first=first,
                last=last,
                days=tuple(
                    replace(_day(farm, day, lines[day], minutes[day]), cooled=cooled.get(day, ()))
                    for day in range(first, last + 1)
                ),
                deliveries=tuple(d for d in goods if d.customer and first <= d.day <= last),
                targets=tuple(d for d in goods if not d.customer and d.day <= last and d.last >= first),
            )
        )
    return tuple(weeks)


def _day(farm: Farm, day: int, lines: Mapping[str, list[Line]], minutes: Mapping[str, int]) -> WorkDay:
    calendar = farm.calendar
    work = {kind: _counted_once(lines[kind]) for kind in DAY_ORDER if lines.get(kind)}
    places = [place for kind in work for line in work[kind] for place in _touched(line)]
    names = {name for name, kind in places if kind is not PlaceKind.TIER}
    shelves = {name for line in work.get("sow", ()) for name, _ in _touched(line)}
    return WorkDay(
        day=day,
        work=work,
        minutes=minutes,
        crew=None if farm.crew is None else farm.crew.on(day),
        closed=tuple(
            kind
            for kind in Work
            if calendar.weekday(day) in calendar.work_days[kind] and day in calendar.closed[kind]
        ),
        troughs=tuple(dict.fromkeys(p.belongs_to for p in farm.places if p.belongs_to in names)),
        shelves=tuple(dict.fromkeys(p.belongs_to for p in farm.places if p.belongs_to in shelves)),
    )


def _place_of(line: Line, rank: Mapping[str, int]) -> tuple[int, tuple[int, ...], str]:
    """Return a key that puts lines in the order of the places they are done at; others keep to names."""
    spots = _spots(line)
    where = (rank[spots[-1].place], spots[-1].slots) if spots else (len(rank), ())
    return *where, getattr(line, "lot", "")


def _touched(line: Line) -> list[tuple[str, PlaceKind]]:
    """Return shelves and troughs in which a line changes what stands there, and which part of them."""
    if isinstance(line, Care | Washing):
        return []
    return [(spot.owner, spot.kind) for spot in _spots(line) if spot.kind is not PlaceKind.BED]


def _spots(line: Line) -> list[Spot]:
    """Return the places of a line; the last is the one it is done at."""
    match line:
        case Sowing(targets=stacks) | Discarding(sources=stacks) | Care(sources=stacks):
            return [stack.spot for stack in stacks]
        case SettingOut():
            return [stack.spot for stack in (*line.sources, *line.targets)]
        case Cutting(row=spot) | TakingOut(row=spot) | Picking(bed=spot) | PullingOut(bed=spot):
            return [spot]
        case SettingIn():
            return [*(stack.spot for stack in line.sources), line.bed]
        case Moving():
            return [line.source, line.target]
        case Washing(sources=spots):
            return list(spots)
        case _:
            return []


def _amounts(line: Line) -> tuple[int, int]:
    """Return units and plants of a line."""
    match line:
        case Sowing(units=units, cells=plants) | Care(units=units, cells=plants):
            return units, plants
        case SettingOut(units=units, plants=plants) | Cutting(units=units, heads=plants):
            return units, plants
        case TakingOut(units=units) | Washing(units=units):
            return units, 0
        case Soaking(seeds=plants) | Discarding(plants=plants) | Delivery(filled=plants):
            return 0, plants
        case SettingIn(plants=plants) | Picking(heads=plants) | PullingOut(plants=plants):
            return 0, plants
        case Ordering(packs=units, amount=plants):
            return units, plants
        case Moving():
            return 1, 0
        case Chore():
            return 1, 0


def _counted_once(lines: list[Line]) -> tuple[Line, ...]:
    """Let units that several lines of a kind of work share count on the first of them only."""
    seen: set[str] = set()
    counted: list[Line] = []
    for line in lines:
        units = _units_of(line)
        match line:
            case Sowing() | Care() | SettingOut() | Cutting():
                counted.append(replace(line, units=len(units - seen)))
            case _:
                counted.append(line)
        seen |= units
    return tuple(counted)


def _units_of(line: Line) -> set[str]:
    match line:
        case Sowing(targets=stacks) | SettingOut(targets=stacks) | Care(sources=stacks):
            return {unit for stack in stacks for unit in stack.units}
        case Cutting(rafts=rafts):
            return {raft.raft for raft in rafts}
        case _:
            return set()
