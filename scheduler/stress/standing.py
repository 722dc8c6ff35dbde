"""Where units beyond the plan can stand: a free slot of a place like another's, or the end of a row."""

from bisect import bisect_right, insort
from dataclasses import replace
from itertools import pairwise

from scheduler.farm.crops import Crop
from scheduler.farm.dates import dated, span
from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.rows import Plan, PositionRow, UnitRow
from scheduler.plan.tally import daily, lane_order


class NoRoom(Exception):  # the word is the message
    """There is no room for extra seed; the message says where and when."""


class Standing:
    """Positions of a plan while units are added."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Begin with a plan's positions; places must be those of the farm."""
        self.farm = farm
        self.positions = list(plan.positions)
        self._rows = lane_order(farm, plan)
        self._pushed: set[str] = set()

    def stand(self, unit: UnitRow, like: str, crop: Crop) -> UnitRow:
        """Put a unit into a place where another could stand too; return it with the day its slot is free.

        Raises:
            NoRoom: no such place has a slot all the time.
        """
        place = self.farm.place(next(row for row in self.positions if row.unit == like).place)
        if place.kind is PlaceKind.LANE:
            return self._into_row(unit, place, crop)
        first, until = max(unit.enters, 0), unit.leaves
        if first >= until:
            return unit
        for each in self._alike(place):
            slot = self._free_slot(each, first, until)
            if slot is not None:
                self.positions.append(
                    PositionRow(unit=unit.unit, place=each.name, slot=slot, enters=first, until=until)
                )
                return unit
        days = span(self.farm.date_of(first), self.farm.date_of(until - 1))
        raise NoRoom(f"{place.belongs_to} has no slot for another {unit.item} all the time, {days}")

    def all_positions(self) -> tuple[PositionRow, ...]:
        """Return all positions; rows that rafts were added to are pushed up anew, without gaps."""
        rows = [row for row in self.positions if row.place not in self._pushed]
        for lane in sorted(self._pushed):
            leaving: list[int] = []
            for raft in self._rows[lane]:
                enters = max(raft.enters, 0)
                leaving = leaving[bisect_right(leaving, enters) :]
                changes = [enters, *(day for day in leaving if day < raft.leaves), raft.leaves]
                ranks = range(len(leaving) + 1, 0, -1)
                rows += [
                    PositionRow(unit=raft.unit, place=lane, slot=rank, enters=start, until=end)
                    for (start, end), rank in zip(pairwise(changes), ranks, strict=False)
                    if start < end
                ]
                insort(leaving, raft.leaves)
        return tuple(rows)

    def _alike(self, place: Place) -> list[Place]:
        """Return the place, then those that differ in nothing but name and slots."""
        found = [
            each
            for each in self.farm.places
            if replace(each, name=place.name, slots=place.slots) == place and each.name != place.name
        ]
        return [place, *found]

    def _free_slot(self, place: Place, first: int, end: int) -> int | None:
        taken = {
            row.slot
            for row in self.positions
            if row.place == place.name and row.enters < end and first < row.until
        }
        most = min(place.slots.on(day) for day in range(first, end))
        return next((slot for slot in range(1, most + 1) if slot not in taken), None)

    def _into_row(self, unit: UnitRow, place: Place, crop: Crop) -> UnitRow:
        """Let a raft in behind those that came by that day, in the first row of its kind that has room."""
        full = ""
        rows = [place] + [
            each
            for each in self.farm.places_of(PlaceKind.LANE)
            if each.name in crop.lanes
            and each.name != place.name
            and self.farm.pace.signature(each.belongs_to) == self.farm.pace.signature(place.belongs_to)
        ]
        for row in rows:
            try:
                return self._behind(unit, row)
            except NoRoom as told:
                full = full or str(told)
        raise NoRoom(full)

    def _behind(self, unit: UnitRow, row: Place) -> UnitRow:
        rafts = self._rows.setdefault(row.name, [])
        at = next((at for at, raft in enumerate(rafts) if raft.enters > unit.enters), len(rafts))
        leaves = unit.emptied
        if not self.farm.rules.lift_out:
            leaves = max([leaves, *(raft.leaves for raft in rafts[:at])])
            if any(raft.leaves < leaves for raft in rafts[at:]):
                raise NoRoom(f"rafts behind it in {row.name} leave before {dated(self.farm.date_of(leaves))}")
        made = replace(unit, leaves=leaves)
        first = max(unit.enters, 0)
        used = daily(((max(raft.enters, 0), raft.leaves, 1) for raft in (*rafts, made)), leaves)
        for day in range(first, leaves):
            if used[day] > row.slots.on(day):
                raise NoRoom(f"{row.name} is full on {dated(self.farm.date_of(day))}")
        rafts.insert(at, made)
        self._pushed.add(row.name)
        # rafts of one day are told apart by their slots, so this one stands behind them from the first
        self.positions.append(
            PositionRow(unit=unit.unit, place=row.name, slot=len(rafts) + 1, enters=first, until=leaves)
        )
        return made
