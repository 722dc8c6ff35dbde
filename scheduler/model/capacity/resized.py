"""Farms with other numbers of rows, slots, tray places or bed positions, and what stands in them along."""

from collections.abc import Mapping
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind, Steps


def rows_of(farm: Farm) -> int:
    """Return the number of rows."""
    return len(farm.places_of(PlaceKind.LANE))


def slots_of(farm: Farm, kind: PlaceKind) -> int:
    """Return the most slots that all places of a kind ever have, place by place."""
    return sum(place.slots.highest() for place in farm.places_of(kind))


def with_row(farm: Farm, like: Place) -> Farm:
    """Return a farm with one row more, like one it has, and rafts for it."""
    number = 1 + sum(place.name.startswith(f"{like.name} more ") for place in farm.places)
    row = replace(like, name=f"{like.name} more {number}")
    crops = {
        name: replace(crop, lanes=crop.lanes | {row.name}) if like.name in crop.lanes else crop
        for name, crop in farm.crops.items()
    }
    return _owning(replace(farm, places=(*farm.places, row), crops=crops), {"raft": like.slots.highest()})


def without_row(farm: Farm, row: Place) -> Farm:
    """Return a farm without one of its rows."""
    places = tuple(place for place in farm.places if place.name != row.name)
    crops = {name: replace(crop, lanes=crop.lanes - {row.name}) for name, crop in farm.crops.items()}
    return replace(farm, places=places, crops=crops)


def with_slots(farm: Farm, number: int, kind: PlaceKind) -> Farm:
    """Return a farm with so many board slots, tray places or bed positions, and boards or trays for them.

    The last place of the kind grows; of fewer, the last places lose theirs first.
    """
    places = farm.places_of(kind)
    change = number - slots_of(farm, kind)
    changed: dict[str, Place] = {}
    for place in reversed(places):
        here = max(change, -place.slots.highest())
        changed[place.name] = replace(place, slots=_more(place.slots, here))
        change -= here
        if change >= 0:
            break
    item = {PlaceKind.ZONE: "board", PlaceKind.TIER: "tray"}.get(kind, "")
    more = max(0, number - slots_of(farm, kind))
    places_now = tuple(changed.get(place.name, place) for place in farm.places)
    return _owning(replace(farm, places=places_now), {item: more})


def _more(steps: Steps, number: int) -> Steps:
    """Return slots by so many more or fewer on every day on which there are any."""
    return Steps(tuple((day, max(0, slots + number) if slots else 0) for day, slots in steps.steps))


def _owning(farm: Farm, more: Mapping[str, int]) -> Farm:
    """Return a farm with so many more of every kind of an item."""
    kinds = {
        name: replace(kind, owned=kind.owned + more.get(kind.item, 0))
        for name, kind in farm.equipment.items()
    }
    return replace(farm, equipment=kinds)
