"""Ways to break how much there is: units, heads, deliveries, equipment and coolers."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from random import Random
from typing import Any

from fuzz.operators import Broken, items_of, one, operator, put

from scheduler.farm.farm import Farm
from scheduler.farm.orders.boxes import NEVER, BoxWish
from scheduler.plan.exact import is_exact
from scheduler.plan.rows import FillRow, Plan

# --- amounts --------------------------------------------------------------------------------------


@operator("whole units", "growing", "products", "coolers", "outlets", "boxes", "hours", "stage days")
def too_full(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Set more plants into a unit than it has holes."""
    row = one(draw, plan.contents)
    if row is None:
        return None
    return farm, put(plan, "contents", row, plants=farm.equipment[items_of(plan)[row.unit].kind].holes + 1)


@operator("whole units", "work days", "heat")
def a_lot_of_nothing(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell of a lot of which no cell is sown."""
    lot = one(draw, [lot for lot in plan.lots if lot.origin == "sown" and lot.sown is not None])
    if lot is None:
        return None
    day = max(row.sown or 0 for row in plan.lots) + 1
    code = f"{farm.crops[lot.crop].code}-{farm.date_of(day):%y%m%d}"
    empty = replace(lot, lot=code, sown=day, cells=0, seeds=0, plants=0)
    return farm, replace(plan, lots=(*plan.lots, empty))


@operator("whole units", "products", "coolers")
def more_heads_than_plants(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Sell more heads than losses leave."""
    row = one(draw, plan.cuts)
    return None if row is None else (farm, put(plan, "cuts", row, heads=row.heads * 2 + row.plants + 1))


@operator("whole units", "products", "boxes", "coolers", "outlets")
def more_delivered_than_cut(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Deliver more heads of a lot than were cut of it."""
    row = one(draw, plan.fills)
    return None if row is None else (farm, put(plan, "fills", row, heads=row.heads + 1_000_000))


@operator("products", "fresh", "boxes", "coolers", "whole units", "outlets")
def another_product(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Deliver heads to a delivery of a product that is not made of them."""
    found = [
        (fill, demand.name)
        for fill in plan.fills[:300]
        for demand in farm.demands
        if not any(fill.crop in farm.products[name].sources for name in demand.products)
    ]
    pair = one(draw, found)
    return None if pair is None else (farm, put(plan, "fills", pair[0], demand=pair[1], substitute=""))


@operator("products", "whole units", "coolers", "boxes")
def more_than_was_ordered(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Give a delivery a head more than makes up what it gets."""
    amount = {demand.name: demand.amount for demand in farm.demands}
    full = {row.demand for row in plan.demands if row.filled == amount[row.demand] and not row.substituted}
    row = one(draw, [fill for fill in plan.fills if fill.demand in full and is_exact(plan)])
    return None if row is None else (farm, put(plan, "fills", row, heads=row.heads + 1))


@operator("outlets", "whole units", "coolers", "products")
def sold_without_making_a_unit(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Call a unit of what an outlet sells a thousand heads more than it is: what is sold makes none."""
    row = one(draw, [row for row in plan.sales if not farm.products[row.product].parts and is_exact(plan)])
    if row is None:
        return None
    product = farm.products[row.product]
    larger = {crop: each + 1_000_000 for crop, each in product.sources.items()}
    return replace(farm, products={**farm.products, row.product: replace(product, sources=larger)}), plan


@operator("boxes", "whole units", "products", "coolers", "fresh")
def twice_in_a_box(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Put what is in one place of a box into another place of it too."""
    demands = {demand.name: demand for demand in farm.demands}
    found = []
    for fill in plan.fills:
        place = farm.boxes.places.get(fill.demand)
        for name, other in farm.boxes.places.items() if place else ():
            same = (other.share, other.number, other.day) == (place.share, place.number, place.day)
            if same and other.slot != place.slot:
                category = farm.boxes.categories[demands[name].product]
                found += [(fill, name)] if fill.crop in category.product_of else []
    pair = one(draw, found)
    if pair is None:
        return None
    return farm, replace(plan, fills=(*plan.fills, replace(pair[0], demand=pair[1], heads=1, substitute="")))


@operator("boxes")
def what_is_never_to_come(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Let a household ask never to get, on one day, what is in its box."""
    demands = {demand.name: demand for demand in farm.demands}
    fill = one(draw, [fill for fill in plan.fills if fill.demand in farm.boxes.places and fill.heads])
    if fill is None:
        return None
    share = farm.boxes.shares[farm.boxes.places[fill.demand].share]
    demand = demands[fill.demand]
    product = farm.boxes.categories[demand.product].product_of[fill.crop]
    wish = BoxWish(product=product, kind=NEVER, first=demand.first, last=demand.last)
    shares = {**farm.boxes.shares, share.name: replace(share, wishes=(*share.wishes, wish))}
    return replace(farm, boxes=replace(farm.boxes, shares=shares)), plan


@operator("outlets", "fresh", "coolers")
def sold_on_another_day(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Sell at an outlet on a day on which it does not sell."""
    days = defaultdict(set)
    for week in farm.outlets:
        days[week.outlet, week.product] |= {stall.day for stall in week.stalls}
    found = [(row, row.day + 1) for row in plan.sales if row.day + 1 not in days[row.outlet, row.product]]
    pair = one(draw, found)
    return None if pair is None else (farm, put(plan, "sales", pair[0], day=pair[1]))


@operator("outlets", "whole units", "coolers")
def more_sold_than_is_taken(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Sell more at an outlet than it takes in a week."""
    row = one(draw, plan.sales)
    return None if row is None else (farm, put(plan, "sales", row, heads=row.heads + 1_000_000))


@operator("growing", "slots", "lane order", "rest", "stage days", "fresh", "beds")
def not_where_it_was_found(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Stand what was found growing in another place on the first day."""
    kinds = {place.name: place.kind for place in farm.places}
    found = [
        (row, other.name)
        for row in plan.positions
        for other in farm.places
        if row.enters <= 0 < row.until
        and items_of(plan)[row.unit].enters < 0
        and other.kind is kinds[row.place]
        and other.belongs_to != next(place.belongs_to for place in farm.places if place.name == row.place)
    ]
    pair = one(draw, found)
    return None if pair is None else (farm, put(plan, "positions", pair[0], place=pair[1]))


@operator(
    "growing", "whole units", "products", "hours", "fresh", "stage days", "lane order", "slots", "equipment"
)
def more_than_was_found(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Count more plants in a unit than were found growing in it."""
    units = items_of(plan)
    row = one(draw, [row for row in plan.contents if units[row.unit].enters < 0])
    return None if row is None else (farm, put(plan, "contents", row, plants=row.plants + 1000))


# --- limits ---------------------------------------------------------------------------------------


@operator("equipment", "slots", "whole units", "lane order", "rest", "growing", "products", "hours", "fresh")
def more_units_than_owned(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Fill one unit more than are owned, on the day most are in use."""
    most: dict[str, Any] = {}
    for row in plan.equipment:
        if row.kind in farm.equipment and row.in_use + row.washing > (
            most[row.kind].in_use + most[row.kind].washing if row.kind in most else 0
        ):
            most[row.kind] = row
    found = [
        (unit, most[unit.kind].owned - most[unit.kind].in_use - most[unit.kind].washing + 1)
        for unit in plan.units
        if unit.kind in most and unit.enters <= most[unit.kind].day < unit.leaves and unit.enters >= 0
    ]
    pair = one(draw, [each for each in found if each[1] <= 60])
    if pair is None:
        return None
    unit, number = pair
    names = [f"{unit.unit}+{each}" for each in range(number)]
    return farm, replace(
        plan,
        units=(*plan.units, *(replace(unit, unit=name) for name in names)),
        contents=(*plan.contents, *_copies(plan.contents, unit.unit, names)),
        positions=(*plan.positions, *_copies(plan.positions, unit.unit, names)),
    )


def _copies(rows: Iterable[Any], unit: str, names: Sequence[str]) -> list[Any]:
    return [replace(row, unit=name) for row in rows if row.unit == unit for name in names]


@operator("coolers", "whole units", "products", "boxes", "outlets")
def more_crates_than_room(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Keep more heads for a later delivery than there is room for."""
    of = {demand.name: demand for demand in farm.demands}
    late = [
        fill for fill in plan.fills if not of[fill.demand].is_target and of[fill.demand].first > fill.cut_day
    ]
    fill: FillRow | None = one(draw, late) if farm.coolers else None
    return None if fill is None else (farm, put(plan, "fills", fill, heads=fill.heads + 10_000_000))
