"""What a plan reaches over the season: deliveries by kind, what is missing, crops, money and hours."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.views.harvests import harvests
from scheduler.plan.views.overview import unfilled
from scheduler.plan.views.season import Asked, by_kind
from scheduler.plan.views.weeks import Week, weeks
from scheduler.plan.words import as_heads

KINDS = ("firm deliveries", "flexible deliveries", "weeks of targets")

STATES = ("short", "too early", "out of reach")
"""States of demand that is not filled, worst first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A delivery or a week of a target that is not filled.

    Attributes:
        row: its row.
        missing: sale units missing.
        value: their price, hundredths of money.
    """

    row: DemandRow
    missing: int
    value: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CropTotals:
    """One crop over the reported days.

    Attributes:
        crop, variety: names.
        lots: lots sown.
        cells, seeds: sown.
        seed_cost: hundredths of money.
        heads, delivered, sold: heads cut that can be sold, those asked for, and those sold at outlets.
    """

    crop: str
    variety: str
    lots: int
    cells: int
    seeds: int
    seed_cost: int
    heads: int
    delivered: int
    sold: int = 0

    @property
    def left(self) -> int:
        """Heads cut that nobody asked for, and no outlet sells."""
        return self.heads - self.delivered - self.sold


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """Sums over the reported days.

    Attributes:
        heads, delivered: heads cut that can be sold, and those of them that are asked for; what is sold by
            mass counts by the open trays it takes.
        minutes: work, hundredths of a minute.
        busiest: the week with the most work, the earliest of equals; None without any work.
        seed, seed_cost: (crop, its seed) of each sowing, and what all of it costs, hundredths of money.
        orders, order_cost, late: orders of seed and packaging, what they cost, and how many come late.
    """

    heads: int
    delivered: int
    minutes: int
    busiest: Week | None
    seed: tuple[tuple[str, int], ...]
    seed_cost: int
    orders: int
    order_cost: int
    late: int


def reached(plan: Plan) -> dict[str, Asked]:
    """Return kind of demand -> what is asked for and reached; reported demand only."""
    found = zip(KINDS, by_kind([row for row in plan.demands if row.reported]), strict=True)
    return {name: each for name, each in found if each.deliveries}


def shortfalls(plan: Plan) -> tuple[Shortfall, ...]:
    """Return what is not filled: short ones before those out of reach, firm ones first, then by day."""
    found = unfilled(plan)
    rows = [row for state in STATES for row in found[state]]
    return tuple(Shortfall(row=row, missing=row.missing, value=row.missing * row.price) for row in rows)


def crop_totals(farm: Farm, plan: Plan) -> tuple[CropTotals, ...]:
    """Return each crop that is sown or cut on reported days, in the book's order."""
    days = farm.calendar.days
    sown = [lot for lot in plan.lots if lot.sown is not None and lot.cells and lot.sown < days]
    lots = _sums((lot.crop, 1) for lot in sown)
    cells = _sums((lot.crop, lot.cells) for lot in sown)
    seeds = _sums((lot.crop, lot.seeds) for lot in sown)
    cost = _sums((row.crop, row.cost) for row in plan.seed if row.day < days)
    cut = harvests(farm, plan)
    heads = _sums((harvest.crop, harvest.heads) for harvest in cut)
    delivered = _sums((harvest.crop, harvest.delivered) for harvest in cut)
    sold = _sums((harvest.crop, harvest.sold) for harvest in cut)
    return tuple(
        CropTotals(
            crop=name,
            variety=crop.variety,
            lots=lots[name],
            cells=cells[name],
            seeds=seeds[name],
            seed_cost=cost[name],
            heads=heads[name],
            delivered=delivered[name],
            sold=sold[name],
        )
        for name, crop in farm.crops.items()
        if lots[name] or heads[name]
    )


def totals(farm: Farm, plan: Plan) -> Totals:
    """Return the sums over all reported days."""
    every = weeks(farm, plan)
    cut = harvests(farm, plan)
    heads, delivered = (
        sum(as_heads(farm, crop, number) for crop, number in _sums(pairs).items())
        for pairs in (((one.crop, one.heads) for one in cut), ((one.crop, one.delivered) for one in cut))
    )
    seed = [row for row in plan.seed if row.day < farm.calendar.days]
    busiest = max(every, key=lambda week: week.minutes, default=None)
    return Totals(
        heads=heads,
        delivered=delivered,
        minutes=sum(week.minutes for week in every),
        busiest=busiest if busiest is not None and busiest.minutes else None,
        seed=tuple((row.crop, row.seeds) for row in seed),
        seed_cost=sum(row.cost for row in seed),
        orders=len(plan.supplies),
        order_cost=sum(row.cost for row in plan.supplies),
        late=sum(row.late for row in plan.supplies),
    )


def _sums(pairs: Iterable[tuple[str, int]]) -> dict[str, int]:
    sums: dict[str, int] = defaultdict(int)
    for name, number in pairs:
        sums[name] += number
    return sums
