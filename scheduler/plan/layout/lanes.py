"""Rows: every raft gets a row on the day it enters, the day it leaves, and its slots on the way.

Rafts of one bundle of rows come in one queue. None is planned to leave before one ahead of it, so any
part of the queue that is put into one row is first in, first out as well.
"""

from bisect import bisect_right, insort
from collections import defaultdict
from collections.abc import Callable, Iterable
from itertools import pairwise

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind, Steps
from scheduler.plan.layout.units import Stand, Unit

Choice = Callable[[Unit, list["_Row"]], "_Row"]


class _Row:
    """One row while it is being filled: its rafts in order and the days on which they leave."""

    def __init__(self, name: str, slots: Steps) -> None:
        self.name = name
        self.slots = slots
        self.rafts: list[Unit] = []
        self.leaving: list[int] = []
        self.entries = 0

    def days_of(self, raft: Unit, *, lift_out: bool) -> int:
        """Return the day on which a raft that enters now would leave."""
        if lift_out or not self.rafts:
            return raft.emptied
        return max(raft.emptied, self.rafts[-1].leaves)

    def lacking(self, raft: Unit, leaves: int) -> int:
        """Return by how many slots the row would be too small at its worst during a stay; at most 0 fits."""
        start = max(raft.enters, 0)
        days = [start, *(day for day in self.slots.changes() if start < day < leaves)]
        return max(len(self.leaving) - bisect_right(self.leaving, d) + 1 - self.slots.on(d) for d in days)

    def add(self, raft: Unit, leaves: int) -> None:
        """Let a raft in behind all others."""
        raft.leaves = leaves
        self.rafts.append(raft)
        self.entries += 1
        del self.leaving[: bisect_right(self.leaving, max(raft.enters, 0))]
        insort(self.leaving, leaves)


def give_rows(farm: Farm, rafts: list[Unit]) -> dict[str, list[Unit]]:
    """Give every raft its row, leaving day and slots; return the rafts of each row, first in first."""
    slots = {place.name: place.slots for place in farm.places_of(PlaceKind.LANE)}
    order = {name: at for at, name in enumerate(slots)}
    filled: dict[str, list[Unit]] = {}
    for lanes in _bundles(rafts):
        names = sorted(lanes, key=lambda name: order[name])
        inside = _queue(farm, [raft for raft in rafts if raft.places[0] in lanes])
        for row in _best_filling(farm, inside, {name: slots[name] for name in names}):
            filled[row.name] = row.rafts
    for name in slots:
        _give_ranks(name, filled.get(name, []))
    return {name: filled[name] for name in slots if filled.get(name)}


def _bundles(rafts: Iterable[Unit]) -> list[set[str]]:
    """Return sets of rows so that every raft keeps to one of them."""
    bundles: list[set[str]] = []
    for lanes in dict.fromkeys(raft.places for raft in rafts):
        joined = set(lanes).union(*(bundle for bundle in bundles if bundle & set(lanes)))
        bundles = [bundle for bundle in bundles if not bundle & joined] + [joined]
    return bundles


def _queue(farm: Farm, rafts: list[Unit]) -> list[Unit]:
    """Order rafts: what grows as it stands in its row, then by entry, planned leave, crop and last cut."""

    def place(at: int) -> tuple[object, ...]:
        raft = rafts[at]
        if raft.growing >= 0:
            return 0, farm.growing[raft.growing].order, raft.growing, raft.emptied, at
        return 1, raft.enters, raft.planned, raft.crop, raft.emptied, raft.lot, at

    return [rafts[at] for at in sorted(range(len(rafts)), key=place)]


def _best_filling(farm: Farm, queue: list[Unit], slots: dict[str, Steps]) -> list[_Row]:
    """Fill rows so that crops keep their row; where slots that close stand against it, evenly."""
    best: tuple[int, list[_Row]] | None = None
    for choose in (_keep_crops, _in_turn, _evenly):
        lacking, rows = _fill(farm, queue, slots, choose)
        if best is None or lacking < best[0]:
            best = lacking, rows
        if lacking == 0:
            break
    # The rafts keep the days of the filling tried last, so a better one is made once more.
    rows = best[1] if best else []
    for row in rows:
        taken = _Row(row.name, row.slots)
        for raft in row.rafts:
            taken.add(raft, taken.days_of(raft, lift_out=farm.rules.lift_out))
    return rows


def _fill(farm: Farm, queue: list[Unit], slots: dict[str, Steps], choose: Choice) -> tuple[int, list[_Row]]:
    """Let all rafts in, each into the row a choice names; return slots lacking in all, and the rows."""
    rows = {name: _Row(name, steps) for name, steps in slots.items()}
    total = 0
    for raft in queue:
        row = choose(raft, [rows[name] for name in raft.places])
        leaves = row.days_of(raft, lift_out=farm.rules.lift_out)
        total += max(0, row.lacking(raft, leaves))
        row.add(raft, leaves)
    return total, list(rows.values())


def _lacking(raft: Unit, row: _Row) -> int:
    return row.lacking(raft, max(raft.planned, raft.enters + 1))


def _keep_crops(raft: Unit, rows: list[_Row]) -> _Row:
    """The row that last took the same crop, then the one with most room; one where it fits all its days."""
    if len(rows) == 1:
        return rows[0]

    def rank(row: _Row) -> tuple[int, bool, int]:
        lacking = _lacking(raft, row)
        same = bool(row.rafts) and row.rafts[-1].crop == raft.crop
        return max(0, lacking), not same, lacking

    return min(rows, key=rank)


def _in_turn(raft: Unit, rows: list[_Row]) -> _Row:
    """Each row in turn: any run of the queue is then spread over equal rows as evenly as can be."""
    return min(rows, key=lambda row: row.entries)


def _evenly(raft: Unit, rows: list[_Row]) -> _Row:
    """The row with most room at its fullest."""
    return min(rows, key=lambda row: (_lacking(raft, row), row.entries))


def _give_ranks(lane: str, rafts: list[Unit]) -> None:
    """Number the slots: a raft's slot is its rank from the harvest end among the rafts there that day."""
    leaving: list[int] = []
    for rank, raft in enumerate([raft for raft in rafts if raft.growing >= 0], start=1):
        raft.first_slot = rank
    for raft in rafts:
        start = max(raft.enters, 0)
        ahead = leaving[bisect_right(leaving, start) :]
        if raft.leaves <= start:
            # It never takes a slot: thrown away before the first day's work.
            slot = len(ahead) + 1
            raft.stands.append(Stand(place=lane, slot=slot, enters=raft.enters, until=raft.leaves))
            continue
        steps: dict[int, int] = defaultdict(int)
        for day in ahead:
            steps[min(day, raft.leaves)] += 1
        slot = len(ahead) + 1
        for day, until in pairwise([start, *sorted({*steps, raft.leaves})]):
            slot -= steps[day]
            raft.stands.append(Stand(place=lane, slot=slot, enters=day, until=until))
        leaving = ahead
        insort(leaving, raft.leaves)
