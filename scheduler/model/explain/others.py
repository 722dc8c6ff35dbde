"""Reliefs that change what may be done: order of rows, days of delivery, sowing and cutting, other crops.

Each needs a model of its own, since it brings batches into question that were none before.
"""

from collections.abc import Iterator
from dataclasses import replace

from scheduler.farm.calendar import WEEK, Work
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.from_book.beds import with_picking_days
from scheduler.farm.orders.goods import crops_for
from scheduler.model.answers.read_back import NotReadBack
from scheduler.model.answers.solution import decided
from scheduler.model.explain.capacity import Case
from scheduler.model.explain.fill import Filled
from scheduler.model.explain.measure import lifts, needed
from scheduler.model.explain.relax import with_lifting
from scheduler.model.explain.season import Season
from scheduler.model.options.frame import wish_of
from scheduler.plan.layout import lay_out
from scheduler.plan.relief import Grant, Limit, Relief

MOST_DAYS = 6
"""A delivery is not moved further: then it would be that of another week."""

MOST_TRIES = 4
"""Days tried one by one on a large farm, of those that look as if they would do."""

ALWAYS = ((-(10**6), 10**6),)
"""Days from and through which a crop without a sowing window may be sown."""

BEYOND = 60 * WEEK
"""Days before the first one and past the last that what grows, or is still to be cut, may ask about."""


def ask(case: Case, farm: Farm, before: Demand | None = None) -> tuple[Season, Filled] | None:
    """Return the model of a farm where more may be done, and an answer that fills the delivery."""
    asked = replace(
        case.season.asked,
        farm=farm,
        names=(case.demand.name,),
        before=() if before is None else (wish_of(before),),
    )
    try:
        season = Season(asked, case.filler.engine.check)
    except NotReadBack:
        return None
    filled = case.filler.fill(season, [case.demand.name])
    return None if filled is None else (season, filled)


def order_relief(case: Case) -> Relief | None:
    """Rafts may be lifted out past others that stay."""
    if case.farm.rules.lift_out:
        return None
    free = with_lifting(case.farm)
    found = ask(case, free)
    if found is None:
        return None
    season, filled = found
    held = lay_out(free, decided(season.chosen, season.values), (), {})
    grants = needed(case.farm, filled.plan, lifts(held))
    return case.relief(grants, filled.cost, filled.plan) if grants else None


def sowing_relief(case: Case) -> Relief | None:
    """Crops may be sown outside their windows."""
    crops = case.farm.crops
    names = crops_for(case.farm, case.demand)
    days = case.farm.calendar.open_days(Work.SOW, case.farm.today, case.demand.last)
    shut = [name for name in names if not all(crops[name].may_sow(day) for day in days)]
    if not shut:
        return None
    opened = {name: replace(crops[name], sowing=ALWAYS) for name in shut}
    found = ask(case, replace(case.farm, crops={**crops, **opened}))
    if found is None:
        return None
    _, filled = found
    grants = [
        Grant(limit=Limit.SOWING, what=lot.crop, amount=lot.cells, first=lot.sown, last=lot.sown)
        for lot in filled.plan.lots
        if lot.origin == "sown" and lot.sown is not None and not crops[lot.crop].may_sow(lot.sown)
    ]
    wider = {
        name: replace(
            crops[name],
            sowing=(*crops[name].sowing, *((g.first or 0, g.first or 0) for g in grants if g.what == name)),
        )
        for name in shut
    }
    return case.proven_relief(replace(case.farm, crops={**crops, **wider}), filled, grants)


def substitute_relief(case: Case) -> Relief | None:
    """Another crop of the book may fill the product too."""
    product = case.farm.products[case.demand.product]
    if product.parts:
        return None
    known = set(crops_for(case.farm, case.demand)) - set(product.sources)
    others = [name for name in _alike(case.farm, set(product.sources)) if name not in known]
    if not others:
        return None
    found = ask(case, _with_sources(case.farm, product.name, others))
    if found is None:
        return None
    _, filled = found
    used = {name: 0 for name in others}
    for fill in filled.plan.fills:
        if fill.demand == case.demand.name and fill.crop in used:
            used[fill.crop] += fill.heads
    grants = [Grant(limit=Limit.SUBSTITUTE, what=name, amount=heads) for name, heads in used.items() if heads]
    # The crop may take over in other deliveries of the product as well.
    asking = {demand.name for demand in case.farm.demands if demand.product == product.name}
    taken = {fill.crop for fill in filled.plan.fills if fill.crop in used and fill.demand in asking}
    return case.proven_relief(_with_sources(case.farm, product.name, sorted(taken)), filled, grants)


def _alike(farm: Farm, sources: set[str]) -> list[str]:
    """Return crops that may stand in for some: of the same kind by their card, or sold with them already."""
    kinds = {kind for name in sources if (kind := _kind(farm.crops[name]))}
    sold = {name for p in farm.products.values() if sources & set(p.sources) for name in p.sources}
    return [
        name
        for name, crop in farm.crops.items()
        if name not in sources and (name in sold or _kind(crop) in kinds)
    ]


def _kind(crop: Crop) -> str:
    """Return the plant a card is of, such as lettuce; empty without a card."""
    return crop.card.split("_")[0]


def _with_sources(farm: Farm, name: str, crops: list[str]) -> Farm:
    product = farm.products[name]
    most = max(product.sources.values())
    wider = replace(product, sources={**product.sources, **dict.fromkeys(crops, most)})
    return replace(farm, products={**farm.products, name: wider})


def day_relief(case: Case, earliest: int | None) -> Relief | None:
    """The delivery may come on another day, the nearest that will do.

    ``earliest`` is the first day it can come on at all, None where that is not what is in the way.
    """
    if case.demand.is_target:
        return None
    for day in _days(case, earliest):
        if case.filler.over:
            return None
        found = ask(case, _moved(case.farm, case.demand, day, day), case.demand)
        if found is not None:
            _, filled = found
            grant = Grant(limit=Limit.DAY, what="", amount=day - case.demand.first, first=day, last=day)
            return case.relief([grant], filled.cost, filled.plan)
    return None


def _days(case: Case, earliest: int | None) -> Iterator[int]:
    """Yield the days to try, nearest first; on a large farm only those that a wide look points at."""
    demand, farm = case.demand, case.farm
    if earliest is not None:
        days = list(range(earliest, min(earliest, demand.first + MOST_DAYS) + 1))
    else:
        days = [demand.first + by for by in range(-MOST_DAYS, MOST_DAYS + 1) if by]
    days = [day for day in days if farm.today <= day < farm.calendar.days]
    days.sort(key=lambda day: (abs(day - demand.first), day))
    if not days or case.season.whole:
        yield from days
        return
    wide = ask(case, _moved(farm, demand, min(days), max(days)), demand)
    if wide is None:
        return
    cut = [fill.cut_day for fill in wide[1].plan.fills if fill.demand == demand.name]
    fresh = [day for day in days if max(cut) <= day <= min(cut) + demand.max_age]
    yield from [*fresh, *(day for day in days if day not in fresh)][:MOST_TRIES]


def _moved(farm: Farm, demand: Demand, first: int, last: int) -> Farm:
    moved = replace(demand, first=first, last=last, reported=first < farm.calendar.days)
    demands = [moved if each.name == demand.name else each for each in farm.demands]
    return replace(farm, demands=tuple(sorted(demands, key=lambda each: (each.first, each.name))))


def harvest_relief(case: Case) -> Relief | None:
    """There is cutting on one more day, the last before the delivery that will do."""
    demand, calendar = case.demand, case.farm.calendar
    for day in range(demand.last, max(case.farm.today, demand.first - demand.max_age) - 1, -1):
        if calendar.is_open(Work.HARVEST, day) or case.filler.over:
            continue
        found = ask(case, _with_harvest(case.farm, day))
        if found is not None:
            grant = Grant(limit=Limit.HARVEST, what="", amount=1, first=day, last=day)
            return case.relief([grant], found[1].cost, found[1].plan)
    return None


def _with_harvest(farm: Farm, day: int) -> Farm:
    """Return the farm with cutting on one day more: its weekday opens, and all other such days close."""
    calendar = farm.calendar
    shut = {
        other
        for other in range(day % WEEK - BEYOND, calendar.span + BEYOND, WEEK)
        if other != day and not calendar.is_open(Work.HARVEST, other)
    }
    days = {**calendar.work_days, Work.HARVEST: calendar.work_days[Work.HARVEST] | {calendar.weekday(day)}}
    closed = {**calendar.closed, Work.HARVEST: (calendar.closed[Work.HARVEST] | shut) - {day}}
    calendar = replace(calendar, work_days=days, closed=closed)
    crops = with_picking_days(farm.crops, calendar, farm.products, farm.demands)
    return replace(farm, calendar=calendar, crops=crops)
