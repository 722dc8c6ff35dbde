"""Lays a cycle over a season: which batches and rows of the season the cycle asks for, and how many."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.model.build import Built
from scheduler.model.decisions import Decisions, Homes, entered_before, lot_of
from scheduler.model.frame import Frame
from scheduler.model.options import RaftSet


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """A solved cycle: its model, the amounts, and the bundles each crop used."""

    built: Built
    values: list[int]
    homes: Homes


def stand_ins(farm: Farm, crop: str) -> list[str]:
    """Return the crops that fill every product a crop fills, on the same kinds of unit, nearest days first.

    Where a crop may not be sown (a variety out of its season), one of them is sown instead.
    """
    own = farm.crops[crop]
    sold = [product.sources for product in farm.products.values() if crop in product.sources]
    others = [
        other
        for other in farm.crops.values()
        if other.name != crop
        and sold
        and all(other.name in sources for sources in sold)
        and [stage.unit for stage in other.route] == [stage.unit for stage in own.route]
        and other.lanes == own.lanes
    ]
    others.sort(key=lambda other: (abs(other.raft.days - own.raft.days), other.name))
    return [other.name for other in others]


def repeated(cycle: Cycle, chosen: Decisions) -> dict[int, int]:
    """Return limits of the season: plants of each batch, rafts of each queue; 0 where the cycle has none.

    Batches of what grows already are left as they are.
    """
    limits, moved = _rafts(cycle, chosen)
    return limits | _queues(cycle, chosen, moved)


def _shifts(cycle: Cycle, season: Frame) -> range:
    """Return the whole periods by which the cycle is moved to cover the season."""
    frame = cycle.built.chosen.frame
    before = (frame.start - season.start) // frame.period + 1
    after = (season.end - frame.start) // frame.period + 1
    return range(-before * frame.period, (after + 1) * frame.period, frame.period)


def _rafts(cycle: Cycle, chosen: Decisions) -> tuple[dict[int, int], set[tuple[str, int]]]:
    """Return limits of raft plants, and (crop, raft day) where the season differs from the cycle."""
    by_lot: dict[tuple[str, int], list[RaftSet]] = defaultdict(list)
    limits: dict[int, int] = {}
    moved: set[tuple[str, int]] = set()
    for option, plants in chosen.raft_plants.items():
        crop, sown, growing = lot_of(option) if option.source is not None else (option.crop, 0, 0)
        if growing >= 0:
            moved.add((crop, option.day))
            continue
        limits[plants.index] = 0
        by_lot[crop, sown].append(option)
    for option, plants in cycle.built.chosen.raft_plants.items():
        if not cycle.values[plants.index]:
            continue
        for shift in _shifts(cycle, chosen.frame):
            nearest = _nearest(chosen.farm, by_lot, option, shift)
            if nearest is not None:
                limits[chosen.raft_plants[nearest].index] += cycle.values[plants.index]
                if (nearest.crop, nearest.day) != (option.crop, option.day + shift):
                    moved.add((nearest.crop, nearest.day))
    return limits, moved


def _nearest(
    farm: Farm, by_lot: dict[tuple[str, int], list[RaftSet]], option: RaftSet, shift: int
) -> RaftSet | None:
    """Return the batch nearest to one of the cycle: sown some days off, or a stand-in, if need be."""
    crop, sown, _ = lot_of(option)
    for name in (crop, *stand_ins(farm, crop)):
        found = [
            other for off in (0, 1, -1, 2, -2, 3, -3) for other in by_lot.get((name, sown + shift + off), ())
        ]
        if found:
            return min(
                found,
                key=lambda other: (
                    abs(other.day - option.day - shift),
                    abs(entered_before(other) - entered_before(option) - shift),
                    abs(lot_of(other)[1] - sown - shift),
                ),
            )
    return None


def _queues(cycle: Cycle, chosen: Decisions, moved: set[tuple[str, int]]) -> dict[int, int]:
    """Return limits of the queues: those of the cycle, and none where the season's batches differ."""
    limits: dict[int, int] = {}
    real = {}
    for queue, days in chosen.queues.items():
        crop = queue.raft_class.crop
        if queue.raft_class.growing < 0 and (crop, queue.enters) not in moved:
            real[crop, queue.bundle, queue.enters] = days
            limits |= {rafts.index: 0 for rafts in days.values()}
    for queue, days in cycle.built.chosen.queues.items():
        for day, rafts in days.items():
            amount = cycle.values[rafts.index]
            for shift in _shifts(cycle, chosen.frame) if amount else ():
                found = real.get((queue.raft_class.crop, queue.bundle, queue.enters + shift))
                if found:
                    nearest = min(found, key=lambda other: (abs(other - day - shift), other))
                    limits[found[nearest].index] += amount
    return limits
