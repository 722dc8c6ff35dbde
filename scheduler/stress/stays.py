"""Rafts that are late stay longer than planned only where their row, and the number of rafts, has room."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan, UnitRow
from scheduler.plan.tally import equipment_use, lane_order, place_use
from scheduler.stress.draws import Counts
from scheduler.stress.growth import LONGEST_STAY, Ripening, days_of
from scheduler.stress.journey import Journey

MOST_BEHIND = 60
"""Rafts behind a late one that are looked at: more than leave a row within the longest stay."""


class Room:
    """Slots of places and units of each kind that a plan leaves free on each day; none on days past it."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Count what is free."""
        self.days = days_of(farm)
        self.free: dict[str, NDArray[np.int32]] = {}
        for row in place_use(farm, plan):
            self._of(f"place {row.place}")[row.day] = row.slots - row.used
        for kind in equipment_use(farm, plan):
            self._of(f"kind {kind.kind}")[kind.day] = kind.owned - kind.in_use - kind.washing
        self.rows = lane_order(farm, plan)

    def _of(self, name: str) -> NDArray[np.int32]:
        return self.free.setdefault(name, np.zeros(self.days, np.int32))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stay:
    """A unit in its place: when it leaves in each run, and what of it waits to ripen.

    Attributes:
        place, kind: where it stands, and what it is.
        pickings: numbers of its pickings.
        leaves: day it leaves, one for each run; changed as units stay longer.
    """

    place: str
    kind: str
    pickings: list[int]
    leaves: Counts


class _Keeping:
    """Units that stay longer than planned, in some runs."""

    def __init__(self, room: Room, ripening: Ripening) -> None:
        self.room, self.ripening = room, ripening
        self.runs = len(ripening.ready)
        # name of a place or kind -> runs x days: taken by units that stay longer
        self._taken: dict[str, NDArray[np.int32]] = defaultdict(
            lambda: np.zeros((self.runs, room.days), np.int32)
        )

    def keep(self, unit: _Stay, behind: Sequence[_Stay]) -> None:
        """Let a unit stay in the runs in which it ripens late, if there is room for all that takes.

        ``behind`` are units that cannot leave before it: they stay as long.
        """
        until = self._wanted(unit)
        if until is None:
            return
        moved = [unit, *(each for each in behind if (each.leaves < until).any())]
        first, end = min(int(each.leaves.min()) for each in moved), int(until.max())
        days = np.arange(first, min(end, self.room.days))
        wanted: dict[str, NDArray[np.int32]] = {}
        for each in moved:
            stays = (days[None, :] >= each.leaves[:, None]) & (days[None, :] < until[:, None])
            for name in (f"place {each.place}", f"kind {each.kind}"):
                wanted[name] = wanted.get(name, np.int32(0)) + stays.astype(np.int32)
        fits = until <= self.room.days
        for name, number in wanted.items():
            left = self.room.free[name][None, days] - self._taken[name][:, days]
            fits &= ~((number > 0) & (left < number)).any(axis=1)
        for name, number in wanted.items():
            self._taken[name][:, days] += number * fits[:, None]
        for each in moved:
            each.leaves[:] = np.where(fits, np.maximum(each.leaves, until), each.leaves)

    def _wanted(self, unit: _Stay) -> Counts | None:
        """Return the day a unit would leave once all of it is cut; as planned where it ripens in time."""
        if not unit.pickings:
            return None
        ready = self.ripening.ready[:, unit.pickings]
        ripe = ready.max(axis=1)
        in_time = (ready <= self.ripening.last[:, unit.pickings]).all(axis=1)
        wants = in_time & (ripe > unit.leaves) & (ripe <= unit.leaves + LONGEST_STAY)
        return np.where(wants, ripe, 0).astype(np.int32) if wants.any() else None


def keep_late(journey: Journey, ripening: Ripening, room: Room) -> NDArray[np.int32]:
    """Return runs x pickings: the last harvest day on which each picking can be cut, its place looked at too.

    A unit keeps its slot through the day the plan frees it. One that ripens later stays on until it can be
    cut, and with it the rafts behind it that cannot leave before, if the place has slots for that all the
    time and the units are not wanted elsewhere; where rafts are lifted out none has to wait. The raft at the
    harvest end is looked at first. All or nothing: a raft that finds no room leaves as planned.
    """
    keeping = _Keeping(room, ripening)
    pickings: dict[str, list[int]] = defaultdict(list)
    for at, picking in enumerate(journey.pickings):
        pickings[journey.patches[picking.patch].unit].append(at)
    last = ripening.last.copy()

    def stay(unit: UnitRow, place: str) -> _Stay:
        leaves = np.full(keeping.runs, unit.leaves, np.int32)
        return _Stay(place=place, kind=unit.kind, pickings=pickings.get(unit.unit, []), leaves=leaves)

    lines = [[stay(raft, lane) for raft in rafts] for lane, rafts in room.rows.items()]
    in_rows = {raft.unit for rafts in room.rows.values() for raft in rafts}
    unit_of = {unit.unit: unit for unit in journey.plan.units}
    alone = {patch.unit: patch.place for patch in journey.patches if patch.unit not in in_rows}
    lines += [[stay(unit_of[name], place)] for name, place in alone.items()]
    for line in lines:
        for at, unit in enumerate(line):
            behind = () if journey.farm.rules.lift_out else line[at + 1 : at + 1 + MOST_BEHIND]
            keeping.keep(unit, behind)
        for unit in line:
            until = ripening.open.on_or_before(unit.leaves)
            for at in unit.pickings:
                last[:, at] = np.minimum(last[:, at], until)
    return last
