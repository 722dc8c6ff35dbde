"""What stands where on every day of a season, as a planner with a large sheet of paper keeps it."""

from bisect import bisect_left, bisect_right, insort
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.places import PlaceKind
from scheduler.farm.units import ceil_div
from scheduler.model.options.pools import Pool, pools_of
from scheduler.model.variables.decide import HOLD_DAYS
from scheduler.model.variables.decisions import Decisions, UnitGroup

AFTER = 90
"""Days past the end of a season that are kept, for what is still washed or held then."""

Days = NDArray[np.int64]


class Room:
    """Slots or units in use on each day, and how many there are."""

    def __init__(self, limit: Days) -> None:
        """Start with all of it free."""
        self._free = limit

    def free(self, enters: int, until: int) -> int:
        """Return how many more can stand from a day until another."""
        return int(self._free[enters:until].min()) if until > enters else len(self._free)

    def add(self, enters: int, until: int, count: int) -> None:
        """Put some in."""
        self._free[enters:until] -= count


class Stay(NamedTuple):
    """Rafts that enter a bundle on one day and leave it on another."""

    enters: int
    leaves: int


class Row:
    """A bundle of rows in which no raft overtakes another."""

    def __init__(self, room: Room) -> None:
        """Start empty."""
        self.room = room
        self._stays: list[Stay] = []

    def leaving(self, enters: int, emptied: int) -> int | None:
        """Return the day on which a raft that enters and is emptied on some days can leave, if any.

        It waits for all that entered before, and may not hold up what enters later and leaves earlier.
        """
        at = bisect_left(self._stays, enters, key=_enters)
        before = self._stays[max(0, at - LOOK) : at]
        leaves = max(emptied, max((stay.leaves for stay in before), default=emptied))
        if leaves - emptied > HOLD_DAYS:
            return None
        at = bisect_right(self._stays, enters, lo=at, key=_enters)
        behind = self._stays[at : at + LOOK]
        return leaves if all(stay.leaves >= leaves for stay in behind) else None

    def put(self, enters: int, leaves: int, rafts: int) -> None:
        """Add rafts that have been found to fit."""
        insort(self._stays, Stay(enters, leaves), key=_enters)
        self.room.add(enters, leaves, rafts)


LOOK = 40
"""Stays before and after that are looked at: those further away have left, or enter, long before or after."""


def _enters(stay: Stay) -> int:
    return stay.enters


class Sheet:
    """A whole season on paper; what grows on the first day is left out.

    Attributes:
        rows: bundle -> what stands in it.
    """

    def __init__(self, chosen: Decisions) -> None:
        """Start with empty places."""
        farm, frame = chosen.farm, chosen.frame
        self._start, self._length = frame.start, frame.end - frame.start + AFTER
        self.rows = {bundle.name: Row(self._room(bundle.slots_on)) for bundle in chosen.bundles}
        self._slots = {
            pool.name: self._room(pool.slots_on)
            for kind in (PlaceKind.TIER, PlaceKind.ZONE)
            for pool in _pools(chosen, kind)
        }
        self.wash = {name: kind.wash_days for name, kind in farm.equipment.items()}
        self._owned = {name: Room(self._flat(kind.owned)) for name, kind in farm.equipment.items()}
        self._leaving: dict[UnitGroup, Counter[int]] = defaultdict(Counter)

    def _flat(self, number: int) -> Days:
        return np.full(self._length, number, dtype=np.int64)

    def _room(self, slots_on: Callable[[int], int]) -> Room:
        days = range(self._start, self._start + self._length)
        return Room(np.array([slots_on(day) for day in days], dtype=np.int64))

    def owned(self, kind: str, enters: int, until: int) -> int:
        """Return how many more units of a kind there are from a day until another, washing included."""
        return self._owned[kind].free(enters - self._start, until + self.wash[kind] - self._start)

    def own(self, kind: str, enters: int, until: int, count: int) -> None:
        """Take units of a kind from a day until they are washed after another."""
        self._owned[kind].add(enters - self._start, until + self.wash[kind] - self._start, count)

    def row_free(self, bundle: str, enters: int, until: int) -> int:
        """Return how many more rafts can stand in a bundle from a day until another."""
        return self.rows[bundle].room.free(enters - self._start, until - self._start)

    def leaving(self, bundle: str, enters: int, emptied: int) -> int | None:
        """Return when a raft that enters and is emptied on some days can leave a bundle, if at all."""
        found = self.rows[bundle].leaving(enters - self._start, emptied - self._start)
        return None if found is None else found + self._start

    def put(self, bundle: str, enters: int, leaves: int, rafts: int) -> None:
        """Let rafts stand in a bundle from a day until another."""
        self.rows[bundle].put(enters - self._start, leaves - self._start, rafts)

    def fits(self, group: UnitGroup, amount: int, leaves: int) -> bool:
        """Say whether more of a group of trays or boards can stand until a day."""
        return all(
            self._slots[group.pool].free(start - self._start, until - self._start) >= more
            and self.owned(group.kind, start, until) >= more
            for start, until, more in self._steps(group, amount, leaves)
        )

    def add(self, group: UnitGroup, amount: int, leaves: int) -> None:
        """Put more of a group of trays or boards in until a day."""
        for start, until, more in self._steps(group, amount, leaves):
            self._slots[group.pool].add(start - self._start, until - self._start, more)
            self.own(group.kind, start, until, more)
        self._leaving[group][leaves] += amount

    def _steps(self, group: UnitGroup, amount: int, leaves: int) -> Iterator[tuple[int, int, int]]:
        """Yield (day, until, units more) for each stretch in which a group then needs more units."""
        before = self._leaving[group]
        days = sorted({*before, leaves})
        steps: list[tuple[int, int]] = []
        there = now = 0
        for until in reversed(days):
            there += before[until]
            now += before[until] + (amount if until == leaves else 0)
            steps.append((until, ceil_div(now, group.per_unit) - ceil_div(there, group.per_unit)))
        start = group.enters
        for until, more in reversed(steps):
            if more:
                yield start, until, more
            start = until


def _pools(chosen: Decisions, kind: PlaceKind) -> Iterable[Pool]:
    return pools_of(chosen.farm, kind)
