"""What a plan comes to in the goals beside shortage, worked out from its rows and the farm alone.

Every function takes a plan whose names all exist. What stood on the farm on the first day was filled, sown
and set out before it: it counts for the days its slots are held from today on, and for what is done to it.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType

from scheduler.farm.crops import Stage, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import HOUR, MILLI, WHOLE_SHARE
from scheduler.plan.bed_tally import growing_plantings
from scheduler.plan.exact import pays_later
from scheduler.plan.outlets import outlet_rows
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import Plan
from scheduler.plan.tally import CHORE, growing_units, units_given, work_of_crops
from scheduler.plan.thrown import thrown_away

FIRM, FLEXIBLE, COST, CHANGE, POINTS = range(1, 6)
"""Levels of the goals: shortage of firm demand and of all other, money, what differs from the plan before,
and what there is to look after."""

GOAL_NAMES: Mapping[int, str] = MappingProxyType(
    {
        FIRM: "firm deliveries short",
        FLEXIBLE: "flexible deliveries and targets short",
        COST: "cost",
        CHANGE: "change from the plan before",
        POINTS: "lots and units to look after",
    }
)
"""Level -> what its goal is called."""

UNITS: Mapping[int, str] = MappingProxyType(
    {FIRM: "weighted value", FLEXIBLE: "weighted value", CHANGE: "points", POINTS: "points"}
)
"""Level -> the unit of its goal; cost is in the currency of the book."""

SLOT_DAYS = {
    PlaceKind.TIER: "tray_slot_day",
    PlaceKind.ZONE: "board_slot_day",
    PlaceKind.LANE: "raft_slot_day",
    PlaceKind.BED: "bed_slot_day",
}
"""Kind of place -> the price of one of its slots for a day."""

LOT_POINTS = 200
FILLING_POINTS = 40
"""Points of a tray or board that is filled."""

ROW_POINTS = 4
"""Points of a row of cells that is sown."""

SET_POINTS = {"board": 1, "raft": 1}
"""Points of a plant set on a board or raft."""

BED_POINTS = 4
"""Points of a plant set into a bed."""

RAFT_DAY_POINTS = 1
SUBSTITUTE_POINTS = 1_000
"""Points of a unit of a substitute, times its rank."""


def unit_of(farm: Farm, level: int) -> str:
    """Return the unit of a goal."""
    return UNITS.get(level) or farm.currency or "money"


def cost(farm: Farm, plan: Plan) -> Fraction:
    """Return what the goal of cost weighs, exact hundredths of money; below nothing where outlets bring more.

    Seed, units filled, work on crops, slots by the day, heads grown that nobody gets, plants of the first day
    that are thrown away, lots, and what substitutes bring less, less what outlets bring.
    """
    total = Fraction(sum(_seed_and_filling(farm, plan)) + sum(_slots(farm, plan)))
    total += _work(farm, plan) + _wasted(farm, plan)
    total += farm.cost("discarded_plant") * thrown_plants(farm, plan)
    for units, less, _ in _instead(farm, plan):
        total += units * less
    return total - sum(row.takings for row in outlet_rows(farm, plan))


def points(farm: Farm, plan: Plan) -> int:
    """Return the points of the goal of simplicity: what there is to look after, and units of substitutes."""
    found, planted = growing_units(farm, plan), growing_plantings(farm, plan)
    item_of = {unit.unit: unit.item for unit in plan.units}
    total = LOT_POINTS * sum(lot.origin == "sown" for lot in plan.lots)
    total += FILLING_POINTS * sum(item != "raft" and name not in found for name, item in item_of.items())
    for row in plan.contents:
        if row.unit not in found:
            item = item_of[row.unit]
            total += ROW_POINTS * row.rows if item == "tray" else SET_POINTS[item] * row.plants
    total += BED_POINTS * sum(row.plants for row in plan.plantings if row.planting not in planted)
    lanes = {place.name for place in farm.places if place.kind is PlaceKind.LANE}
    for position in plan.positions:
        if position.place in lanes:
            total += RAFT_DAY_POINTS * max(0, position.until - max(position.enters, farm.today))
    return total + sum(SUBSTITUTE_POINTS * rank * units for units, _, rank in _instead(farm, plan))


def _seed_and_filling(farm: Farm, plan: Plan) -> Iterator[Fraction]:
    """Yield seed, lots, and every tray, board and raft that is filled."""
    for lot in plan.lots:
        if lot.origin == "sown":
            handling = farm.crops[lot.crop].handling
            yield Fraction(lot.cells * handling.seeds_per_cell * handling.seed_cost, MILLI)
            yield Fraction(farm.cost("lot"))
    found = growing_units(farm, plan)
    for unit in plan.units:
        if unit.unit not in found:
            yield Fraction(farm.cost(unit.item))


def _slots(farm: Farm, plan: Plan) -> Iterator[int]:
    """Yield what slots cost for the days from today on; a position of a bed to the end of its clean-up."""
    price_of = {place.name: farm.cost(SLOT_DAYS[place.kind]) for place in farm.places}
    for row in plan.positions:
        yield price_of[row.place] * max(0, row.until - max(row.enters, farm.today))
    for planting in plan.plantings:
        days = max(0, planting.free - max(planting.enters, farm.today))
        yield price_of[planting.bed] * days * len(positions_in(planting.positions) or ())


def _work(farm: Farm, plan: Plan) -> Fraction:
    """Return what work on crops costs; chores are the same in every plan."""
    minutes = sum(each for _, work, _, each in work_of_crops(farm, plan) if work != CHORE)
    return Fraction(minutes * farm.cost("hour"), HOUR)


def _wasted(farm: Farm, plan: Plan) -> Fraction:
    """Return what heads cost that are grown and not given or sold: plants cut, less losses, less heads taken.

    An open tray is a plant of so many grams. What is left of a picking in a bed costs nothing.
    """
    price = farm.cost("wasted_plant")
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    heads: dict[str, Fraction] = defaultdict(Fraction)
    for cut in plan.cuts:
        crop = crop_of[cut.lot]
        heads[crop] += Fraction(cut.plants * farm.crops[crop].heads_share, WHOLE_SHARE)
    taken = [(row.crop, row.heads) for row in plan.fills] + [(row.crop, row.heads) for row in plan.sales]
    for crop, number in taken:
        if crop in farm.crops:
            heads[crop] -= number
    return sum(
        (
            price * left / (farm.crops[crop].grams or 1)
            for crop, left in heads.items()
            if farm.crops[crop].picking is None
        ),
        Fraction(0),
    )


def thrown_plants(farm: Farm, plan: Plan) -> Fraction:
    """Return the plants of the first day that are thrown away, on whichever day that is.

    Those of trays and boards are what leaves them and is not set out, but for what boards lose of what is: of
    that a fraction of a plant may be left. Plans made before that was paid for pay for the first day alone.
    """
    at_once = Fraction(sum(lot.discarded for lot in plan.lots))
    return at_once + _thrown_later(farm, plan) if pays_later(plan) else at_once


def _thrown_later(farm: Farm, plan: Plan) -> Fraction:
    """Return what leaves trays and boards and is neither set out nor thrown away as the lots say."""
    routes = {lot.lot: farm.crops[lot.crop].route for lot in plan.lots if lot.origin == "growing"}
    found, gone = growing_units(farm, plan), thrown_away(farm, plan)
    item_of = {unit.unit: unit.item for unit in plan.units}
    left = Fraction(0)
    for row in plan.contents:
        if row.lot in routes:
            if row.unit not in found:
                left -= _taken(routes[row.lot], item_of[row.unit], row.plants)
            if item_of[row.unit] != routes[row.lot][-1].kind and row.leaves < farm.calendar.span:
                left += row.plants
    for lot, units in gone.items():
        if lot in routes:
            left -= sum(n for unit, n in units.items() if item_of[unit] != routes[lot][-1].kind)
    planted = growing_plantings(farm, plan)
    for planting in plan.plantings:
        if planting.lot in routes and planting.planting not in planted:
            left -= _taken(routes[planting.lot], "bed", planting.plants)
    return left


def _taken(route: Sequence[Stage], item: str, plants: int) -> Fraction:
    """Return the plants of the stage before that plants set out take, what that stage loses included.

    Seedlings lose nothing more in their trays: those of the first day are counted as what is expected.
    A table edited by hand may have plants where no stage leads to: they take as many.
    """
    before = next((stage for stage, after in pairwise(route) if after.kind == item), None)
    if before is None or before.kind is StageKind.TRAY:
        return Fraction(plants)
    return Fraction(plants * WHOLE_SHARE, before.survival)


def _instead(farm: Farm, plan: Plan) -> Iterator[tuple[int, int, int]]:
    """Yield units given in place of what was ordered: how many, what each brings less, and its rank."""
    given = units_given(farm, plan)
    for demand in farm.demands:
        for each in demand.substitutes:
            units = given[demand.name].get(each.product, 0)
            if units:
                yield units, max(0, demand.price - each.price), each.rank
