"""What goes into the rows of rafts: on a day and in a row one after the other, as they will stand."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.rows import Plan
from scheduler.plan.tally import growing_units, lane_order

Names = tuple[str, ...]


class Entering(NamedTuple):
    """Rafts of a lot that go into a row one right behind the other.

    Attributes:
        day: the day. lane: the row. lot: the lot. rafts: their names, first in first.
        behind: lots of the raft that goes in right before them on that day, but those of their own first
            raft; none for the first.
    """

    day: int
    lane: str
    lot: str
    rafts: tuple[str, ...]
    behind: tuple[str, ...]


def entering(farm: Farm, plan: Plan) -> list[Entering]:
    """Return all that goes into rows, by day and row, in the order in which it has to go in.

    A lot whose rafts have others between them is there several times.
    """
    grown = growing_units(farm, plan)
    lots: dict[str, dict[str, None]] = defaultdict(dict)
    for row in plan.contents:
        lots[row.unit][row.lot] = None
    order = lane_order(farm, plan)
    found: list[Entering] = []
    for lane in (place.name for place in farm.places_of(PlaceKind.LANE)):
        new = [raft for raft in order.get(lane, ()) if raft.unit not in grown]
        for day, rafts in groupby(new, key=lambda raft: raft.enters):
            held = [(raft.unit, tuple(lots[raft.unit])) for raft in rafts]
            found += [Entering(day, lane, *run) for run in _runs(held)]
    return sorted(found, key=lambda each: each.day)


def _runs(rafts: Sequence[tuple[str, Names]]) -> Iterator[tuple[str, Names, Names]]:
    """Yield lot, rafts and lots before of each run, by its first raft; rafts come with the lots they hold."""
    for at, (_, lots) in enumerate(rafts):
        before = rafts[at - 1][1] if at else ()
        for lot in lots:
            if lot in before:
                continue
            end = next((later for later in range(at, len(rafts)) if lot not in rafts[later][1]), len(rafts))
            behind = tuple(each for each in before if each not in lots)
            yield lot, tuple(name for name, _ in rafts[at:end]), behind
