"""Ways to break one rule of a sound plan, and the faults of other rules that each may bring with it.

An operator takes a farm and a plan that the audit passes, and returns them broken, or None where the plan
has nothing it could act on. Totals are worked out again after it, unless it is the totals that it breaks.
Faults of bookkeeping may always come with another: rows that agreed with each other no longer do.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace
from random import Random
from typing import Any

from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.farm.orders.boxes import NEVER, BoxWish
from scheduler.farm.places import PlaceKind, Steps
from scheduler.plan.audit import RULES
from scheduler.plan.rows import CutRow, FillRow, Plan, PositionRow, UnitRow
from scheduler.plan.tally import with_totals

Broken = tuple[Farm, Plan] | None
Breaker = Callable[[Random, Farm, Plan], Broken]

BOOKKEEPING = "bookkeeping"


@dataclass(frozen=True, kw_only=True)
class Operator:
    """One way to break a rule.

    Attributes:
        rule: the rule it breaks, a name of ``RULES``.
        breaks: the function that does it.
        sides: other rules whose faults it may bring.
        totals: whether totals are worked out again afterwards.
    """

    rule: str
    breaks: Breaker
    sides: frozenset[str]
    totals: bool = True

    @property
    def name(self) -> str:
        return self.breaks.__name__

    def broken(self, draw: Random, farm: Farm, plan: Plan) -> Broken:
        """Return the farm and the plan broken."""
        found = self.breaks(draw, farm, plan)
        if found is None or not self.totals:
            return found
        return found[0], with_totals(*found)


OPERATORS: list[Operator] = []


def operator(rule: str, *sides: str, totals: bool = True) -> Callable[[Breaker], Breaker]:
    """Note a function as an operator that breaks a rule."""
    assert {rule, *sides} <= set(RULES)

    def note(breaks: Breaker) -> Breaker:
        OPERATORS.append(
            Operator(rule=rule, breaks=breaks, sides=frozenset({*sides, BOOKKEEPING}), totals=totals)
        )
        return breaks

    return note


def put(plan: Plan, table: str, row: Any, **new: Any) -> Plan:
    """Return the plan with one row changed; that row, not one like it."""
    rows = tuple(replace(each, **new) if each is row else each for each in getattr(plan, table))
    tables: dict[str, Any] = {table: rows}
    return replace(plan, **tables)


def put_each(plan: Plan, table: str, hit: Callable[[Any], bool], **new: Any) -> Plan:
    """Return the plan with the rows that are hit changed."""
    rows = tuple(replace(each, **new) if hit(each) else each for each in getattr(plan, table))
    tables: dict[str, Any] = {table: rows}
    return replace(plan, **tables)


def one(draw: Random, rows: Iterable[Any]) -> Any:
    """Return one of some things, None when there is none."""
    listed = list(rows)
    return draw.choice(listed) if listed else None


def _items(plan: Plan) -> dict[str, UnitRow]:
    return {unit.unit: unit for unit in plan.units}


def _standing(farm: Farm, plan: Plan, *kinds: PlaceKind) -> list[PositionRow]:
    of = {place.name: place.kind for place in farm.places}
    return [row for row in plan.positions if of[row.place] in kinds]


def _meet(a: PositionRow, b: PositionRow) -> bool:
    return a.enters < b.until and b.enters < a.until


# --- slots ----------------------------------------------------------------------------------------


@operator("slots", "lane order", "growing")
def a_slot_that_is_not_there(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Stand a unit in a slot beyond those of its place."""
    row = one(draw, plan.positions)
    if row is None:
        return None
    most = next(place for place in farm.places if place.name == row.place).slots.highest()
    return farm, put(plan, "positions", row, slot=most + 1)


@operator("slots")
def two_in_one_slot(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Stand a tray or board where another stands."""
    rows = _standing(farm, plan, PlaceKind.TIER, PlaceKind.ZONE)
    pairs = [(a, b) for a in rows for b in rows if a.place == b.place and a.slot != b.slot and _meet(a, b)]
    pair = one(draw, pairs[:2000])
    return None if pair is None else (farm, put(plan, "positions", pair[0], slot=pair[1].slot))


@operator("slots")
def standing_nowhere(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out a day on which a tray or board stood."""
    row = one(
        draw,
        [row for row in _standing(farm, plan, PlaceKind.TIER, PlaceKind.ZONE) if row.until > row.enters + 1],
    )
    return None if row is None else (farm, put(plan, "positions", row, until=row.until - 1))


# --- lane order and rest --------------------------------------------------------------------------


def _lanes(farm: Farm) -> list[str]:
    return [place.name for place in farm.places_of(PlaceKind.LANE)]


@operator("lane order", "slots", "rest", "fresh", "stage days")
def into_another_lane(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Move a raft into another row half-way."""
    rows = [row for row in _standing(farm, plan, PlaceKind.LANE) if row.until > row.enters + 1]
    row, others = one(draw, rows), _lanes(farm)
    if row is None or len(others) < 2:
        return None
    middle = draw.randint(row.enters + 1, row.until - 1)
    other = draw.choice([lane for lane in others if lane != row.place])
    plan = put(plan, "positions", row, until=middle)
    moved = replace(row, place=other, enters=middle)
    return farm, replace(plan, positions=(*plan.positions, moved))


@operator("lane order", "slots", "rest", "fresh", "stage days", "growing")
def a_lane_it_may_not_use(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Stand a raft in a row that its crop may not use."""
    lanes, lots = set(_lanes(farm)), {lot.lot: lot.crop for lot in plan.lots}
    found = []
    for content in plan.contents:
        if _items(plan)[content.unit].item == "raft":
            barred = lanes - farm.crops[lots[content.lot]].lanes
            found += [(content.unit, lane) for lane in sorted(barred) if content.enters >= 0]
    pair = one(draw, found)
    if pair is None:
        return None
    return farm, put_each(plan, "positions", lambda row: row.unit == pair[0], place=pair[1])


@operator("lane order", "slots", "rest", "equipment", "hours")
def out_after_one_behind_it(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Keep a raft in its row longer than one that came in after it."""
    if farm.rules.lift_out:
        return None
    units = _items(plan)
    last = {
        row.unit: row for row in _standing(farm, plan, PlaceKind.LANE) if row.until == units[row.unit].leaves
    }
    pairs = [
        (a, b)
        for a in last.values()
        for b in last.values()
        if a.place == b.place and units[a.unit].enters < units[b.unit].enters and a.until <= b.until
    ]
    pair = one(draw, pairs[:2000])
    if pair is None:
        return None
    until = pair[1].until + 1
    plan = put(plan, "positions", pair[0], until=until)
    return farm, put(plan, "units", units[pair[0].unit], leaves=until)


@operator("rest", "slots", "lane order", "equipment", "hours")
def no_rest_between_crops(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Keep a raft in its row until the next crop comes in."""
    resting = {place.name: place.rest for place in farm.places_of(PlaceKind.LANE) if place.rest}
    units, lots = _items(plan), {lot.lot: lot.crop for lot in plan.lots}
    crop = {row.unit: lots[row.lot] for row in plan.contents}
    last = {
        row.unit: row
        for row in plan.positions
        if row.place in resting and row.until == units[row.unit].leaves
    }
    pairs = [
        (a, units[b.unit].enters)
        for a in last.values()
        for b in last.values()
        if a.place == b.place and crop[a.unit] != crop[b.unit] and a.until <= units[b.unit].enters
    ]
    pair = one(draw, pairs)
    if pair is None:
        return None
    row, until = pair
    plan = put(plan, "positions", row, until=until)
    return farm, put(plan, "units", units[row.unit], leaves=until)


# --- beds and picking -----------------------------------------------------------------------------


@operator("beds")
def positions_that_are_not_there(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Set plants into positions beyond those of the bed."""
    row = one(draw, plan.plantings)
    if row is None:
        return None
    most = next(place for place in farm.places if place.name == row.bed).slots.highest()
    return farm, put(plan, "plantings", row, positions=f"{most + 1}-{most + row.plants}")


@operator("beds")
def no_cleaning_up(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Free a bed on the day its plants are pulled out."""
    row = one(draw, [row for row in plan.plantings if row.free > row.leaves])
    return None if row is None else (farm, put(plan, "plantings", row, free=row.leaves))


@operator("beds")
def two_plants_in_one_position(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Set plants where others stand."""
    pairs = [
        (a, b)
        for a in plan.plantings
        for b in plan.plantings
        if a is not b and a.bed == b.bed and a.enters < b.free and b.enters < a.free and a.plants == b.plants
    ]
    pair = one(draw, pairs)
    return None if pair is None else (farm, put(plan, "plantings", pair[0], positions=pair[1].positions))


@operator("picking", "whole units", "outlets")
def more_picked_than_grows(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Pick more than the curve gives."""
    row = one(draw, plan.pickings)
    return None if row is None else (farm, put(plan, "pickings", row, heads=row.heads + 100_000))


@operator("picking", "work days", "fresh", "growing", "whole units")
def picked_on_another_day(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Pick on a day that is none of the crop's picking days."""
    lots = {row.lot: row.crop for row in plan.lots}
    of = {row.planting: lots[row.lot] for row in plan.plantings}
    stands = {row.planting: range(max(row.enters, 0), row.leaves) for row in plan.plantings}
    rows = [
        (row, row.day + step)
        for row in plan.pickings
        for step in range(-30, 31)
        if (picking := farm.crops[of[row.planting]].picking)
        and row.day + step in stands[row.planting]
        and row.day + step not in picking.days
        and (row.day + step + farm.calendar.first_day.weekday()) % 7 in farm.calendar.work_days[Work.HARVEST]
    ]
    pair = one(draw, rows)
    return None if pair is None else (farm, put(plan, "pickings", pair[0], day=pair[1]))


# --- days -----------------------------------------------------------------------------------------


def _own_trays(plan: Plan, lot: str) -> list[str] | None:
    """Return the trays of a lot; None where another lot stands in one of them too."""
    items = _items(plan)
    trays = {row.unit for row in plan.contents if row.lot == lot and items[row.unit].item == "tray"}
    shared = any(row.lot != lot for row in plan.contents if row.unit in trays)
    return None if shared or not trays else sorted(trays)


def _sown_on(plan: Plan, lot: str, trays: Sequence[str], day: int) -> Plan:
    """Return the plan with a lot sown on another day, its trays entering then."""
    sown = next(row.sown for row in plan.lots if row.lot == lot)
    plan = put_each(plan, "lots", lambda row: row.lot == lot, sown=day)
    plan = put_each(plan, "units", lambda row: row.unit in trays, enters=day)
    plan = put_each(plan, "contents", lambda row: row.unit in trays, enters=day, from_day=day)
    plan = put_each(plan, "contents", lambda row: row.lot == lot and row.from_day == sown, from_day=day)
    return put_each(plan, "positions", lambda row: row.unit in trays and row.enters == sown, enters=day)


def _sowings(farm: Farm, plan: Plan) -> list[tuple[str, list[str], int]]:
    """Return (lot, trays, day they are moved on) of what is sown in trays of its own and moves on."""
    found = []
    for lot in plan.lots:
        trays = _own_trays(plan, lot.lot)
        if lot.origin == "sown" and trays and len(farm.crops[lot.crop].route) > 1:
            moved = {row.leaves for row in plan.contents if row.unit in trays}
            found += [(lot.lot, trays, min(moved))] if len(moved) == 1 else []
    return found


@operator("stage days", "work days", "hours", "heat", "equipment", "slots")
def moved_on_the_day_after(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Sow a lot the day before it leaves its trays."""
    found = one(draw, [each for each in _sowings(farm, plan) if each[2] >= 1])
    if found is None:
        return None
    lot, trays, moved = found
    return farm, _sown_on(plan, lot, trays, moved - 1)


@operator("work days", "stage days", "hours", "heat", "equipment", "slots", "whole units")
def sown_on_another_day(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Sow a lot on a day that is none for sowing."""
    days = farm.calendar.work_days[Work.SOW]
    sown = {lot.lot: lot.sown for lot in plan.lots}
    found = [
        (lot, trays, sown[lot] + step)
        for lot, trays, moved in _sowings(farm, plan)
        for step in (-2, -1, 1, 2)
        if 0 <= sown[lot] + step < moved
        and (sown[lot] + step + farm.calendar.first_day.weekday()) % 7 not in days
    ]
    pair = one(draw, found)
    return None if pair is None else (farm, _sown_on(plan, *pair))


def _recut(plan: Plan, lot: str, day: int, new: int) -> Plan:
    """Return the plan with all that is cut of a lot on one day cut on another."""
    plan = put_each(plan, "cuts", lambda row: (row.lot, row.day) == (lot, day), day=new)
    plan = put_each(plan, "fills", lambda row: (row.lot, row.cut_day) == (lot, day), cut_day=new)
    return put_each(plan, "sales", lambda row: (row.lot, row.cut_day) == (lot, day), cut_day=new)


CUTTING = (
    "fresh",
    "growing",
    "coolers",
    "hours",
    "outlets",
    "lane order",
    "slots",
    "stage days",
    "whole units",
    "products",
    "boxes",
)
"""Rules that heads cut on another day may break besides."""


@operator("work days", *CUTTING)
def cut_on_another_day(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Cut on a day that is none for harvesting."""
    days = farm.calendar.work_days[Work.HARVEST]
    found = [
        (row.lot, row.day, row.day + step)
        for row in plan.cuts
        for step in (-2, -1, 1, 2)
        if row.day + step >= 0 and (row.day + step + farm.calendar.first_day.weekday()) % 7 not in days
    ]
    pair = one(draw, found)
    return None if pair is None else (farm, _recut(plan, *pair))


@operator("fresh", "work days", *CUTTING)
def cut_long_before_it_is_ripe(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Cut on the day after a raft came in, or was cut before."""
    found = [
        (cut.lot, cut.day, unit.enters + 1)
        for cut in plan.cuts
        for unit in [_items(plan)[cut.unit]]
        if cut.number == 1 and unit.enters + 1 < cut.day - 2 and unit.enters >= 0
    ]
    pair = one(draw, found)
    return None if pair is None else (farm, _recut(plan, *pair))


@operator("fresh", "products", "boxes", "outlets", "coolers", "whole units")
def delivered_too_old(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Deliver heads to a delivery of their product that comes too late for them."""
    of = {demand.name: demand for demand in farm.demands}
    found = [
        (fill, other.name)
        for fill in plan.fills[:300]
        for other in farm.demands
        if not of[fill.demand].is_target
        and other.product == of[fill.demand].product
        and other.first > fill.cut_day + other.max_age
    ]
    pair = one(draw, found)
    return None if pair is None else (farm, put(plan, "fills", pair[0], demand=pair[1], substitute=""))


@operator("heat", "stage days", "work days", "hours", "equipment", "slots", "whole units", "fresh")
def sown_into_the_heat(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Sow a lot so that it would meet air too warm for it in its first days on a raft."""
    if farm.rules.heat != "refuse":
        return None
    homes = sorted({place.belongs_to for place in farm.places_of(PlaceKind.LANE)})
    hot = [
        (lot, trays, day - sum(stage.days for stage in crop.route[:-1]))
        for lot, trays, _ in _sowings(farm, plan)
        for crop in [farm.crops[next(row.crop for row in plan.lots if row.lot == lot)]]
        for day in range(farm.calendar.span)
        for air in [farm.climate.air_on(homes[0], day, farm.calendar.first_day)]
        if crop.heat_limit is not None and air is not None and air > crop.heat_limit
    ]
    found = one(draw, hot)
    return None if found is None else (farm, _sown_on(plan, *found))


# --- amounts --------------------------------------------------------------------------------------


@operator("whole units", "growing", "products", "coolers", "outlets", "boxes", "hours", "stage days")
def too_full(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Set more plants into a unit than it has holes."""
    row = one(draw, plan.contents)
    if row is None:
        return None
    return farm, put(plan, "contents", row, plants=farm.equipment[_items(plan)[row.unit].kind].holes + 1)


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
        and _items(plan)[row.unit].enters < 0
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
    units = _items(plan)
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


@operator("hours", "work days", *CUTTING)
def a_day_too_full(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Cut on another day, with a crew that has just the hours of the plan."""
    work: dict[int, int] = defaultdict(int)
    for row in plan.hours:
        if row.work != "chore":
            work[row.day] += row.minutes
    steps = [step for day in sorted(work) for step in ((day, work[day]), (day + 1, work.get(day + 1, 0)))]
    tight = replace(farm, crew=Steps(((-10_000, 0), *dict(steps).items())), chores=())
    timed = [row for row in plan.cuts if farm.crops[_crop(plan, row)].minutes.cut]
    cut = one(draw, timed)
    if cut is None or farm.chores:
        return None
    return tight, _recut(plan, cut.lot, cut.day, cut.day + draw.choice((-1, 1)))


def _crop(plan: Plan, cut: CutRow) -> str:
    return next(row.crop for row in plan.lots if row.lot == cut.lot)


@operator("coolers", "whole units", "products", "boxes", "outlets")
def more_crates_than_room(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Keep more heads for a later delivery than there is room for."""
    of = {demand.name: demand for demand in farm.demands}
    late = [
        fill for fill in plan.fills if not of[fill.demand].is_target and of[fill.demand].first > fill.cut_day
    ]
    fill: FillRow | None = one(draw, late) if farm.coolers else None
    return None if fill is None else (farm, put(plan, "fills", fill, heads=fill.heads + 10_000_000))


# --- bookkeeping ----------------------------------------------------------------------------------

TOLD = {
    "demands": ("amount", "filled", "day", "priority", "price"),
    "use": ("used", "slots"),
    "equipment": ("in_use", "washing", "owned"),
    "hours": ("minutes",),
    "coolers": ("heads", "crates", "room"),
    "chains": ("heads", "cut_day", "raft_day"),
    "seed": ("cells", "seeds", "cost"),
    "supplies": ("needed", "packs", "amount", "cost"),
    "boxes": ("value", "products", "short", "boxes"),
    "box_items": ("wanted", "filled"),
    "outlets": ("units", "takings"),
}
"""Tables that follow from others, and columns of them that are worked out."""


@operator("bookkeeping", "products", "boxes", "outlets", totals=False)
def a_total_that_is_wrong(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell one more of something that is worked out from other tables."""
    table = one(draw, [table for table in TOLD if getattr(plan, table)])
    if table is None:
        return None
    row, column = draw.choice(getattr(plan, table)), draw.choice(TOLD[table])
    return farm, put(plan, table, row, **{column: getattr(row, column) + 1})


@operator("bookkeeping", "products", "boxes", "outlets", totals=False)
def a_total_left_out(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out a row of a table that follows from others, or tell it twice."""
    table = one(draw, [table for table in TOLD if getattr(plan, table)])
    if table is None:
        return None
    rows = list(getattr(plan, table))
    at = draw.randrange(len(rows))
    rows[at : at + 1] = draw.choice(([], [rows[at], rows[at]]))
    tables: dict[str, Any] = {table: tuple(rows)}
    return farm, replace(plan, **tables)


NAMED = {
    "positions": ("unit", "place"),
    "contents": ("unit", "lot"),
    "cuts": ("unit", "lot"),
    "fills": ("demand",),
    "units": ("kind",),
    "lots": ("crop",),
    "use": ("place",),
}
"""Tables and columns of them that name something."""


@operator("bookkeeping", *sorted(set(RULES) - {"bookkeeping"}), totals=False)
def a_name_that_is_unknown(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Name what does not exist."""
    table = one(draw, [table for table in NAMED if getattr(plan, table)])
    if table is None:
        return None
    row, column = draw.choice(getattr(plan, table)), draw.choice(NAMED[table])
    assert column in {field.name for field in fields(row)}
    return farm, put(plan, table, row, **{column: "No such thing"})
