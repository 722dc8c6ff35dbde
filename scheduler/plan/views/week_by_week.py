"""A tier, board zone or row week by week: how full it gets, and whose trays, boards or rafts stand there."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import ContentRow, Plan
from scheduler.plan.views.fullest import Full, fullest, week_spans


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceWeek:
    """One week of a place.

    Attributes:
        first: its Monday, or the first of its days that is shown.
        fullest: its fullest day.
        lots: (lot, units that hold some of it on that day), in order of their slots.
    """

    first: int
    fullest: Full
    lots: tuple[tuple[str, int], ...]


def weeks_of_place(farm: Farm, plan: Plan, name: str, day: int) -> tuple[PlaceWeek, ...]:
    """Return the weeks of a place from a day to the last reported one.

    A unit stands there from the day it comes in until the day before it leaves; a raft that only waits for
    those ahead takes its slot and is of no lot.

    Raises:
        KeyError: the farm has no such place.
    """
    slots = farm.place(name).slots
    stands = sorted((row for row in plan.positions if row.place == name), key=lambda row: row.slot)
    units = {row.unit for row in stands}
    inside: dict[str, list[ContentRow]] = defaultdict(list)
    for content in plan.contents:
        if content.unit in units:
            inside[content.unit].append(content)
    weeks = []
    for monday, last in week_spans(farm):
        first = max(monday, day)
        here = [row for row in stands if row.enters <= last and row.until > first]
        days = (
            (each, sum(row.enters <= each < row.until for row in here)) for each in range(first, last + 1)
        )
        most = fullest((each, used, slots.on(each)) for each, used in days)
        if most is not None:
            there = [row.unit for row in here if row.enters <= most.day < row.until]
            lots = Counter(
                lot
                for unit in there
                for lot in dict.fromkeys(
                    each.lot for each in inside[unit] if each.enters <= most.day < each.leaves
                )
            )
            weeks.append(PlaceWeek(first=first, fullest=most, lots=tuple(lots.items())))
    return tuple(weeks)
