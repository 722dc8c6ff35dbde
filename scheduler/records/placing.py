"""Which units plants come into: slots of tiers and board zones, new rafts at the intake end of a row.

Whether there is room is not asked: what left on the same day may be told later. See :mod:`records.doubts`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from scheduler.book.words import counted
from scheduler.farm.crops import Stage
from scheduler.farm.farm import Farm
from scheduler.farm.places import Place
from scheduler.farm.units import ceil_div, spread
from scheduler.records.drafts import Hints
from scheduler.records.entries import Put
from scheduler.records.yard import BED, RAFT, Refused, Yard

Places = Sequence[tuple[Place, tuple[int, ...]]]
Shared = list[tuple[Put, int]]
"""Units that were filled on the same day, and how many plants they still have room for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """What is to be placed.

    Attributes:
        stage: the stage it comes into.
        plants: plants, or cells of trays.
        units: units it comes into, those it shares left out; None when not told.
        day: day of the entry.
        room: most plants that one unit can hold.
        hints: what a plan says, None for what a person told.
    """

    stage: Stage
    plants: int
    units: int | None
    day: date
    room: int
    hints: Hints | None


def room_of(farm: Farm, stage: Stage) -> int:
    """Return the most plants one unit can hold: its holes, where the book gives them."""
    kind = farm.equipment.get(stage.unit)
    return max(stage.plants_per_unit, kind.holes if kind else 0)


def puts_for(farm: Farm, yard: Yard, places: Places, want: Want) -> tuple[Put, ...]:
    """Return the units some plants come into, and how many into each.

    Raises:
        Refused: the units cannot hold them, or there is none to share.
    """
    if want.plants < 1:
        raise Refused("plants", f"{want.plants} plants", "at least one", "too-few")
    if want.hints and sum(put.plants for put in want.hints.puts) == want.plants:
        return want.hints.puts
    if want.stage.kind == RAFT:
        new, shared = _rafts(yard, places, want)
    elif any(slots for _, slots in places):
        new, shared = _named_slots(yard, places, want)
    else:
        new, shared = _any_slots(farm, yard, places, want)
    return _spread(want, new, shared)


def _rafts(yard: Yard, places: Places, want: Want) -> tuple[list[Put], Shared]:
    place, slots = places[0]
    if len(places) > 1:
        names = ", ".join(each.name for each, _ in places)
        raise Refused("to", f"{len(places)} rows: {names}", "one of them", "which-place")
    if slots and want.hints is None:
        expected = "the row alone: rafts come in at the intake end"
        raise Refused("to", f"slots of {place.name}", expected, "no-slot")
    shared = []
    for rank, unit in enumerate(reversed(yard.at[place.name]), start=1):
        if unit.since != want.day or not unit.held:
            break
        shared.append((Put(place.name, -rank, 0), want.room - unit.plants))
    return [Put(place.name, 0, 0)] * _number_of_units(want, shared), shared


def _named_slots(yard: Yard, places: Places, want: Want) -> tuple[list[Put], Shared]:
    new, shared = [], []
    for place, slots in places:
        for slot in slots:
            there = yard.in_slot(place.name, slot, want.day)
            if there is None:
                new.append(Put(place.name, slot, 0))
            else:
                shared.append((Put(place.name, slot, 0), want.room - there.plants))
    if want.units not in (None, len(new)) and want.hints is None:
        found = f"{want.units} units and {len(new)} slots to put them into"
        raise Refused("units", found, f"{len(new)}, or slots left out", "slots-and-units")
    return new, shared


def _any_slots(farm: Farm, yard: Yard, places: Places, want: Want) -> tuple[list[Put], Shared]:
    shared = [
        (Put(place.name, unit.slot, 0), want.room - unit.plants)
        for place, _ in places
        for unit in yard.at[place.name]
        if unit.since == want.day and unit.held and unit.slot and not unit.guessed
    ]
    number = _number_of_units(want, shared)
    free = [
        Put(place.name, slot, 0) for place, _ in places for slot in free_slots(farm, yard, place, want.day)
    ]
    # where no slot is free any more, the slot is not known
    free += [Put(places[0][0].name, 0, 0)] * max(0, number - len(free))
    return free[:number], shared


def free_slots(farm: Farm, yard: Yard, place: Place, day: date) -> list[int]:
    """Return the open slots of a tier or board zone in which nothing stands on a day."""
    taken = {unit.slot for unit in yard.at[place.name]}
    most = place.slots.on(farm.calendar.day_of(day))
    return [slot for slot in range(1, most + 1) if slot not in taken]


def _number_of_units(want: Want, shared: Shared) -> int:
    if want.units == 0 and not shared:
        if want.hints is not None:
            return 1
        found = f"no {want.stage.kind} of its own"
        expected = f"a {want.stage.kind} filled on the same day to share"
        raise Refused("units", found, expected, "not-there")
    return ceil_div(want.plants, want.stage.plants_per_unit) if want.units is None else want.units


def _spread(want: Want, new: Sequence[Put], shared: Shared) -> tuple[Put, ...]:
    """Fill the new units one after the other; what they cannot hold goes into shared ones."""
    most = len(new) * want.room + sum(max(room, 0) for _, room in shared)
    if want.plants > most:
        units = counted(len(new), "position" if want.stage.kind == BED else want.stage.kind)
        expected = f"at most {most}: {units} with {want.room} each{', and what is shared' if shared else ''}"
        if not new:
            expected = f"at most {most}, the room that is left in what is shared"
        raise Refused("plants", f"{want.plants} plants", expected, "too-many")
    if len(new) > want.plants and want.hints is not None:
        # fewer were counted than the task fills units with, such as one open tray of two
        new = new[: want.plants]
    if len(new) > want.plants:
        units = counted(len(new), "position" if want.stage.kind == BED else want.stage.kind)
        found = f"{units} for {counted(want.plants, 'plant')}"
        raise Refused("units", found, "at least one plant in each", "too-many-units")
    own = min(want.plants, len(new) * want.room)
    puts = [Put(put.place, put.slot, now) for put, now in zip(new, _sizes(own, len(new), want), strict=True)]
    rest = want.plants - own
    for put, room in shared:
        now = min(room, rest)
        if now > 0:
            puts.append(Put(put.place, put.slot, now))
            rest -= now
    return tuple(puts)


def _sizes(plants: int, units: int, want: Want) -> list[int]:
    """Return the plants of each unit: full ones first; alike where that would leave some empty."""
    full = max(want.stage.plants_per_unit, ceil_div(plants, max(units, 1)))
    if full * (units - 1) >= plants:
        full = ceil_div(plants, units)
    return spread(plants, units, full)
