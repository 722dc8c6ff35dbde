"""Ways to break where things stand: slots, the order of rows, rests, beds and their pickings."""

from dataclasses import replace
from random import Random

from fuzz.operators import Broken, items_of, meet, one, operator, put, put_each, standing

from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.positions import positions_in, positions_text
from scheduler.plan.rows import Plan

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
    rows = standing(farm, plan, PlaceKind.TIER, PlaceKind.ZONE)
    pairs = [(a, b) for a in rows for b in rows if a.place == b.place and a.slot != b.slot and meet(a, b)]
    pair = one(draw, pairs[:2000])
    return None if pair is None else (farm, put(plan, "positions", pair[0], slot=pair[1].slot))


@operator("slots")
def standing_nowhere(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out a day on which a tray or board stood."""
    row = one(
        draw,
        [row for row in standing(farm, plan, PlaceKind.TIER, PlaceKind.ZONE) if row.until > row.enters + 1],
    )
    return None if row is None else (farm, put(plan, "positions", row, until=row.until - 1))


# --- lane order and rest --------------------------------------------------------------------------


def _lanes(farm: Farm) -> list[str]:
    return [place.name for place in farm.places_of(PlaceKind.LANE)]


@operator("lane order", "slots", "rest", "fresh", "stage days")
def into_another_lane(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Move a raft into another row half-way."""
    rows = [row for row in standing(farm, plan, PlaceKind.LANE) if row.until > row.enters + 1]
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
        if items_of(plan)[content.unit].item == "raft":
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
    units = items_of(plan)
    last = {
        row.unit: row for row in standing(farm, plan, PlaceKind.LANE) if row.until == units[row.unit].leaves
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
    units, lots = items_of(plan), {lot.lot: lot.crop for lot in plan.lots}
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
        if a is not b and a.bed == b.bed and a.enters < b.free and b.enters < a.free and a.plants <= b.plants
    ]
    pair = one(draw, pairs)
    if pair is None:
        return None
    taken = (positions_in(pair[1].positions) or [])[: pair[0].plants]
    return farm, put(plan, "plantings", pair[0], positions=positions_text(taken))


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
