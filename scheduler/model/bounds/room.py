"""Room that units take from a day until another: slots of places, and trays, boards, rafts, domes owned."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from scheduler.farm.farm import Equipment, Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.model.bounds.program import Program


class Stay(NamedTuple):
    """Plants of a column stand from ``start`` until ``end``, at most ``per_unit`` of them in one unit."""

    start: int
    end: int
    column: int
    per_unit: int


@dataclass(slots=True, kw_only=True)
class Room:
    """Units there are room for on each day.

    Attributes:
        limit_on: day -> units there is room for.
        changes: days on which that may change.
        wash: days by which a unit takes room longer than its plants stand.
        fixed: (first day, day after the last, units) that take room whatever is planned.
    """

    limit_on: Callable[[int], int]
    changes: frozenset[int] = frozenset()
    wash: int = 0
    stays: list[Stay] = field(default_factory=list)
    fixed: list[tuple[int, int, int]] = field(default_factory=list)

    def stand(self, start: int, end: int, column: int, per_unit: int) -> None:
        """Let the plants of a column come here on a day and stand until another."""
        self.stays.append(Stay(start, end + self.wash, column, per_unit))

    def stay_on(self, start: int, end: int, column: int, per_unit: int) -> None:
        """Let plants stand on; their units take room already from before ``start`` until washed after it."""
        if end > start:
            self.stays.append(Stay(start + self.wash, end + self.wash, column, per_unit))

    def found(self, today: int, gone: int, units: int) -> None:
        """Keep room from ``today`` for units that stand there, until they can be gone and are washed."""
        if gone + self.wash > today:
            self.fixed.append((today, gone + self.wash, units))

    def keep(self, program: Program, first: int, last: int) -> None:
        """Add the rows: what stands on a day is at most what there is room for.

        A day is left out when a later one has the same units standing, more perhaps, and no more room.
        """
        days = sorted({first, *(stay.start for stay in self.stays), *self.changes})
        days = [day for day in days if first <= day <= last]
        ends = sorted({stay.end for stay in self.stays})
        by_start = sorted(self.stays)
        standing: list[Stay] = []
        begun = position = 0
        for day, following in zip(days, [*days[1:], None], strict=True):
            while begun < len(by_start) and by_start[begun].start <= day:
                standing.append(by_start[begun])
                begun += 1
            standing = [stay for stay in standing if stay.end > day]
            while position < len(ends) and ends[position] <= day:
                position += 1
            grows_only = position == len(ends) or (following is not None and ends[position] > following)
            if following is not None and grows_only and self._free(following) <= self._free(day):
                continue
            self._row(program, standing, self._free(day))

    def _free(self, day: int) -> int:
        taken = sum(units for start, end, units in self.fixed if start <= day < end)
        return max(0, self.limit_on(day) - taken)

    def _row(self, program: Program, standing: Iterable[Stay], free: int) -> None:
        standing = list(standing)
        parts = math.lcm(*(stay.per_unit for stay in standing))
        program.keep([(stay.column, parts // stay.per_unit) for stay in standing], parts * free)


def of_places(places: Iterable[Place]) -> Room:
    """Return the room of some places together."""
    places = tuple(places)
    return Room(
        limit_on=lambda day: sum(place.slots.on(day) for place in places),
        changes=frozenset(day for place in places for day in place.slots.changes()),
    )


def of_kind(kind: Equipment) -> Room:
    """Return the room of all units of one kind."""
    return Room(limit_on=lambda _: kind.owned, wash=kind.wash_days)


def of_domes(farm: Farm) -> Room | None:
    """Return the room under all domes; None where the farm has none and does without."""
    domes = [kind for kind in farm.equipment.values() if kind.item == "dome"]
    if not domes:
        return None
    owned = sum(kind.owned for kind in domes)
    return Room(limit_on=lambda _: owned, wash=max(kind.wash_days for kind in domes))


def most_units(farm: Farm, kind: Equipment) -> int:
    """Return the most units of a kind that can stand at once."""
    place_kind = {"tray": PlaceKind.TIER, "board": PlaceKind.ZONE, "raft": PlaceKind.LANE}[kind.item]
    return min(kind.owned, sum(place.slots.highest() for place in farm.places_of(place_kind)))
