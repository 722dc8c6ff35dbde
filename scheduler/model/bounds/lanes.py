"""The room of rows: crops that may use only some of them have no more than those."""

from collections.abc import Iterable
from typing import NamedTuple

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.model.bounds.room import Room, of_places
from scheduler.model.options.pools import Pool, pools_of

MOST_GROUPS = 24
"""Groups of rows of one pool that are looked at; leaving some out only makes the limit weaker."""


class Home(NamedTuple):
    """Where some rafts may stand: the number of their pool, plants on one raft, rooms that hold them."""

    pool: int
    per_unit: int
    rooms: tuple[int, ...]


class LaneRooms:
    """Room of the rows of each pool, and of those groups of rows that some crops must share.

    Attributes:
        pools: the pools of rows.
        rooms: every room.
    """

    def __init__(self, farm: Farm) -> None:
        """Find the groups of rows: what a crop may use in a pool, and what several crops may together."""
        self.pools = pools_of(farm, PlaceKind.LANE)
        self._groups: dict[str, list[tuple[frozenset[str], Room]]] = {}
        for pool in self.pools:
            whole = frozenset(lane.name for lane in pool.places)
            used = {crop.lanes & whole for crop in farm.crops.values()} - {whole, frozenset()}
            groups = [whole, *_unions(used, whole)]
            self._groups[pool.name] = [
                (group, of_places(lane for lane in pool.places if lane.name in group)) for group in groups
            ]
        self.rooms = [room for groups in self._groups.values() for _, room in groups]

    def within(self, pool: Pool, lanes: frozenset[str]) -> list[int]:
        """Return the numbers of the pool's rooms that hold all rafts which may stand in ``lanes`` only."""
        return [number for number, (group, _) in enumerate(self._groups[pool.name]) if lanes <= group]

    def room(self, pool: Pool, number: int) -> Room:
        """Return a room by its number."""
        return self._groups[pool.name][number][1]


def _unions(used: Iterable[frozenset[str]], whole: frozenset[str]) -> list[frozenset[str]]:
    """Return groups and their unions, smallest first, except that of all rows."""
    found: set[frozenset[str]] = set()
    for one in sorted(used, key=lambda group: (len(group), sorted(group))):
        found |= {one, *(one | other for other in found)}
        if len(found) > MOST_GROUPS:
            break
    found.discard(whole)
    return sorted(found, key=lambda group: (len(group), sorted(group)))[:MOST_GROUPS]
