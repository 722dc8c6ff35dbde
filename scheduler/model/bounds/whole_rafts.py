"""Whole rafts in the relaxation: plants of a crop stand on rafts of their own, however few there are.

A raft is counted by the day it enters and that of its last cut that is of use. On its own that changes
nothing, for half a raft would do as well: what follows from rafts being whole is in
:mod:`scheduler.model.bounds.rounding`.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from scheduler.farm.crops import Crop
from scheduler.model.bounds.lanes import Home
from scheduler.model.bounds.room import Room, most_units
from scheduler.model.bounds.season import Season


class Raft(NamedTuple):
    """Rafts of one column: the first day on which they can be cut, that of their last cut, the column."""

    ready: int
    leaves: int
    column: int


class Entry(NamedTuple):
    """A day on which rafts enter: from when they can be cut, when they may leave, plants by first cut."""

    day: int
    ready: int
    leaves: Sequence[int]
    firsts: Mapping[int, Sequence[int]]


class WholeRafts:
    """Writes the whole rafts under the plants of one crop into a season."""

    def __init__(self, season: Season, crop: Crop) -> None:
        """Begin without rafts."""
        self._season, self._crop = season, crop
        self._stays: dict[Home, list[tuple[int, int, int]]] = defaultdict(list)
        self._rafts: list[Raft] = []
        self._ready: list[int] = []
        self._longest = 0

    def stand(self, home: Home, start: int, end: int, column: int) -> None:
        """Let the plants of a column stand on rafts of a home from one day until another."""
        if end > start:
            self._stays[home].append((start, end, column))

    def write(self, home: Home, rooms: Iterable[Room], entries: Iterable[Entry]) -> None:
        """Write the rafts of a home, and that no more plants stand on them than they have holes."""
        rooms, stays = list(rooms), []
        for entry in entries:
            rafts = [(leaves, self._raft(entry, leaves)) for leaves in sorted(entry.leaves)]
            for leaves, column in rafts:
                stays.append((entry.day, leaves, column))
                for room in rooms:
                    room.stand(entry.day, leaves, column, 1)
            self._carry(home, entry, rafts)
        if self._crop.cuts > 1:
            self._carry_on(home, stays)

    def _raft(self, entry: Entry, leaves: int) -> int:
        kind = self._season.farm.equipment[self._crop.finish.unit]
        column = self._season.column(most_units(self._season.farm, kind))
        days = leaves - entry.day
        self._season.pay(self._season.price("raft") + self._season.price("raft_slot_day") * days, column)
        self._rafts.append(Raft(entry.ready, leaves, column))
        self._longest = max(self._longest, leaves - entry.ready)
        return column

    def _carry(self, home: Home, entry: Entry, rafts: Sequence[tuple[int, int]]) -> None:
        """Write that what is first cut on a day or later stands on rafts that leave no sooner."""
        for day in entry.firsts:
            plants = [(each, 1) for cut, some in entry.firsts.items() if cut >= day for each in some]
            holes = [(column, -home.per_unit) for leaves, column in rafts if leaves >= day]
            self._season.program.keep([*plants, *holes], 0)

    def _carry_on(self, home: Home, rafts: Sequence[tuple[int, int, int]]) -> None:
        """Write for each day that all plants which stand then have a hole; they may stand on after a cut."""
        plants = self._stays[home]
        for day in sorted({start for start, _, _ in plants}):
            standing = [(column, 1) for start, end, column in plants if start <= day < end]
            holes = [(column, -home.per_unit) for start, end, column in rafts if start <= day < end]
            self._season.program.keep([*standing, *holes], 0)

    def sort(self) -> None:
        """Put the rafts in order, once all are written."""
        self._rafts.sort()
        self._ready = [raft.ready for raft in self._rafts]

    def within(self, first: int, last: int) -> list[int]:
        """Return the columns of the rafts of which something can be cut on one of some days."""
        begin, end = bisect_left(self._ready, first - self._longest), bisect_right(self._ready, last)
        return [raft.column for raft in self._rafts[begin:end] if raft.leaves >= first]
