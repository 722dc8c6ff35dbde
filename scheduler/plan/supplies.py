"""Orders of seed and packaging: when to place them and how many packs.

Stock is used in order of time. Where it would not last for what is used on a day, an order is due that
comes by that day; it covers what is used on that day and the rest of the farm's ``supply_weeks``, up to
the last reported day, less what is left in stock. It is placed on the last order day from which it still
comes in time, in whole packs and at least the fewest the supplier sends; what is too much goes into stock.

Seed is used on its sowing day, or the day before when it soaks overnight. Packaging is used on the day
the first heads of a delivery are cut, for cutting and packing are one work.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.farm.supplies import Supply
from scheduler.farm.units import ceil_div
from scheduler.plan.boxes import boxed_units
from scheduler.plan.rows import Plan, SupplyRow
from scheduler.plan.tally import units_given


def supply_rows(farm: Farm, plan: Plan) -> list[SupplyRow]:
    """Return the orders to place, by the day to order; ``plan`` must have its seed rows and fills."""
    rows = [row for supply in farm.supplies for row in _orders(farm, supply, _used(farm, plan, supply))]
    return sorted(rows, key=lambda row: (row.order_by, row.arrive_by))


def _used(farm: Farm, plan: Plan, supply: Supply) -> dict[int, int]:
    """Return day -> seeds or pieces used, spare included, on days from today to the last reported one."""
    used: dict[int, int] = defaultdict(int)
    uses = _seeds(farm, plan, supply) if supply.crop else _pieces(farm, plan, supply)
    for day, number in uses:
        if number and day < farm.calendar.days:
            used[max(day, farm.today)] += number
    return {day: supply.with_spare(used[day]) for day in sorted(used)}


def _seeds(farm: Farm, plan: Plan, supply: Supply) -> Iterator[tuple[int, int]]:
    early = int(farm.crops[supply.crop].handling.soaks_overnight)
    for row in plan.seed:
        if row.crop == supply.crop:
            yield row.day - early, row.seeds


def _pieces(farm: Farm, plan: Plan, supply: Supply) -> Iterator[tuple[int, int]]:
    packed: dict[tuple[str, str], int] = {}
    wanted = {demand.name: demand for demand in farm.demands}
    for fill in plan.fills:
        key = fill.demand, fill.substitute or wanted[fill.demand].product
        packed[key] = min(fill.cut_day, packed.get(key, fill.cut_day))
    for product, day, units in boxed_units(farm, plan.fills):
        if product in supply.products:
            yield day, supply.pieces_for(units)
    for demand, given in units_given(farm, plan).items():
        for product, units in given.items():
            # what was cut before the first day is packed already
            new = units - (wanted[demand].in_hand if product == wanted[demand].product else 0)
            if new and product in supply.products:
                yield packed[demand, product], supply.pieces_for(new)


def _orders(farm: Farm, supply: Supply, used: Mapping[int, int]) -> Iterator[SupplyRow]:
    stock = supply.in_stock
    for day, number in used.items():
        if number > stock:
            last = min(day + WEEK * farm.rules.supply_weeks, farm.calendar.days) - 1
            needed = sum(each for when, each in used.items() if day <= when <= last) - stock
            row = _order(farm, supply, (day, last), needed)
            yield row
            stock += row.amount
        stock -= number


def _order(farm: Farm, supply: Supply, days: tuple[int, int], needed: int) -> SupplyRow:
    packs = max(supply.least_packs, ceil_div(needed, supply.pack_size))
    order_by = supply.order_by(farm.calendar, days[0])
    return SupplyRow(
        item=supply.item,
        kind=supply.kind,
        crop_or_product=supply.used_for,
        order_by=order_by,
        arrive_by=days[0],
        covers_until=days[1],
        needed=needed,
        packs=packs,
        amount=packs * supply.pack_size,
        cost=packs * supply.price,
        late=order_by < farm.today,
    )
