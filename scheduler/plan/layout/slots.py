"""Slots of tiers and board zones: every unit gets a place and a slot number, and moves only where it must.

Units are taken by the day they enter. A slot that is free then stays free, so one that is open for the
whole stay is found whenever the places have room, unless slots close meanwhile: then a unit moves on the
day its slot closes, and there is a slot for it because the units of that day fit the slots of that day.
"""

from bisect import bisect_right, insort
from collections import Counter, defaultdict
from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.layout.units import Stand, Unit

FAR = 10**9


class _Room:
    """One place: its free slot numbers, and how many units of each lot and crop stand in it."""

    def __init__(self, place: Place) -> None:
        self.name = place.name
        self.free = list(range(1, place.slots.highest() + 1))
        self.held: Counter[str] = Counter()
        self.shelves: list[tuple[_Shelf, int]] = []
        self._slots = place.slots
        self._changes = place.slots.changes()

    def fewest(self, first: int, end: int) -> int:
        """Return the fewest slots open on any day from ``first`` up to, not including, ``end``."""
        inside = [self._slots.on(day) for day in self._changes if first < day < end]
        return min([self._slots.on(first), *inside])

    def open_until(self, slot: int, first: int) -> int:
        """Return the first day after ``first`` on which a slot is closed."""
        return next((day for day in self._changes if day > first and self._slots.on(day) < slot), FAR)

    def find(self, first: int, end: int) -> int | None:
        """Return a free slot that is open for a whole stay, or None.

        Where slots close later on, the one that closes first of those that will do is taken.
        """
        most = self.fewest(first, end)
        at = bisect_right(self.free, most)
        if at == 0:
            return None
        return self.free[at - 1] if self.fewest(first, FAR) < most else self.free[0]

    def find_now(self, first: int) -> tuple[int, int] | None:
        """Return (day it closes, slot) of the free slot that stays open longest, or None."""
        if not self.free or self.free[0] > self._slots.on(first):
            return None
        return self.open_until(self.free[0], first), self.free[0]

    def take(self, slot: int, unit: Unit) -> None:
        if slot in self.free:
            self.free.remove(slot)
            self._moved(len(self.free) + 1)
        self._hold(unit, 1)

    def give_back(self, slot: int, unit: Unit) -> None:
        insort(self.free, slot)
        self._moved(len(self.free) - 1)
        self._hold(unit, -1)

    def _moved(self, before: int) -> None:
        for shelf, at in self.shelves:
            shelf.by_free[before].remove(at)
            insort(shelf.by_free[len(self.free)], at)

    def _hold(self, unit: Unit, more: int) -> None:
        for what in (unit.lot, f"crop {unit.crop}"):
            self.held[what] += more
            for shelf, at in self.shelves:
                if self.held[what] == more > 0:
                    insort(shelf.holding[what], at)
                elif not self.held[what]:
                    shelf.holding[what].remove(at)

    def rank(self, unit: Unit) -> tuple[bool, bool, int]:
        """Say how well a unit fits in: with its own lot, with its crop, in the fullest place."""
        return self.held[unit.lot] > 0, self.held[f"crop {unit.crop}"] > 0, -len(self.free)


class _Shelf:
    """Places of which some units may take any: which have so many free slots, and which hold what.

    A farm may have hundreds: looking through all of them for every unit took most of the time of layout.
    """

    def __init__(self, rooms: Sequence[_Room]) -> None:
        self._rooms = rooms
        self.by_free: dict[int, list[int]] = defaultdict(list)
        self.holding: dict[str, list[int]] = defaultdict(list)
        for at, room in enumerate(rooms):
            self.by_free[len(room.free)].append(at)
            for what, number in room.held.items():
                if number:
                    self.holding[what].append(at)
            room.shelves.append((self, at))

    def choose(self, unit: Unit, day: int) -> tuple[_Room, int] | None:
        """Return the place that suits a unit best (the first of several) and a slot there, if any has one."""
        for what in (unit.lot, f"crop {unit.crop}"):
            best: tuple[tuple[bool, bool, int], _Room, int] | None = None
            for at in self.holding.get(what, ()):
                room = self._rooms[at]
                slot = room.find(day, unit.leaves)
                if slot is not None and (best is None or room.rank(unit) > best[0]):
                    best = room.rank(unit), room, slot
            if best is not None:
                return best[1], best[2]
        for free in sorted(self.by_free):
            for at in self.by_free[free] if free else ():
                slot = self._rooms[at].find(day, unit.leaves)
                if slot is not None:
                    return self._rooms[at], slot
        return None


class _Floor:
    """All places of one kind and the units that stand in them as days go by."""

    def __init__(self, farm: Farm, kind: PlaceKind) -> None:
        self._rooms = {place.name: _Room(place) for place in farm.places_of(kind)}
        self._shelves: dict[tuple[str, ...], _Shelf] = {}
        self._leaving: list[tuple[int, int, str, int, Unit]] = []
        self._count = 0

    def day(self, today: int) -> None:
        """Free the slots of all that has left by a day."""
        while self._leaving and self._leaving[0][0] <= today:
            _, _, name, slot, unit = heappop(self._leaving)
            self._rooms[name].give_back(slot, unit)

    def stand(self, unit: Unit, day: int) -> int:
        """Give a unit a slot from a day on; return the day until which it may stay there."""
        names = unit.places if unit.stands else unit.home
        room, slot, until = self._choose(unit, names, day)
        until = min(until, unit.leaves)
        room.take(slot, unit)
        self._count += 1
        heappush(self._leaving, (until, self._count, room.name, slot, unit))
        unit.stands.append(Stand(place=room.name, slot=slot, enters=day, until=until))
        return until

    def stood(self, unit: Unit, day: int) -> None:
        """Give a unit that leaves before the first day's work the slot it stood in until then."""
        room, slot, _ = self._choose(unit, unit.home, day)
        room.take(slot, unit)
        self._count += 1
        heappush(self._leaving, (day, self._count, room.name, slot, unit))
        unit.stands.append(Stand(place=room.name, slot=slot, enters=unit.enters, until=unit.leaves))

    def _choose(self, unit: Unit, names: tuple[str, ...], day: int) -> tuple[_Room, int, int]:
        if unit.found_slot and not unit.stands:
            room = self._rooms[names[0]]
            if unit.found_slot in room.free and unit.found_slot <= room.fewest(day, day + 1):
                return room, unit.found_slot, room.open_until(unit.found_slot, day)
        if names not in self._shelves:
            self._shelves[names] = _Shelf([self._rooms[name] for name in names])
        found = self._shelves[names].choose(unit, day)
        if found is not None:
            return *found, unit.leaves
        return self._choose_for_a_while(names, day)

    def _choose_for_a_while(self, names: tuple[str, ...], day: int) -> tuple[_Room, int, int]:
        longest: tuple[int, _Room, int] | None = None
        for name in names:
            room = self._rooms[name]
            found = room.find_now(day)
            if found is not None and (longest is None or found[0] > longest[0]):
                longest = found[0], room, found[1]
        if longest is None:
            # More than fits: the plan is still written down, with slot numbers that do not exist.
            room = self._rooms[names[0]]
            self._count += 1
            return room, room.fewest(day, day + 1) + self._count, FAR
        return longest[1], longest[2], longest[0]


def give_slots(farm: Farm, kind: PlaceKind, units: list[Unit]) -> None:
    """Give every unit its stands; those that grow already start where they were found.

    Those whose slot is known come before all others, so that none of these takes it.
    """
    floor = _Floor(farm, kind)
    queue = [
        (
            max(unit.enters, 0),
            unit.growing < 0,
            not unit.found_slot,
            len(unit.home) if unit.growing >= 0 else 0,
            unit.leaves <= 0,
            at,
        )
        for at, unit in enumerate(units)
    ]
    heapify(queue)
    while queue:
        day, is_new, _, _, _, at = heappop(queue)
        unit = units[at]
        if unit.leaves <= day:
            floor.stood(unit, day)
            continue
        if is_new or day > 0:  # else all stand beside those that leave on that day
            floor.day(day)
        until = floor.stand(unit, day)
        if until < unit.leaves:
            heappush(queue, (until, False, True, 0, False, at))
