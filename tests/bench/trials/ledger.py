"""What stands where on every day, as a planner with a large sheet of paper keeps it."""

from bisect import bisect_left, bisect_right, insort
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import ceil_div

AFTER = 60
"""Days past the end of the plan that are kept, for what still stands there."""

MOST_HOLD = 10
"""Most days an emptied raft waits behind rafts ahead of it (as in the planner's model)."""

Days = NDArray[np.int64]


@dataclass(slots=True)
class Room:
    """Slots or units in use on each day, and how many there are."""

    limit: Days
    used: Days

    def free(self, enters: int, until: int) -> int:
        """Return how many more can stand from a day until another."""
        if until <= enters:
            return 1_000_000
        return int((self.limit[enters:until] - self.used[enters:until]).min())

    def add(self, enters: int, until: int, count: int) -> None:
        """Put some in, or take some out."""
        self.used[enters:until] += count


@dataclass(slots=True)
class Stay:
    """Rafts that entered a queue on one day and leave it on another; ``emptied`` is when they could go."""

    enters: int
    leaves: int
    emptied: int
    rafts: int


@dataclass(slots=True)
class Queue:
    """Rows in which no raft overtakes another: one row, or several that are treated as one."""

    lanes: tuple[Place, ...]
    room: Room
    stays: list[Stay] = field(default_factory=list)

    @property
    def names(self) -> frozenset[str]:
        """Names of its rows."""
        return frozenset(place.name for place in self.lanes)

    def leaving(self, enters: int, emptied: int) -> int | None:
        """Return the day on which a raft that enters and is emptied on some days can leave, if any.

        It waits for all that entered before, and may not hold up what enters later and leaves earlier.
        """
        at = bisect_left(self.stays, enters, key=_enters)
        leaves = max([emptied, *(stay.leaves for stay in self._alike(at - 1, -1))])
        behind = bisect_right(self.stays, enters, key=_enters)
        if leaves - emptied > MOST_HOLD:
            return None
        return leaves if all(stay.leaves >= leaves for stay in self._alike(behind, 1)) else None

    def _alike(self, at: int, step: int) -> Iterator[Stay]:
        """Yield one stay and, going one way, those of its day: others leave in the order they came."""
        first = at
        while 0 <= at < len(self.stays) and self.stays[at].enters == self.stays[first].enters:
            yield self.stays[at]
            at += step

    def put(self, stay: Stay) -> None:
        """Add rafts that have been found to fit."""
        insort(self.stays, stay, key=_enters)
        self.room.add(stay.enters, stay.leaves, stay.rafts)

    def can_stay_until(self, stay: Stay, day: int) -> bool:
        """Say whether some rafts may leave on a later day than they do now."""
        if self.room.free(stay.leaves, day) < stay.rafts:
            return False
        behind = bisect_right(self.stays, stay.enters, key=_enters)
        return all(other.leaves >= day for other in self._alike(behind, 1))

    def keep_until(self, stay: Stay, day: int) -> None:
        """Let some rafts leave on a later day."""
        self.room.add(stay.leaves, day, stay.rafts)
        stay.leaves = stay.emptied = day


def _enters(stay: Stay) -> int:
    return stay.enters


class Units:
    """Trays or boards: places to stand and units owned, with plants of one group packed together."""

    def __init__(self, slots: Room, owned: dict[str, Room], wash: dict[str, int]) -> None:
        """Take the slots of all places and the units of every kind."""
        self._slots, self._owned, self._wash = slots, owned, wash
        self._groups: dict[Hashable, Counter[int]] = defaultdict(Counter)

    def fits(self, group: tuple[str, int, Hashable], per_unit: int, amount: int, leaves: int) -> bool:
        """Say whether more of a group (kind, day it enters, who shares a unit) can stand until a day."""
        kind, enters, _ = group
        return all(
            self._slots.free(start, until) >= more
            and self._owned[kind].free(start, until + self._wash[kind]) >= more
            for start, until, more in self._steps(group, enters, per_unit, (amount, leaves))
        )

    def add(self, group: tuple[str, int, Hashable], per_unit: int, amount: int, leaves: int) -> None:
        """Put more of a group in until a day."""
        kind, enters, _ = group
        for start, until, more in self._steps(group, enters, per_unit, (amount, leaves)):
            self._slots.add(start, until, more)
            self._owned[kind].add(start, until + self._wash[kind], more)
        self._groups[group][leaves] += amount

    def _steps(
        self, group: Hashable, enters: int, per_unit: int, extra: tuple[int, int]
    ) -> list[tuple[int, int, int]]:
        """Return (day, until, units more) for each stretch in which a group then needs more units."""
        before = self._groups[group]
        after = before + Counter({extra[1]: extra[0]})
        found, start = [], enters
        for until in sorted(after):
            more = _units(after, until, per_unit) - _units(before, until, per_unit)
            if more:
                found.append((start, until, more))
            start = until
        return found


def _units(leaving: Counter[int], until: int, per_unit: int) -> int:
    return ceil_div(sum(amount for day, amount in leaving.items() if day >= until), per_unit)


class Ledger:
    """A whole farm on paper.

    Attributes:
        trays, boards: what stands in the nursery.
        queues: rows of rafts, each on its own or some treated as one.
        rafts: raft kind -> units in use.
    """

    def __init__(self, farm: Farm, queues: list[tuple[Place, ...]]) -> None:
        """Start with an empty farm."""
        self._days = farm.calendar.span + AFTER
        owned = {
            name: self._room([kind.owned] * self._days)
            for name, kind in farm.equipment.items()
            if kind.item != "dome"
        }
        wash = {name: kind.wash_days for name, kind in farm.equipment.items()}
        self.trays = Units(self._of(farm.places_of(PlaceKind.TIER)), owned, wash)
        self.boards = Units(self._of(farm.places_of(PlaceKind.ZONE)), owned, wash)
        self.queues = [Queue(lanes, self._of(lanes)) for lanes in queues]
        self.rafts = owned
        self.wash = wash

    def _room(self, limit: list[int]) -> Room:
        return Room(np.array(limit, dtype=np.int64), np.zeros(self._days, dtype=np.int64))

    def _of(self, places: tuple[Place, ...]) -> Room:
        changes = {day for place in places for day in place.slots.changes()}
        limit, most = [], 0
        for day in range(self._days):
            if day == 0 or day in changes:
                most = sum(place.slots.on(day) for place in places)
            limit.append(most)
        return self._room(limit)
