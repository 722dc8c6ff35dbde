"""The limit of a farm: a linear bound, what binds it, a steady week of whole units, and a whole season."""

import threading
from dataclasses import dataclass, replace

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.from_book.beds import with_picking_days
from scheduler.farm.units import MILLI, ceil_div
from scheduler.model.capacity.bound import Answer, Bound
from scheduler.model.capacity.week import SteadyWeek
from scheduler.model.capacity.whole import Whole, whole_week
from scheduler.model.settings import SolveSettings, Tell, silent
from scheduler.model.solve import plan_farm
from scheduler.model.solver.engine import Engine
from scheduler.plan.capacity import Limit, Load, Part, Room, RoomKind, Season, Sought
from scheduler.plan.rows import Plan

STEPS = (100, 95, 88)
"""Percent of what the steady week carries that are tried for a whole season, until one is filled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Depth:
    """How far to look.

    Attributes:
        whole: whether to look for a steady week of whole units.
        season: whether to look for a plan of the whole season as well.
    """

    whole: bool = True
    season: bool = True


def limit_of(
    week: SteadyWeek,
    settings: SolveSettings,
    depth: Depth,
    tell: Tell = silent,
    stop: threading.Event | None = None,
) -> Limit:
    """Return how much of its mix a steady week carries.

    Args:
        week: the week and its mix.
        settings: effort of each search: of the week of whole units, and of each season that is tried.
        depth: how far to look.
        tell: called with each step in words.
        stop: when set, what is not yet looked for is left out.
    """
    stop = stop or threading.Event()
    bound = Bound(week)
    answer = bound.solve()
    whole, season, missed = None, None, None
    if depth.whole and not stop.is_set():
        tell("finding a steady week of whole units")
        whole = whole_week(Engine(settings, stop), week, answer.times, settings.seconds)
        missed = Sought.WHOLE if whole is None else None
    if depth.season and whole is not None and whole.times and not stop.is_set():
        season = _season(week, whole.times, settings, tell, stop)
        missed = Sought.SEASON if season is None else None
    return Limit(
        parts=_parts(week, answer, whole),
        left_out=week.left_out,
        first_day=week.frame.start,
        weeks=week.weeks,
        linear=answer.times,
        whole=None if whole is None else whole.times,
        whole_most=None if whole is None else whole.most,
        season=season,
        rooms=rooms_of(bound, answer),
        loads=_loads(bound),
        missed=missed,
    )


def _parts(week: SteadyWeek, answer: Answer, whole: Whole | None) -> tuple[Part, ...]:
    return tuple(
        Part(
            product=product,
            amount=amount / week.weeks,
            linear=answer.times * amount / week.weeks,
            whole=None if whole is None else whole.units[product] / week.weeks,
        )
        for product, amount in week.amounts.items()
    )


def rooms_of(bound: Bound, answer: Answer) -> tuple[Room, ...]:
    """Return what there is only so much of; what one more is worth is solved again, not taken from prices."""
    week = bound.week
    units = sum(week.amounts.values()) / week.weeks
    days = week.frame.period
    found = []
    for supply in bound.supplies:
        price = answer.price[supply.key]
        gain = bound.solve({supply.key: 1}).times - answer.times if price > 0 else 0.0
        found.append(
            Room(
                kind=supply.key[0],
                name=supply.name,
                there=supply.there / (supply.one if supply.key[0] is RoomKind.HOURS else days),
                used=answer.used[supply.key],
                price=max(0.0, price) * units,
                worth=max(0.0, gain) * units,
            )
        )
    return tuple(found)


def _loads(bound: Bound) -> tuple[Load, ...]:
    crops = dict.fromkeys(way.crop for way in bound.ways)
    found = []
    for crop in crops:
        takes = bound.least_takes(crop)
        kinds = (RoomKind.TIER, RoomKind.ZONE, RoomKind.LANE, RoomKind.BED)
        tray, board, raft, bed = (float(takes.get(kind, 0)) for kind in kinds)
        found.append(Load(crop=crop, tray_days=tray, board_days=board, raft_days=raft, bed_days=bed))
    return tuple(found)


def _season(
    week: SteadyWeek, times: int, settings: SolveSettings, tell: Tell, stop: threading.Event
) -> Season | None:
    """Return the first of a few steps that a plan of the season fills, else the one that brings most."""
    found: list[Season] = []
    for percent in STEPS:
        if stop.is_set():
            break
        tried = times * percent // 100
        tell(f"planning the whole season at {tried / MILLI:.2f} times the mix")
        plan = plan_farm(with_demand(week, tried), settings, None, stop).plan
        if plan is not None:
            found.append(Season(times=tried, filled=_filled(plan)))
            if found[-1].filled == 1:
                return found[-1]
    return max(found, key=lambda each: each.times * each.filled, default=None)


def _filled(plan: Plan) -> float:
    """Return the share filled of what is neither too early for any sowing nor out of any harvest's reach."""
    rows = [row for row in plan.demands if row.reported and row.state in ("filled", "short")]
    asked = sum(row.amount for row in rows)
    return sum(row.filled for row in rows) / asked if asked else 1.0


def with_demand(week: SteadyWeek, times: int) -> Farm:
    """Return the farm with its steady mix asked for week after week, so many thousandths of it.

    Every demand is firm and alike: what matters is whether all can be filled.
    """
    farm, frame = week.whole, week.frame
    demands: list[Demand] = []
    last = max(farm.calendar.days, farm.calendar.span)
    for wish in frame.wishes:
        amount = ceil_div(wish.amount * times, MILLI)
        phase = (wish.first - frame.start) % frame.period + frame.start % WEEK
        for first in range(phase - frame.period, last, frame.period):
            ends = first + wish.last - wish.first
            if first >= farm.today and ends < last and amount:
                demands.append(
                    Demand(
                        name=f"{wish.name} {first}",
                        order=wish.name,
                        customer="",
                        product=wish.product,
                        first=first,
                        last=ends,
                        amount=amount,
                        firm=True,
                        price=100,
                        priority=2,
                        max_age=wish.age,
                        reported=ends < farm.calendar.days,
                        is_target=ends > first,
                    )
                )
    crops = with_picking_days(farm.crops, farm.calendar, farm.products, demands)
    in_order = tuple(sorted(demands, key=lambda each: (each.first, each.name)))
    return replace(farm, demands=in_order, crops=crops)
