"""Ways to break when things are done: stages, work days, cuts, freshness, heat and hours."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from random import Random

from fuzz.operators import Broken, items_of, one, operator, put, put_each

from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind, Steps
from scheduler.plan.rows import CutRow, Plan

# --- days -----------------------------------------------------------------------------------------


def _own_trays(plan: Plan, lot: str) -> list[str] | None:
    """Return the trays of a lot; None where another lot stands in one of them too."""
    items = items_of(plan)
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
        for unit in [items_of(plan)[cut.unit]]
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
