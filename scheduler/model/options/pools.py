"""Places grouped for the planner: what grows alike is one pool, and rows that are alike are one bundle.

Within a bundle no raft overtakes another. That is enough to place the rafts row by row: whenever the
bundle has room, one of its rows has room, and any part of a first-in-first-out queue is one as well.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from scheduler.farm.farm import Farm
from scheduler.farm.places import Keeps, Place, PlaceKind, Steps

MOST_BUNDLES = 6
"""Bundles in all: more let crops of different days keep apart, fewer make a smaller search."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """Places that grow at one pace and take the same units.

    Attributes:
        name: the first place's name.
        pace_of: shelf or trough whose pace counts for all of them.
        places: the places, in the book's order.
    """

    name: str
    pace_of: str
    places: tuple[Place, ...]

    def slots_on(self, day: int) -> int:
        """Return the open slots of all its places on a day."""
        return sum(place.slots.on(day) for place in self.places)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle(Pool):
    """Rows of one trough that the planner treats as one queue; ``pool`` names its lane pool."""

    pool: str


def pools_of(farm: Farm, kind: PlaceKind) -> tuple[Pool, ...]:
    """Group the farm's places of one kind by pace, and by what they are kept for."""
    groups: dict[tuple[tuple[int, ...], Keeps], list[Place]] = defaultdict(list)
    for place in farm.places_of(kind):
        groups[farm.pace.signature(place.belongs_to), place.keeps].append(place)
    return tuple(
        Pool(name=places[0].name, pace_of=places[0].belongs_to, places=tuple(places))
        for places in groups.values()
    )


def bundles_of(farm: Farm, most: int = MOST_BUNDLES) -> tuple[Bundle, ...]:
    """Group rows that are alike in trough, slots, pace and allowed crops.

    A group is cut into several bundles as long as there are fewer than ``most`` in all, so that crops of
    very different days can have rows of their own.
    """
    pools = pools_of(farm, PlaceKind.LANE)
    # Rows with rafts on day 0 are kept apart while there are few rows: then none waits for another's. They
    # always are where slots close later on, for rafts that stand there cannot change over to another row.
    lanes = farm.places_of(PlaceKind.LANE)
    found = {row.place for row in farm.growing}
    busy = {lane.name for lane in lanes if lane.name in found and (len(lanes) <= most or shrinks(lane))}
    # A row that rests between crops is watched by itself.
    busy |= {lane.name for lane in lanes if lane.rest}
    groups: dict[tuple[str, str, Steps, tuple[str, ...], bool], list[Place]] = defaultdict(list)
    pool_of = {place.name: pool for pool in pools for place in pool.places}
    for lane in lanes:
        crops = tuple(crop.name for crop in farm.crops.values() if lane.name in crop.lanes)
        alone = lane.name if lane.name in busy else ""
        groups[pool_of[lane.name].name, lane.belongs_to + alone, lane.slots, crops, bool(alone)].append(lane)
    parts = _cut(list(groups.values()), most)
    return tuple(
        Bundle(
            name=lanes[0].name,
            pace_of=lanes[0].belongs_to,
            places=tuple(lanes),
            pool=pool_of[lanes[0].name].name,
        )
        for lanes in parts
    )


def shrinks(lane: Place) -> bool:
    """Say whether a row ever has fewer slots than before, from day 0 on."""
    later = [lane.slots.on(day) for day in (0, *(day for day in lane.slots.changes() if day > 0))]
    return any(after < before for before, after in pairwise(later))


def _cut(groups: list[list[Place]], most: int) -> list[list[Place]]:
    """Cut the largest part in two until there are ``most`` parts or each is one row; order is kept."""
    parts = [list(group) for group in groups]
    while len(parts) < most:
        largest = max(range(len(parts)), key=lambda index: (len(parts[index]), -index), default=None)
        if largest is None or len(parts[largest]) < 2:
            break
        lanes = parts[largest]
        middle = (len(lanes) + 1) // 2
        parts[largest : largest + 1] = [lanes[:middle], lanes[middle:]]
    return parts


def lanes_of(bundles: Iterable[Bundle]) -> frozenset[str]:
    """Return the names of all rows in some bundles."""
    return frozenset(place.name for bundle in bundles for place in bundle.places)
