"""A whole season in numbers: what is asked and filled, harvested and worked, week by week.

Only what is reported counts: demand and days up to the plan's last day. A week is Monday to Sunday; the
first and the last are cut to the days that are planned. Units are sale units, of whatever product.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.orders.mixes import heads_for
from scheduler.plan.harvest import harvests_of
from scheduler.plan.rows import DemandRow, Plan, SupplyRow
from scheduler.plan.tally import WORKS, demand_heads
from scheduler.plan.views.fullest import week_spans
from scheduler.plan.views.lots import LotStory, lot_stories
from scheduler.plan.views.overview import firm_first
from scheduler.plan.views.places import PlaceUse, equipment_use, place_use
from scheduler.plan.words import as_heads, as_heads_by_day


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Deliveries (or weeks of targets) and their units.

    Attributes:
        deliveries: how many are asked for.
        complete, short, unreachable: how many are filled, are short, or are out of reach of any sowing and
            harvest day.
        ordered: units asked for; the sum of the next three.
        filled, missing, beyond: units filled, missing where short, and missing where out of reach.
    """

    deliveries: int = 0
    complete: int = 0
    short: int = 0
    unreachable: int = 0
    ordered: int = 0
    filled: int = 0
    missing: int = 0
    beyond: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One week.

    Attributes:
        first, last: its days.
        firm, flexible, targets: what is asked for on them.
        heads_ordered: heads that takes; see :func:`heads_ordered`.
        heads: crop -> heads cut or picked, crops in the order of the book.
        heads_used: those of the heads cut that go into a delivery or target, also one after the last day, or
            are sold at an outlet.
        minutes: kind of work -> hundredths of a minute, every kind.
        crew: hundredths of a minute there are; None when not limited.
    """

    first: int
    last: int
    firm: Asked
    flexible: Asked
    targets: Asked
    heads_ordered: int
    heads: Mapping[str, int]
    heads_used: int
    minutes: Mapping[str, int]
    crew: int | None

    @property
    def heads_cut(self) -> int:
        """Heads cut, of all crops."""
        return sum(self.heads.values())

    @property
    def heads_left(self) -> int:
        """Heads cut that go nowhere; by mass both sides are rounded, and a rest is never below nothing."""
        return max(0, self.heads_cut - self.heads_used)

    @property
    def worked(self) -> int:
        """Hundredths of a minute of all work."""
        return sum(self.minutes.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedSum:
    """Seed of one crop for the season; ``sowings`` is days it is sown on, ``cost`` hundredths of money."""

    crop: str
    variety: str
    sowings: int
    first: int
    last: int
    cells: int
    seeds: int
    cost: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfReach:
    """Deliveries of one product that are out of reach, and why; ``state`` as in the table of demands."""

    product: str
    state: str
    deliveries: int
    missing: int
    first: int
    last: int
    earliest: int | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """The season as its pages show it.

    Attributes:
        first, last: first and last reported day; nothing new is done before ``first``.
        firm, flexible, targets: what is asked for in all.
        weeks: week by week.
        short: deliveries that are short, firm ones first, then by day.
        unreachable: those that are too early or out of reach, by product and reason.
        places, equipment: how full each is.
        seed: seed sown, crops in the order of the book.
        supplies: what to order, by the day to order it.
        lots: every lot sown by the last day, or found growing.
    """

    first: int
    last: int
    firm: Asked
    flexible: Asked
    targets: Asked
    weeks: tuple[Week, ...]
    short: tuple[DemandRow, ...]
    unreachable: tuple[OutOfReach, ...]
    places: tuple[PlaceUse, ...]
    equipment: tuple[PlaceUse, ...]
    seed: tuple[SeedSum, ...]
    supplies: tuple[SupplyRow, ...]
    lots: tuple[LotStory, ...]

    @property
    def heads_ordered(self) -> int:
        """Heads that deliveries and targets of all weeks take."""
        return sum(week.heads_ordered for week in self.weeks)

    @property
    def heads_cut(self) -> int:
        """Heads cut in all weeks."""
        return sum(week.heads_cut for week in self.weeks)

    @property
    def heads_left(self) -> int:
        """Heads cut in all weeks that go nowhere."""
        return self.heads_cut - sum(week.heads_used for week in self.weeks)

    @property
    def worked(self) -> int:
        """Hundredths of a minute of all work."""
        return sum(week.worked for week in self.weeks)

    def heads_of(self, crop: str) -> int:
        """Return the heads cut of one crop in all weeks."""
        return sum(week.heads[crop] for week in self.weeks)

    def minutes_of(self, work: str) -> int:
        """Return the hundredths of a minute of one kind of work in all weeks."""
        return sum(week.minutes[work] for week in self.weeks)

    @property
    def supplies_cost(self) -> int:
        """Hundredths of money that all orders of seed and packaging cost."""
        return sum(row.cost for row in self.supplies)

    @property
    def seed_cost(self) -> int:
        """Hundredths of money that all seed sown costs."""
        return sum(row.cost for row in self.seed)


def season(farm: Farm, plan: Plan) -> Season:
    """Return the season of a plan; the plan's tables must be there, all names known."""
    rows = [row for row in plan.demands if row.reported]
    firm, flexible, targets = by_kind(rows)
    unfilled = sorted(
        (row for row in rows if row.state != "filled"),
        key=firm_first,
    )
    return Season(
        first=farm.today,
        last=farm.calendar.days - 1,
        firm=firm,
        flexible=flexible,
        targets=targets,
        weeks=weeks(farm, plan),
        short=tuple(row for row in unfilled if row.state == "short"),
        unreachable=tuple(_out_of_reach(row for row in unfilled if row.state != "short")),
        places=place_use(farm, plan),
        equipment=equipment_use(farm, plan),
        seed=_seed(farm, plan),
        supplies=plan.supplies,
        lots=lot_stories(farm, plan),
    )


def weeks(farm: Farm, plan: Plan) -> tuple[Week, ...]:
    """Return every week from today to the last reported day."""
    by_day = _by_day(farm, plan)
    return tuple(_week(farm, by_day, range(first, last + 1)) for first, last in week_spans(farm))


def heads_ordered(farm: Farm, row: DemandRow, heads: Mapping[str, int]) -> int:
    """Return the heads a delivery takes: those that go into it, and those its missing units would take.

    A missing unit counts the fewest plants of any crop that fills the product, of a mix those of its usual
    shares; a rest rounds up. What is sold by mass counts by the open trays it takes.

    Args:
        farm: the farm.
        row: the delivery.
        heads: crop -> heads that go into it.
    """
    missing = heads_for(farm.products[row.product], row.missing)
    taken = (*heads.items(), *missing.items())
    return sum(as_heads(farm, crop, number) for crop, number in taken)


def asked(rows: Iterable[DemandRow]) -> Asked:
    """Count deliveries and their units."""
    rows = tuple(rows)
    filled = [row for row in rows if row.state == "filled"]
    short = [row for row in rows if row.state == "short"]
    others = [row for row in rows if row.state not in ("filled", "short")]
    return Asked(
        deliveries=len(rows),
        complete=len(filled),
        short=len(short),
        unreachable=len(others),
        ordered=sum(row.amount for row in rows),
        filled=sum(row.filled for row in rows),
        missing=sum(row.missing for row in short),
        beyond=sum(row.missing for row in others),
    )


@dataclass(frozen=True, slots=True)
class _ByDay:
    """Rows of a plan by day: demands asked for, heads they take, heads cut and used, minutes worked."""

    demands: Mapping[int, Sequence[DemandRow]]
    ordered: Mapping[int, int]
    heads: Mapping[int, Mapping[str, int]]
    used: Mapping[int, int]
    minutes: Mapping[int, Mapping[str, int]]


def _by_day(farm: Farm, plan: Plan) -> _ByDay:
    demands: dict[int, list[DemandRow]] = defaultdict(list)
    ordered: dict[int, int] = defaultdict(int)
    into = demand_heads(plan.fills)
    for row in plan.demands:
        if row.reported:
            # a target's week may have begun before today
            day = max(row.day, min(farm.today, row.last))
            demands[day].append(row)
            ordered[day] += heads_ordered(farm, row, into.get(row.demand, {}))
    minutes: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for each in plan.hours:
        minutes[each.day][each.work] += each.minutes
    return _ByDay(demands, ordered, _cut_by_day(farm, plan), _used_by_day(farm, plan), minutes)


def _cut_by_day(farm: Farm, plan: Plan) -> dict[int, dict[str, int]]:
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    cut: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for harvest in harvests_of(plan):
        cut[crop_of[harvest.lot]][harvest.day] += harvest.heads
    heads: dict[int, dict[str, int]] = defaultdict(dict)
    for crop, of_days in cut.items():
        for day, number in as_heads_by_day(farm, crop, of_days).items():
            heads[day][crop] = number
    return heads


def _used_by_day(farm: Farm, plan: Plan) -> dict[int, int]:
    # what goes to deliveries and to each outlet is told apart elsewhere, and so is rounded apart
    taken: dict[tuple[str, str], dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for fill in plan.fills:
        taken["", fill.crop][fill.cut_day] += fill.heads
    for sale in plan.sales:
        taken[sale.outlet, sale.crop][sale.cut_day] += sale.heads
    used: dict[int, int] = defaultdict(int)
    for (_, crop), of_days in taken.items():
        for day, number in as_heads_by_day(farm, crop, of_days).items():
            used[day] += number
    return used


def _week(farm: Farm, by_day: _ByDay, days: range) -> Week:
    firm, flexible, targets = by_kind([row for day in days for row in by_day.demands.get(day, ())])
    return Week(
        first=days[0],
        last=days[-1],
        firm=firm,
        flexible=flexible,
        targets=targets,
        heads_ordered=sum(by_day.ordered.get(day, 0) for day in days),
        heads={crop: sum(by_day.heads.get(day, {}).get(crop, 0) for day in days) for crop in farm.crops},
        heads_used=sum(by_day.used.get(day, 0) for day in days),
        minutes={work: sum(by_day.minutes.get(day, {}).get(work, 0) for day in days) for work in WORKS},
        crew=None if farm.crew is None else sum(farm.crew.on(day) for day in days),
    )


def by_kind(rows: Sequence[DemandRow]) -> tuple[Asked, Asked, Asked]:
    """Count firm deliveries, flexible ones, and weeks of targets."""
    firm, flexible, targets = (
        asked(row for row in rows if row.kind == kind) for kind in ("firm", "flexible", "target")
    )
    return firm, flexible, targets


def _out_of_reach(rows: Iterable[DemandRow]) -> Iterator[OutOfReach]:
    alike: dict[tuple[str, str, str], list[DemandRow]] = defaultdict(list)
    for row in rows:
        alike[row.product, row.state, row.reason].append(row)
    for (product, state, reason), found in alike.items():
        yield OutOfReach(
            product=product,
            state=state,
            deliveries=len(found),
            missing=sum(row.missing for row in found),
            first=min(row.day for row in found),
            last=max(row.day for row in found),
            earliest=found[0].earliest,
            reason=reason,
        )


def _seed(farm: Farm, plan: Plan) -> tuple[SeedSum, ...]:
    found = []
    for crop in farm.crops.values():
        rows = [row for row in plan.seed if row.crop == crop.name and row.day < farm.calendar.days]
        if rows:
            days = {row.day for row in rows}
            found.append(
                SeedSum(
                    crop=crop.name,
                    variety=crop.variety,
                    sowings=len(days),
                    first=min(days),
                    last=max(days),
                    cells=sum(row.cells for row in rows),
                    seeds=sum(row.seeds for row in rows),
                    cost=sum(row.cost for row in rows),
                )
            )
    return tuple(found)
