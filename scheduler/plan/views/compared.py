"""Farms side by side: what each of them delivers, brings and uses over the same weeks.

The first farm is the one that the others are held against: as it stands in the book, or one with changes
that would come anyway, such as higher orders.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.rows import Plan
from scheduler.plan.tally import plants_standing
from scheduler.plan.views.fullest import Full
from scheduler.plan.views.money import money
from scheduler.plan.views.opened import Opened, opened
from scheduler.plan.views.paid_back import PaidBack, paid_back
from scheduler.plan.views.places import PlaceUse, equipment_use, place_use
from scheduler.plan.views.reached import reached
from scheduler.plan.views.season import Asked, Week, weeks


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One farm that is compared.

    Attributes:
        name: what it is called.
        farm, plan: the farm and the best plan known for it.
        start: first day of what is changed; 0 where it holds from the start.
        cost, cost_per_week: what the change costs once and every week, hundredths of money.
        found_on: name of the case whose search found the plan.
        changed: whether it has changes; the book as it is has none.
        least: what of firm demand every plan of the farm is short of at least, by price and priority; None
            where nothing is known of it.
    """

    name: str
    farm: Farm
    plan: Plan
    start: int
    cost: int
    cost_per_week: int
    found_on: str
    changed: bool = True
    least: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseWeek:
    """One farm in one week; money in exact hundredths.

    Attributes:
        filled, missing: sale units delivered, and those that are short.
        heads: heads cut.
        brought, paid: what deliveries bring; what seed, filling and hours cost.
        minutes: work, hundredths of a minute.
    """

    filled: int
    missing: int
    heads: int
    brought: Fraction
    paid: Fraction
    minutes: int

    @property
    def left(self) -> Fraction:
        """What is left of what deliveries bring."""
        return self.brought - self.paid


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """Square metres of rafts and boards: there is room for on a day on average, and afloat on average."""

    there: Fraction
    used: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Plants in one stage on an average day, and on the day with most."""

    mean: Fraction
    most: int


@dataclass(frozen=True, slots=True, kw_only=True)
class UseOf:
    """Use of one place or kind of equipment in one farm.

    Attributes:
        peak: its fullest day.
        mean: units in use on a day on average, as a share of those there are.
        full_weeks: weeks with a day on which all are in use.
        weeks: weeks in which there are any.
    """

    peak: Full
    mean: Fraction
    full_weeks: int
    weeks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class UseLine:
    """One place or kind of equipment; None for a farm that does not have it."""

    name: str
    called: str
    unit: str
    uses: tuple[UseOf | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortLine:
    """One delivery that is short somewhere.

    Attributes:
        demand, customer, product: as in the book.
        day: day it is due.
        firm: whether it is firm.
        missing: units missing, case by case; None where the farm is not asked for it.
        reasons: what stood in the way, case by case; empty where nothing is short.
    """

    demand: str
    customer: str
    product: str
    day: int
    firm: bool
    missing: tuple[int | None, ...]
    reasons: tuple[str, ...]

    @property
    def reason(self) -> str:
        """The first reason that is given."""
        return next((text for text in self.reasons if text), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseTotals:
    """One farm over all reported days; money in exact hundredths.

    Attributes:
        asked: kind of demand -> what is asked for and reached.
        weeks: week by week.
        water: square metres of rafts and boards.
        standing: plants by stage.
        opened: places that the first farm does not have, or not yet.
        paid_back: when what it brings has paid for it; None for the first farm and the book as it is.
    """

    asked: Mapping[str, Asked]
    weeks: tuple[CaseWeek, ...]
    water: Water
    standing: Mapping[StageKind, Standing]
    opened: tuple[Opened, ...]
    paid_back: PaidBack | None

    @property
    def filled(self) -> int:
        """Sale units delivered."""
        return sum(week.filled for week in self.weeks)

    @property
    def missing(self) -> int:
        """Sale units that are short."""
        return sum(week.missing for week in self.weeks)

    @property
    def heads(self) -> int:
        """Heads cut."""
        return sum(week.heads for week in self.weeks)

    @property
    def brought(self) -> Fraction:
        """What deliveries bring."""
        return sum((week.brought for week in self.weeks), Fraction(0))

    @property
    def paid(self) -> Fraction:
        """What seed, filling and hours cost."""
        return sum((week.paid for week in self.weeks), Fraction(0))

    @property
    def minutes(self) -> int:
        """Work, hundredths of a minute."""
        return sum(week.minutes for week in self.weeks)

    @property
    def busiest(self) -> int:
        """Work of the week with most, hundredths of a minute."""
        return max((week.minutes for week in self.weeks), default=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Farms side by side.

    Attributes:
        cases: the farms; the first is the one the others are held against.
        spans: (first day, last day) of each week.
        totals: one for each farm.
        places, equipment: use, line by line.
        shorts: deliveries short in any farm: firm ones first, then by day.
    """

    cases: tuple[Case, ...]
    spans: tuple[tuple[int, int], ...]
    totals: tuple[CaseTotals, ...]
    places: tuple[UseLine, ...]
    equipment: tuple[UseLine, ...]
    shorts: tuple[ShortLine, ...]

    @property
    def farm(self) -> Farm:
        """The first farm."""
        return self.cases[0].farm


def compared(cases: Sequence[Case]) -> Comparison:
    """Put farms side by side; all must plan the same days.

    Raises:
        ValueError: they do not.
    """
    base = cases[0].farm
    if any(not same_days(base, case.farm) for case in cases):
        raise ValueError("farms of different days cannot be compared")
    found = [weeks(case.farm, case.plan) for case in cases]
    lines = [_weeks(case, of_case) for case, of_case in zip(cases, found, strict=True)]
    spans = tuple((week.first, week.last) for week in found[0])
    return Comparison(
        cases=tuple(cases),
        spans=spans,
        totals=tuple(
            CaseTotals(
                asked=reached(case.plan),
                weeks=of_case,
                water=_water(case),
                standing=_standing(case),
                opened=opened(base, case.farm, case.plan),
                paid_back=_paid_back((cases[0], case), spans, (lines[0], of_case)),
            )
            for case, of_case in zip(cases, lines, strict=True)
        ),
        places=_lines([place_use(case.farm, case.plan) for case in cases]),
        equipment=_lines([equipment_use(case.farm, case.plan) for case in cases]),
        shorts=_shorts(cases),
    )


def same_days(one: Farm, other: Farm) -> bool:
    """Say whether two farms plan the same days from the same today."""
    return (one.calendar.first_day, one.calendar.days, one.today) == (
        other.calendar.first_day,
        other.calendar.days,
        other.today,
    )


def _weeks(case: Case, found: Sequence[Week]) -> tuple[CaseWeek, ...]:
    spent = money(case.farm, case.plan)
    lines = []
    for week in found:
        kinds = (week.firm, week.flexible, week.targets)
        brought, paid = spent.between(week.first, week.last)
        lines.append(
            CaseWeek(
                filled=sum(kind.filled for kind in kinds),
                missing=sum(kind.missing for kind in kinds),
                heads=week.heads_cut,
                brought=brought,
                paid=paid,
                minutes=week.worked,
            )
        )
    return tuple(lines)


def _paid_back(
    cases: tuple[Case, Case],
    spans: Sequence[tuple[int, int]],
    lines: tuple[Sequence[CaseWeek], Sequence[CaseWeek]],
) -> PaidBack | None:
    """Hold a farm against the first one: what it brings and what it costs more."""
    base, case = cases
    if case is base or not case.changed:
        return None
    gains = [more.left - usual.left for usual, more in zip(*lines, strict=True)]
    cost = (max(0, case.cost - base.cost), case.cost_per_week - base.cost_per_week)
    return paid_back(spans, gains, case.start, cost)


def _water(case: Case) -> Water:
    """Add up rafts and boards afloat, and slots open, times the size of one, over the reported days."""
    farm = case.farm
    days = range(farm.today, farm.calendar.days)
    area = {
        place.name: farm.raft_areas.get(place.belongs_to, Fraction(0))
        for place in farm.places
        if place.kind is not PlaceKind.TIER
    }
    used = sum(
        (row.used * area[row.place] for row in case.plan.use if row.day in days and row.place in area),
        Fraction(0),
    )
    there = sum(
        (
            place.slots.on(day) * area[place.name]
            for place in farm.places
            if place.name in area
            for day in days
        ),
        Fraction(0),
    )
    return Water(there=there / len(days), used=used / len(days))


def _standing(case: Case) -> dict[StageKind, Standing]:
    farm = case.farm
    found = plants_standing(case.plan, farm.calendar.days)
    return {
        kind: Standing(
            mean=Fraction(sum(plants[farm.today :]), farm.calendar.days - farm.today),
            most=max(plants[farm.today :]),
        )
        for kind, plants in found.items()
    }


def _lines(of_cases: Sequence[Sequence[PlaceUse]]) -> tuple[UseLine, ...]:
    """Join the uses of all farms by name, in the order of the first farm and then of the others."""
    known: dict[str, PlaceUse] = {}
    for uses in of_cases:
        for use in uses:
            known.setdefault(use.name, use)
    by_name = [{use.name: use for use in uses} for uses in of_cases]
    return tuple(
        UseLine(
            name=name,
            called=use.called,
            unit=use.unit,
            uses=tuple(_use(uses.get(name)) for uses in by_name),
        )
        for name, use in known.items()
    )


def _use(use: PlaceUse | None) -> UseOf | None:
    if use is None:
        return None
    peak = use.peak
    if not peak.used:
        # nothing ever stands there: say how much there is, once it is open
        peak = Full(day=peak.day, used=0, there=max(week.most for week in use.weeks))
    return UseOf(
        peak=peak,
        mean=Fraction(use.used, use.there) if use.there else Fraction(0),
        full_weeks=sum(0 < week.peak.there <= week.peak.used for week in use.weeks),
        weeks=sum(week.most > 0 for week in use.weeks),
    )


def _shorts(cases: Sequence[Case]) -> tuple[ShortLine, ...]:
    rows = [{row.demand: row for row in case.plan.demands if row.reported} for case in cases]
    short: dict[str, list[int]] = defaultdict(list)
    for number, of_case in enumerate(rows):
        for name, row in of_case.items():
            if row.state == "short":
                short[name].append(number)
    lines = []
    for name, numbers in short.items():
        row = rows[numbers[0]][name]
        found = [of_case.get(name) for of_case in rows]
        lines.append(
            ShortLine(
                demand=name,
                customer=row.customer,
                product=row.product,
                day=row.day,
                firm=row.firm,
                missing=tuple(None if each is None else each.missing for each in found),
                reasons=tuple("" if each is None else each.reason for each in found),
            )
        )
    return tuple(sorted(lines, key=lambda line: (not line.firm, line.day, line.demand)))
