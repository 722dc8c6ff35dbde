"""What is sold at outlets: units and takings of each day, and what of all that is cut goes where."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.orders.mixes import units_made
from scheduler.farm.orders.outlets import stalls_of
from scheduler.plan.harvest import harvests_of
from scheduler.plan.rows import FillRow, Plan
from scheduler.plan.sale_rows import OutletRow, SaleRow
from scheduler.plan.words import as_heads

StallKey = tuple[str, str, int]
"""Outlet, product, day."""


def outlet_rows(farm: Farm, plan: Plan) -> list[OutletRow]:
    """Return what each outlet sells on each day, and what that brings: the days of a week in their order.

    Sales on days on which an outlet does not sell are left out.
    """
    units = stall_units(farm, plan.sales)
    rows = []
    for week in farm.outlets:
        before = 0
        for stall in week.stalls:
            here = units.get((week.outlet, week.product, stall.day), 0)
            if here:
                rows.append(
                    OutletRow(
                        outlet=week.outlet,
                        product=week.product,
                        day=stall.day,
                        units=here,
                        takings=week.takings(before + here) - week.takings(before),
                        reported=stall.day < farm.calendar.days,
                    )
                )
            before += here
    return sorted(rows, key=lambda row: (row.day, row.outlet, row.product))


def stall_units(farm: Farm, sales: Iterable[SaleRow]) -> dict[StallKey, int]:
    """Return (outlet, product, day) -> whole units that the heads sold there make."""
    heads: dict[StallKey, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in sales:
        heads[row.outlet, row.product, row.day][row.crop] += row.heads
    return {
        key: units_made(farm.products[key[1]], of_crops)
        for key, of_crops in heads.items()
        if key[1] in farm.products
    }


def as_fills(farm: Farm, sales: Iterable[SaleRow]) -> list[FillRow]:
    """Return sales as if they were deliveries, named by the day of the outlet, for following heads back."""
    stalls = stalls_of(farm.outlets)
    return [
        FillRow(
            demand=stalls[row.outlet, row.product, row.day][1].name,
            crop=row.crop,
            lot=row.lot,
            cut_day=row.cut_day,
            heads=row.heads,
        )
        for row in sales
        if (row.outlet, row.product, row.day) in stalls
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """Where the heads cut on reported days go.

    Attributes:
        heads: all that are cut and can be sold; of what is sold by mass, the open trays.
        given: those that go into deliveries and targets.
        sold: outlet -> heads sold there.
        units: outlet -> units sold there on reported days.
        takings: outlet -> what it brings on reported days, hundredths of money.
    """

    heads: int
    given: int
    sold: dict[str, int]
    units: dict[str, int]
    takings: dict[str, int]

    @property
    def left(self) -> int:
        """Heads that go nowhere."""
        return self.heads - self.given - sum(self.sold.values())


def gone(farm: Farm, plan: Plan) -> Gone:
    """Return where the heads cut on reported days go; the plan's table of outlets must be there."""
    days = farm.calendar.days
    sold: dict[str, Counter[str]] = {week.outlet: Counter() for week in farm.outlets}
    takings, units = dict.fromkeys(sold, 0), dict.fromkeys(sold, 0)
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    cut: Counter[str] = Counter()
    given: Counter[str] = Counter()
    for row in harvests_of(plan):
        cut[crop_of.get(row.lot, "")] += row.heads * (row.day < days)
    for fill in plan.fills:
        given[fill.crop] += fill.heads * (fill.cut_day < days)
    for sale in plan.sales:
        if sale.cut_day < days:
            sold.setdefault(sale.outlet, Counter())[sale.crop] += sale.heads
    for week in plan.outlets:
        if week.reported:
            takings[week.outlet] = takings.get(week.outlet, 0) + week.takings
            units[week.outlet] = units.get(week.outlet, 0) + week.units
    return Gone(
        heads=_added(farm, cut),
        given=_added(farm, given),
        sold={outlet: _added(farm, heads) for outlet, heads in sold.items()},
        units=units,
        takings=takings,
    )


def _added(farm: Farm, heads: Counter[str]) -> int:
    # rounded once for each crop: small fills by weight would all come to nothing
    return sum(as_heads(farm, crop, number) for crop, number in heads.items())
