"""Rows that rest between two crops: on which day each is to be cleaned, and how long it then stays empty."""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place
from scheduler.plan.rows import Plan, UnitRow
from scheduler.plan.tally import lane_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleaning:
    """A row that is cleaned between two crops.

    Attributes:
        lane: the row.
        day: the day its last raft of the crop before leaves.
        until: the day the first raft of the next crop comes in.
        before, after: the two crops.
    """

    lane: Place
    day: int
    until: int
    before: str
    after: str


def cleanings(farm: Farm, plan: Plan) -> Iterator[Cleaning]:
    """Yield the cleanings of all rows that rest, row by row, in the order of their days."""
    lanes = {place.name: place for place in farm.places if place.rest}
    if not lanes:
        return
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    crops: dict[str, str] = {}
    for content in plan.contents:
        crops.setdefault(content.unit, crop_of[content.lot])
    for name, rafts in lane_order(farm, plan).items():
        if name in lanes:
            yield from _of_row(farm, lanes[name], [(crops.get(raft.unit, ""), raft) for raft in rafts])


def _of_row(farm: Farm, lane: Place, rafts: list[tuple[str, UnitRow]]) -> Iterator[Cleaning]:
    before, leaves = "", 0
    for crop, raft in sorted(rafts, key=lambda pair: (max(pair[1].enters, 0), pair[1].leaves)):
        # what grew together on the first day stands together, and is followed by no rest
        if before and crop != before and raft.enters >= leaves and leaves >= farm.today:
            yield Cleaning(lane=lane, day=leaves, until=raft.enters, before=before, after=crop)
        leaves = raft.leaves if crop != before and raft.enters >= leaves else max(leaves, raft.leaves)
        before = crop
