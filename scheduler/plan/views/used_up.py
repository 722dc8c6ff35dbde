"""On which days a place, a cooler, a kind of equipment or the crew's hours were used up in a plan."""

from collections import Counter

from scheduler.farm.farm import Farm
from scheduler.plan.relief import Grant, Limit
from scheduler.plan.rows import Plan

NEARLY = 95
"""Percent of a day's hours from which no more work fits in, as a rule (estimate)."""


def used_up(farm: Farm, plan: Plan, grant: Grant) -> list[int]:
    """Return the days, of those a grant is for, on which there was no more of it; hours: hardly any more."""
    first = grant.first if grant.first is not None else 0
    last = grant.last if grant.last is not None else farm.calendar.span
    if grant.limit in (Limit.SHELF, Limit.ZONE, Limit.ROW, Limit.BED):
        days = [row.day for row in plan.use if row.place == grant.what and 0 < row.slots <= row.used]
    elif grant.limit in (Limit.TRAYS, Limit.BOARDS, Limit.RAFTS, Limit.DOMES):
        days = [
            row.day
            for row in plan.equipment
            if row.kind == grant.what and row.in_use + row.washing >= row.owned
        ]
    elif grant.limit is Limit.COOLER:
        days = _full(farm, plan, grant.what)
    elif grant.limit is Limit.HOURS:
        days = _busy(farm, plan)
    else:
        return []
    return sorted(day for day in days if first <= day <= last)


def _full(farm: Farm, plan: Plan, name: str) -> list[int]:
    """Return the days after which a cooler is full, and with it all others of its temperature."""
    temperature = next(cooler.temperature for cooler in farm.coolers if cooler.name == name)
    rooms = {cooler.name: cooler.crates for cooler in farm.coolers if cooler.temperature == temperature}
    crates: Counter[int] = Counter()
    for row in plan.coolers:
        crates[row.day] += row.crates if row.cooler in rooms else 0
    return [day for day, standing in crates.items() if standing >= sum(rooms.values())]


def _busy(farm: Farm, plan: Plan) -> list[int]:
    minutes: Counter[int] = Counter()
    for row in plan.hours:
        minutes[row.day] += row.minutes
    crew = farm.crew
    return [] if crew is None else [day for day, n in minutes.items() if n * 100 >= NEARLY * crew.on(day)]
