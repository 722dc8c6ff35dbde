"""A plan sorted for looking up: where a unit stands as a day's work begins and ends, and what it holds."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.left_behind import left_behind
from scheduler.plan.rows import ContentRow, LotRow, Plan, PositionRow, UnitRow
from scheduler.plan.tally import growing_units, lane_order
from scheduler.plan.thrown import thrown_away


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Slots of one place.

    Attributes:
        place: name of the tier, board zone or row.
        owner: the shelf or trough it is part of.
        kind: tier, zone or lane.
        number: which tier of its shelf or row of its trough it is, from 1.
        slots: slot numbers in order; in a row, slot 1 is at the harvest end. Empty where they are not known:
            the book does not say in which slot a tray or board was found.
    """

    place: str
    owner: str
    kind: PlaceKind
    number: int
    slots: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Units of one kind in one place that hold equally much of a lot.

    Attributes:
        kind, item: name of the equipment; tray, board or raft.
        units: their names, in the order of their slots.
        spot: where they stand.
        plants: what one of them holds of the lot: cells in trays that are sown, else plants.
        rows: whole rows of cells that is, trays that are sown only.
        shared_with: other lots that stand in the same units.
    """

    kind: str
    item: str
    units: tuple[str, ...]
    spot: Spot
    plants: int
    rows: int
    shared_with: tuple[str, ...]


Holding = tuple[str, int, int]
"""A unit's name, what it holds of a lot, and the whole rows of cells that is."""


class Ledger:
    """A farm and its plan, sorted for looking up by unit, lot and day."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Take a plan whose names all exist."""
        self.farm = farm
        self.plan = plan
        self.lots: dict[str, LotRow] = {row.lot: row for row in plan.lots}
        self.units: dict[str, UnitRow] = {row.unit: row for row in plan.units}
        self.grown = growing_units(farm, plan)
        self.thrown = thrown_away(farm, plan, self.grown)
        self.left_behind = left_behind(farm, plan, self.thrown)
        self.places = {place.name: place for place in farm.places}
        self.inside: dict[str, list[ContentRow]] = defaultdict(list)
        self.of_lot: dict[str, list[ContentRow]] = defaultdict(list)
        for row in plan.contents:
            self.inside[row.unit].append(row)
            self.of_lot[row.lot].append(row)
        self.stands: dict[str, list[PositionRow]] = defaultdict(list)
        for stand in sorted(plan.positions, key=lambda stand: stand.enters):
            self.stands[stand.unit].append(stand)
        self._numbers = _place_numbers(farm)
        self._rank = {name: at for at, name in enumerate(self._numbers)}
        self._found = self._found_slots()

    def _found_slots(self) -> dict[str, int]:
        """Return the slots of what grew on the morning of the first day: rafts by their order, others 0."""
        slots = dict.fromkeys(self.grown, 0)
        for rafts in lane_order(self.farm, self.plan).values():
            found = [raft.unit for raft in rafts if raft.unit in self.grown]
            slots.update({unit: slot for slot, unit in enumerate(found, start=1)})
        return slots

    def before(self, unit: str, day: int) -> PositionRow:
        """Return where a unit stands as the work of a day begins: where it stood the day before.

        On the first day what grew stands as it was found, slot 0 where that is not known.
        """
        stands = self.stands[unit]
        if day <= 0 and unit in self._found:
            return replace(stands[0], slot=self._found[unit])
        return next((stand for stand in reversed(stands) if stand.enters < day), stands[0])

    def after(self, unit: str, day: int) -> PositionRow:
        """Return where a unit stands as the work of a day is done."""
        return self.before(unit, day + 1)

    def spots(self, stands: Iterable[PositionRow]) -> tuple[Spot, ...]:
        """Join positions into one spot for each place, places in the book's order."""
        slots: dict[str, set[int]] = defaultdict(set)
        for stand in stands:
            slots[stand.place].add(stand.slot)
        return tuple(
            Spot(
                place=name,
                owner=self.places[name].belongs_to,
                kind=self.places[name].kind,
                number=self._numbers[name],
                slots=tuple(sorted(slots[name] - {0})),
            )
            for name in sorted(slots, key=self._rank.__getitem__)
        )

    def stacks(self, lot: str, holdings: Iterable[Holding], day: int, *, begins: bool) -> tuple[Stack, ...]:
        """Join units that hold equally much of a lot and stand in one place.

        Args:
            lot: whose plants are counted.
            holdings: the units and what they hold.
            day: the day.
            begins: look at the place as the work of the day begins, rather than as it is done.
        """
        look = self.before if begins else self.after
        alike: dict[tuple[str, str, int, int, tuple[str, ...]], list[PositionRow]] = defaultdict(list)
        for unit, plants, rows in holdings:
            if not self.stands[unit]:
                continue  # a plan without its position would not pass the audit
            stand = look(unit, day)
            key = (stand.place, self.units[unit].kind, plants, rows, self._others(unit, lot))
            alike[key].append(stand)
        found = []
        for (_, kind, plants, rows, shared), stands in alike.items():
            ordered = sorted(stands, key=lambda stand: (stand.slot, stand.unit))
            (spot,) = self.spots(stands)
            found.append(
                Stack(
                    kind=kind,
                    item=self.units[stands[0].unit].item,
                    units=tuple(stand.unit for stand in ordered),
                    spot=spot,
                    plants=plants,
                    rows=rows,
                    shared_with=shared,
                )
            )
        return tuple(sorted(found, key=lambda stack: (self._rank[stack.spot.place], stack.spot.slots)))

    def held(self, lot: str, item: str) -> Iterator[ContentRow]:
        """Yield what a lot has in trays, boards or rafts."""
        return (row for row in self.of_lot[lot] if self.units[row.unit].item == item)

    def left_on(self, unit: str, day: int) -> int:
        """Return the plants that stay in a unit when the work of a day is done, of whatever lot."""
        return sum(row.plants for row in self.inside[unit] if row.leaves > day)

    def _others(self, unit: str, lot: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(row.lot for row in self.inside[unit] if row.lot != lot))


def holdings_of(rows: Iterable[ContentRow]) -> list[Holding]:
    """Add up what each unit holds, whatever the day it leaves."""
    plants: dict[str, int] = defaultdict(int)
    cells: dict[str, int] = defaultdict(int)
    for row in rows:
        plants[row.unit] += row.plants
        cells[row.unit] += row.rows
    return [(unit, plants[unit], cells[unit]) for unit in plants]


def _place_numbers(farm: Farm) -> dict[str, int]:
    """Return place -> its number among those of its kind in its shelf or trough."""
    seen: dict[tuple[str, PlaceKind], int] = defaultdict(int)
    numbers = {}
    for place in farm.places:
        seen[place.belongs_to, place.kind] += 1
        numbers[place.name] = seen[place.belongs_to, place.kind]
    return numbers
