"""Farms of tests with so many times everything they have, and what a farm needs to have a tenth to spare."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from farms import EVER

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind, Steps
from scheduler.farm.units import ceil_div


def times_everything(farm: Farm, times: int) -> Farm:
    """Return a farm with so many times every place, every kind of equipment and every hour of the crew."""
    lanes = farm.places_of(PlaceKind.LANE)
    copies = [replace(lane, name=f"{lane.name} copy {n}") for n in range(1, times) for lane in lanes]
    crops = {
        name: replace(
            crop,
            lanes=crop.lanes | {f"{lane} copy {n}" for lane in crop.lanes for n in range(1, times)},
        )
        for name, crop in farm.crops.items()
    }
    wider = tuple(
        place if place.kind is PlaceKind.LANE else replace(place, slots=_times(place.slots, times))
        for place in farm.places
    )
    return replace(
        farm,
        places=(*wider, *copies),
        crops=crops,
        equipment={name: replace(kind, owned=kind.owned * times) for name, kind in farm.equipment.items()},
        crew=None if farm.crew is None else _times(farm.crew, times),
        chores=tuple(replace(chore, minutes=chore.minutes * times) for chore in farm.chores),
    )


def _times(steps: Steps, times: int) -> Steps:
    return Steps(tuple((day, number * times) for day, number in steps.steps))


def most(stays: Iterable[tuple[int, int, int]], first: int = EVER, until: int = -EVER) -> int:
    """Return the most that stand on one day, of (from, until, how many), and a tenth more."""
    standing: dict[int, int] = defaultdict(int)
    for start, end, number in stays:
        for day in range(max(start, first), min(end, until)):
            standing[day] += number
    there = max(standing.values(), default=0)
    return there + ceil_div(there, 10)
