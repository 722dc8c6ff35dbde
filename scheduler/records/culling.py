"""What a plan throws away: how many of the plants that stand, and which trays and boards it empties."""

from collections.abc import Sequence
from dataclasses import replace

from scheduler.farm.crops import Crop
from scheduler.farm.units import ceil_div
from scheduler.records.entries import Entry, Spot
from scheduler.records.pieces import expected
from scheduler.records.yard import Unit


def as_planned(crop: Crop, entry: Entry, units: tuple[Sequence[Unit], int]) -> tuple[Entry, tuple[Spot, ...]]:
    """Return an entry with the plants that a plan throws away, and the slots of what it empties.

    Args:
        crop: what is thrown away.
        entry: the entry, with the plants that the plan counts on.
        units: where they may stand, and how many of these the plan empties; 0 where some plants stay in one.
    """
    several, number = units
    emptied = _emptied_first(several, entry.place, number)
    if emptied:
        slots = tuple(Spot(unit.place, (unit.slot,)) for unit in emptied)
        return replace(entry, plants=sum(unit.of(entry.lot) for unit in emptied)), slots
    plants = _of_all(crop, entry, several)
    left = sum(unit.of(entry.lot) for unit in several) - plants if number else None
    return replace(entry, plants=plants, left=left), ()


def _of_all(crop: Crop, entry: Entry, units: Sequence[Unit]) -> int:
    """Return how many of the cells or plants that stand are those a plan counts on and throws away."""
    held = [each for unit in units for each in unit.held if each.lot == entry.lot]
    stood, counted_on = sum(each.plants for each in held), sum(expected(crop, each) for each in held)
    return min(stood, ceil_div((entry.plants or 0) * stood, counted_on)) if counted_on else stood


def _emptied_first(units: Sequence[Unit], spots: Sequence[Spot], number: int) -> list[Unit]:
    """Return so many of some trays and boards, to be emptied: those in the slots named before others.

    None where there are not so many, or the slot of one is not known.
    """
    named = {(spot.place, slot) for spot in spots for slot in spot.slots}
    found = sorted(units, key=lambda unit: (unit.place, unit.slot) not in named)[:number]
    return found if len(found) == number and all(unit.slot for unit in found) else []
