"""Slots: of tiers, board zones and rows."""

from collections import defaultdict
from collections.abc import Callable

import numpy as np
from ortools.sat.python.cp_model import CpModel, IntVar, LinearExpr

from scheduler.farm.places import PlaceKind
from scheduler.model.options.pools import Pool, pools_of
from scheduler.model.variables.decisions import Decisions, UnitGroup

Stay = tuple[int, int, IntVar]
"""A unit count that stands from a day until another."""


def stays_of(counts: dict[tuple[UnitGroup, int], IntVar], first: int) -> dict[UnitGroup, list[Stay]]:
    """Turn 'units still there until each day' into stays that follow one another.

    Nothing that ended before ``first`` is among them. What ends on it holds no place any more, and is still
    to be washed.
    """
    days: dict[UnitGroup, list[int]] = defaultdict(list)
    for group, day in counts:
        days[group].append(day)
    stays: dict[UnitGroup, list[Stay]] = {}
    for group, until in days.items():
        until.sort()
        starts = [min(group.enters, until[0])] + until[:-1]
        stays[group] = [
            (start, day, counts[group, day]) for start, day in zip(starts, until, strict=True) if day >= first
        ]
    return stays


def tier_slots(model: CpModel, chosen: Decisions) -> None:
    """Trays on the shelves never exceed the slots of the tiers, on any day."""
    _pool_slots(model, chosen, pools_of(chosen.farm, PlaceKind.TIER), chosen.trays)


def zone_slots(model: CpModel, chosen: Decisions) -> None:
    """Boards never exceed the slots of the board zones, on any day."""
    _pool_slots(model, chosen, pools_of(chosen.farm, PlaceKind.ZONE), chosen.boards)


def lane_slots(model: CpModel, chosen: Decisions) -> None:
    """Rafts in a row never exceed its slots, on any day; a raft cut empty holds its slot until it leaves."""
    stays: dict[str, list[Stay]] = defaultdict(list)
    for queue, by_day in chosen.queues.items():
        stays[queue.bundle] += [(queue.enters, day, rafts) for day, rafts in by_day.items()]
    for bundle in chosen.bundles:
        _limit(model, chosen, stays[bundle.name], bundle)


def _pool_slots(
    model: CpModel,
    chosen: Decisions,
    pools: tuple[Pool, ...],
    counts: dict[tuple[UnitGroup, int], IntVar],
) -> None:
    stays = stays_of(counts, chosen.frame.start)
    for pool in pools:
        inside = [stay for group, parts in stays.items() if group.pool == pool.name for stay in parts]
        _limit(model, chosen, inside, pool)


def _limit(model: CpModel, chosen: Decisions, stays: list[Stay], pool: Pool) -> None:
    changes = {day for place in pool.places for day in place.slots.changes()}

    def slots_on(day: int) -> int:
        return sum(chosen.frame.usual(place.slots, day) for place in pool.places)

    limit_stays(model, chosen, stays, (changes, slots_on))


def limit_stays(
    model: CpModel,
    chosen: Decisions,
    stays: list[Stay],
    limit: tuple[set[int], Callable[[int], int]],
) -> None:
    """Keep the units of some stays within ``limit``: (days on which it changes, limit of a day)."""
    frame = chosen.frame
    changes, limit_on = limit
    if not stays:
        return
    starts = np.array([start for start, _, _ in stays], dtype=np.int64)
    untils = np.array([until for _, until, _ in stays], dtype=np.int64)
    mosts = np.array([chosen.most(count) for _, _, count in stays], dtype=np.int64)
    for day in frame.check_days(set(starts.tolist()), changes):
        chosen.pulse()
        copies = frame.copies_of(starts, untils, day)
        here = np.flatnonzero(copies)
        most = limit_on(day)
        if int((copies[here] * mosts[here]).sum()) > most:
            counts = [stays[number][2] for number in here.tolist()]
            model.add(LinearExpr.weighted_sum(counts, copies[here].tolist()) <= most)
