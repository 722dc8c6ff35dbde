"""What each crop earns for the space it takes: the money of a plan, crop by crop, beside the space held.

The sums over crops, with what is not of one crop, are those of :mod:`scheduler.plan.views.money` over the
reported days. What a delivery, a place of boxes or an outlet brings goes to the crops whose heads are in it,
by the units that those heads make, at the price of what they were given as; in a mix by their weight. What
is paid for a unit goes to its crops by their plants; work goes to the crop whose plants are handled.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.goods import prices
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import HOUR, SQUARE_MM_PER_M2
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import ContentRow, DemandRow, Plan
from scheduler.plan.tally import growing_units, parcel_heads, units_given, work_of_crops

NO_CROP = ""

Amounts = Iterator[tuple[str, Fraction]]
"""Crop, or :data:`NO_CROP`, and an amount."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CropMoney:
    """Money, work and space of one crop on the reported days; money in exact hundredths.

    Attributes:
        crop: its name; empty for what is not of one crop, and for the whole farm.
        brought: what its heads bring in deliveries, targets, boxes and outlets.
        seed: seed sown, or plugs set.
        filling: trays, boards, rafts and beds filled.
        work: hours, at the price of one.
        minutes: hundredths of a minute of work.
        area: square metre-weeks of boards, rafts and beds where the area of one is known.
        slots: slot-weeks where no area is known: trays on shelves.
    """

    crop: str
    brought: Fraction
    seed: Fraction
    filling: Fraction
    work: Fraction
    minutes: int
    area: Fraction
    slots: Fraction

    @property
    def paid(self) -> Fraction:
        """What is paid out."""
        return self.seed + self.filling + self.work

    @property
    def left(self) -> Fraction:
        """What is left of what it brings."""
        return self.brought - self.paid

    @property
    def for_area(self) -> Fraction | None:
        """What is left for one square metre and week; None where it holds no area that is known."""
        return self.left / self.area if self.area else None

    @property
    def for_slot(self) -> Fraction | None:
        """What is left for one slot and week of a crop that holds slots only; None for others."""
        return self.left / self.slots if self.slots and not self.area else None

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing of it in the plan."""
        return not any((self.brought, self.paid, self.minutes, self.area, self.slots))


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyByCrop:
    """Money by crop.

    Attributes:
        crops: those there is anything of, what a square metre and week earns most first, then those that
            hold slots only, then those that hold nothing. Without prices in the order of the book.
        rest: what is not of one crop.
        whole: the sum of all.
        priced: whether the book has a price for anything it sells.
    """

    crops: tuple[CropMoney, ...]
    rest: CropMoney
    whole: CropMoney
    priced: bool


def money_by_crop(farm: Farm, plan: Plan) -> MoneyByCrop:
    """Return what each crop brings, costs and holds; the plan's tables of outlets and seed must be there.

    Rows of a plan edited by hand that name what the farm does not have are not of one crop.
    """
    plan, days = _known(farm, plan), farm.calendar.days
    brought = _sums(farm, _brought(farm, plan))
    seed = _sums(farm, ((row.crop, Fraction(row.cost)) for row in plan.seed if 0 <= row.day < days))
    filling = _sums(farm, _filling(farm, plan))
    minutes: dict[str, int] = defaultdict(int)
    for day, _, crop, number in work_of_crops(farm, plan):
        if 0 <= day < days:
            minutes[crop] += number
    area, slots = _space(farm, plan)
    none = Fraction(0)

    def line(name: str) -> CropMoney:
        return CropMoney(
            crop=name,
            brought=brought.get(name, none),
            seed=seed.get(name, none),
            filling=filling.get(name, none),
            work=Fraction(minutes.get(name, 0) * farm.cost("hour"), HOUR),
            minutes=minutes.get(name, 0),
            area=area.get(name, none),
            slots=slots.get(name, none),
        )

    found = [each for each in map(line, farm.crops) if not each.is_empty]
    rest = line(NO_CROP)
    priced = _has_prices(farm)
    return MoneyByCrop(
        crops=tuple(sorted(found, key=_rank) if priced else found),
        rest=rest,
        whole=_whole((*found, rest)),
        priced=priced,
    )


def _known(farm: Farm, plan: Plan) -> Plan:
    """Return the plan without rows of lots, units and places that the farm cannot have."""
    lots = {lot.lot: lot for lot in plan.lots if lot.crop in farm.crops}
    units = {unit.unit for unit in plan.units if unit.kind in farm.equipment}
    places = {place.name for place in farm.places}
    plantings = tuple(row for row in plan.plantings if row.lot in lots)
    beds = {row.planting for row in plantings}
    return replace(
        plan,
        lots=tuple(lots.values()),
        contents=tuple(row for row in plan.contents if row.lot in lots and row.unit in units),
        cuts=tuple(row for row in plan.cuts if row.lot in lots),
        plantings=plantings,
        pickings=tuple(row for row in plan.pickings if row.planting in beds),
        positions=tuple(row for row in plan.positions if row.place in places),
    )


def _rank(line: CropMoney) -> tuple[int, Fraction]:
    if line.for_area is not None:
        return 0, -line.for_area
    if line.for_slot is not None:
        return 1, -line.for_slot
    return 2, -line.left


def _whole(lines: Sequence[CropMoney]) -> CropMoney:
    none = Fraction(0)
    return CropMoney(
        crop=NO_CROP,
        brought=sum((line.brought for line in lines), none),
        seed=sum((line.seed for line in lines), none),
        filling=sum((line.filling for line in lines), none),
        work=sum((line.work for line in lines), none),
        minutes=sum(line.minutes for line in lines),
        area=sum((line.area for line in lines), none),
        slots=sum((line.slots for line in lines), none),
    )


def _has_prices(farm: Farm) -> bool:
    """Say whether anything that is sold has a price."""
    return any(price for demand in farm.demands for price in prices(demand).values()) or any(
        step.price for week in farm.outlets for step in week.steps
    )


def _sums(farm: Farm, amounts: Iterable[tuple[str, Fraction]]) -> dict[str, Fraction]:
    sums: dict[str, Fraction] = defaultdict(Fraction)
    for crop, amount in amounts:
        sums[crop if crop in farm.crops else NO_CROP] += amount
    return dict(sums)


def _shared(amount: Fraction, weights: Mapping[str, Fraction]) -> Amounts:
    """Share an amount out by weights; what has none is not of one crop."""
    total = sum(weights.values(), Fraction(0))
    if not total:
        yield NO_CROP, amount
        return
    for crop, weight in weights.items():
        yield crop, amount * weight / total


def _brought(farm: Farm, plan: Plan) -> Amounts:
    """Yield what deliveries, targets, places of boxes and outlets of reported days bring."""
    given, heads = units_given(farm, plan), parcel_heads(plan.fills)
    demands = {demand.name: demand for demand in farm.demands}
    for row in plan.demands:
        if not (row.reported and row.filled):
            continue
        demand = demands.get(row.demand)
        for product, worth in _worth(row, demand, given.get(row.demand, {})).items():
            into = dict(heads[row.demand]["" if product == row.product else product])
            if demand is not None and product == row.product:
                for ready in demand.ready:
                    into[ready.crop] = into.get(ready.crop, 0) + ready.heads
            yield from _shared(Fraction(worth), _weights(farm, product, into))
    sold: dict[tuple[str, str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for sale in plan.sales:
        sold[sale.outlet, sale.product, sale.day][sale.crop] += sale.heads
    for outlet in plan.outlets:
        if outlet.reported:
            there = sold[outlet.outlet, outlet.product, outlet.day]
            yield from _shared(Fraction(outlet.takings), _weights(farm, outlet.product, there))


def _worth(row: DemandRow, demand: Demand | None, given: Mapping[str, int]) -> dict[str, int]:
    """Return product -> what its units bring in one demand, as :func:`money` counts it."""
    if row.substituted and demand is not None and demand.substitutes:
        price = prices(demand)
        return {product: units * price[product] for product, units in given.items()}
    return {row.product: row.filled * row.price}


def _weights(farm: Farm, product: str, heads: Mapping[str, int]) -> dict[str, Fraction]:
    """Return crop -> its part in a product: grams in a mix, else units, in boxes at their own price."""
    made = farm.products.get(product)
    if made is None:
        return {}
    if made.parts:
        return {part.crop: Fraction(heads.get(part.crop, 0) * part.grams) for part in made.parts}
    units = {
        crop: Fraction(number, made.sources[crop]) for crop, number in heads.items() if crop in made.sources
    }
    category = farm.boxes.categories.get(product)
    if category is None:
        return units
    at_price = {crop: each * category.prices[category.product_of[crop]] for crop, each in units.items()}
    return at_price if any(at_price.values()) else units


def _contents(plan: Plan) -> dict[str, list[ContentRow]]:
    held: dict[str, list[ContentRow]] = defaultdict(list)
    for row in plan.contents:
        held[row.unit].append(row)
    return held


def _filling(farm: Farm, plan: Plan) -> Amounts:
    """Yield what is paid for every unit that is filled on a reported day."""
    held, crop_of = _contents(plan), {lot.lot: lot.crop for lot in plan.lots}
    found = growing_units(farm, plan)
    for unit in plan.units:
        cost = farm.cost(unit.item)
        if cost and unit.unit not in found and 0 <= unit.enters < farm.calendar.days:
            yield from _shared(Fraction(cost), _plants(held.get(unit.unit, ()), crop_of))


def _plants(rows: Iterable[ContentRow], crop_of: Mapping[str, str]) -> dict[str, Fraction]:
    plants: dict[str, Fraction] = defaultdict(Fraction)
    for row in rows:
        plants[crop_of[row.lot]] += row.plants
    return plants


def _space(farm: Farm, plan: Plan) -> tuple[dict[str, Fraction], dict[str, Fraction]]:
    """Return crop -> square metre-weeks, and crop -> slot-weeks where no area is known."""
    held, crop_of = _contents(plan), {lot.lot: lot.crop for lot in plan.lots}
    each = {place.name: _area(farm, place) for place in farm.places}
    area: dict[str, Fraction] = defaultdict(Fraction)
    slots: dict[str, Fraction] = defaultdict(Fraction)
    stood: dict[tuple[str, str], Fraction | int] = defaultdict(int)
    for row in plan.positions:
        first, until = max(row.enters, farm.today), min(row.until, farm.calendar.days)
        for crop, days in _days(held.get(row.unit, ()), crop_of, first, until):
            stood[crop, row.place] += days
    for (crop, place), days in stood.items():
        size = each[place]
        (area if size else slots)[crop] += Fraction(days) / WEEK * (size or 1)
    for planting in plan.plantings:
        stays = min(planting.free, farm.calendar.days) - max(planting.enters, farm.today)
        held_there = Fraction(max(stays, 0) * len(positions_in(planting.positions) or ()), WEEK)
        size = each.get(planting.bed, Fraction(0))
        (area if size else slots)[crop_of[planting.lot]] += held_there * (size or 1)
    return dict(area), dict(slots)


def _area(farm: Farm, place: Place) -> Fraction:
    """Return square metres of one slot; 0 on shelves, and where the book does not tell."""
    if place.kind is PlaceKind.TIER:
        return Fraction(0)
    if place.kind is PlaceKind.BED:
        known = farm.water.bed_areas.get(place.belongs_to, 0) if farm.water is not None else 0
        return Fraction(known, SQUARE_MM_PER_M2)
    return farm.raft_areas.get(place.belongs_to, Fraction(0))


def _days(
    rows: Sequence[ContentRow], crop_of: Mapping[str, str], first: int, until: int
) -> Iterator[tuple[str, Fraction | int]]:
    """Yield the days from first up to until of one slot, shared by the plants that stand in its unit.

    A raft that is empty and waits for those ahead of it holds its slot for what was in it last.
    """
    if first >= until:
        return
    crops = {crop_of[row.lot] for row in rows}
    if len(crops) == 1 and all(row.plants for row in rows):
        # nearly all are: no need of sums in fractions for each of hundreds of thousands
        yield crops.pop(), until - first
        return
    edges = sorted({first, until, *(day for row in rows for day in (row.enters, row.leaves))})
    last = max((row.leaves for row in rows), default=0)
    for start, end in pairwise(edges):
        if not first <= start < until:
            continue
        there = [row for row in rows if row.enters <= start < row.leaves]
        there = there or [row for row in rows if row.leaves == last]
        yield from _shared(Fraction(end - start), _plants(there, crop_of))
