"""Lays a steady cycle over a season: copies its rafts week after week, wherever the season has room.

A convoy is everything of one crop that enters the rows on one day of the cycle. It is copied whole or not at
all, with its cuts and the days its rafts leave; what the season does not allow (a closed day, a slot that is
taken) is left out, for the repair to fill.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from ortools.sat.python.cp_model import IntVar

from scheduler.farm.farm import Farm
from scheduler.model.build import Built
from scheduler.model.decisions import Decisions, Homes, Queue, RaftClass, UnitGroup, lot_of
from scheduler.model.frame import Frame
from scheduler.model.options import Cutting, RaftSet

Amounts = dict[int, int]
"""Variable index -> what is added to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """A solved cycle: its model, the amounts, and the bundles each crop used."""

    built: Built
    values: list[int]
    homes: Homes


@dataclass(frozen=True, slots=True, kw_only=True)
class Convoy:
    """Rafts of the season that are laid together: how much of each batch, and of each other variable."""

    day: int
    plants: dict[RaftSet, int]
    amounts: Amounts


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
    others.sort(key=lambda other: (abs(other.finish.days - own.finish.days), other.name))
    return [other.name for other in others]


@dataclass(frozen=True, slots=True)
class _Load:
    """What the cycle lets enter on one day as one class of rafts."""

    groups: list[UnitGroup] = field(default_factory=list)
    queues: list[Queue] = field(default_factory=list)


def convoys(cycle: Cycle, chosen: Decisions) -> Iterator[Convoy]:
    """Yield every copy of the cycle's convoys that a season's batches and rows can hold, by day."""
    loads = _loads(cycle)
    season = _Season(chosen)
    for shift in _shifts(cycle.built.chosen.frame, chosen.frame):
        for (_, entry), load in loads.items():
            copy = _Copy(cycle, chosen, season)
            if copy.lay(load, entry + shift):
                yield Convoy(day=entry + shift, plants=copy.plants, amounts=copy.amounts)


def _loads(cycle: Cycle) -> dict[tuple[RaftClass, int], _Load]:
    chosen, values = cycle.built.chosen, cycle.values
    found: dict[tuple[RaftClass, int], _Load] = defaultdict(_Load)
    for queue, days in chosen.queues.items():
        if any(values[rafts.index] for rafts in days.values()):
            found[queue.raft_class, queue.entry].queues.append(queue)
    for group, kind in chosen.class_of.items():
        if any(values[chosen.raft_plants[option].index] for option in chosen.raft_groups[group]):
            found[kind, chosen.frame.fold(group.enters)].groups.append(group)
    loads = {key: load for key, load in found.items() if load.groups}
    return dict(sorted(loads.items(), key=lambda item: (item[0][1], item[0][0].crop)))


def _shifts(cycle: Frame, season: Frame) -> range:
    """Return the whole periods by which the cycle is moved to cover the season, or a longer cycle."""
    if season.period:
        first = season.start - cycle.start
        return range(first, first + season.period, cycle.period)
    before = (cycle.start - season.start) // cycle.period + 1
    after = (season.end - cycle.start) // cycle.period + 1
    return range(-before * cycle.period, (after + 1) * cycle.period, cycle.period)


class _Season:
    """New batches of a season by crop and raft day, and what belongs to each."""

    def __init__(self, chosen: Decisions) -> None:
        self.batches: dict[tuple[str, int], list[RaftSet]] = defaultdict(list)
        self.group_of: dict[RaftSet, UnitGroup] = {}
        for group, options in chosen.raft_groups.items():
            for option in options:
                self.group_of[option] = group
                if option.source is not None and lot_of(option)[2] < 0:
                    self.batches[option.crop, chosen.frame.fold(option.day)].append(option)


class _Copy:
    """One convoy of a cycle, copied to one day of a season."""

    def __init__(self, cycle: Cycle, chosen: Decisions, season: _Season) -> None:
        self._from, self._values = cycle.built.chosen, cycle.values
        self._to, self._season = chosen, season
        self.plants: dict[RaftSet, int] = defaultdict(int)
        self.amounts: Amounts = defaultdict(int)
        self._classes: set[RaftClass] = set()

    def lay(self, load: _Load, day: int) -> bool:
        """Copy a convoy; say whether the season has a place for each part of it."""
        if not all(self._group(group, day - group.enters) for group in load.groups):
            return False
        return len(self._classes) == 1 and all(self._queue(queue, day) for queue in load.queues)

    def _group(self, group: UnitGroup, shift: int) -> bool:
        """Copy the batches of one group of rafts, and the days its rafts are emptied."""
        options = [o for o in self._from.raft_groups[group] if self._values[self._from.raft_plants[o].index]]
        found = {self._batch(option, shift) for option in options}
        if len(found) != 1 or None in found:
            return False
        (to,) = found
        days = {day for option in options for day in self._from.leaving[option]}
        rafts = {day: self._values[self._from.rafts[group, day].index] for day in sorted(days)}
        return all(
            self._add(self._to.rafts.get((to, day + to.enters - group.enters)), count)
            for day, count in rafts.items()
            if count and to is not None
        )

    def _batch(self, option: RaftSet, shift: int) -> UnitGroup | None:
        """Copy one batch with its cuts; return the group it is part of in the season."""
        batch = self._nearest(option, shift)
        if batch is None:
            return None
        self.plants[batch] += self._values[self._from.raft_plants[option].index]
        shift = batch.day - option.day
        cuts = {
            _moved(step, shift): self._values[self._from.cut_plants[option, step].index]
            for step in option.cuttings
        }
        done = all(
            self._add(self._to.cut_plants.get((batch, step)), cut) for step, cut in cuts.items() if cut
        )
        if self._to.farm.crops[batch.crop].cuts > 1:
            for day, gone in self._from.leaving[option].items():
                left = sum(self._values[some.index] for some in gone)
                place = self._to.leaving[batch].get(day + shift)
                done = done and (not left or self._add(place[0] if place else None, left))
        if not done:
            return None
        to = self._season.group_of[batch]
        self._classes.add(self._to.class_of[to])
        return to

    def _queue(self, queue: Queue, day: int) -> bool:
        (kind,) = self._classes
        to = Queue(raft_class=kind, bundle=queue.bundle, entry=day, enters=day)
        days = self._to.queues.get(to, {})
        return all(
            self._add(days.get(leaves - queue.entry + day), self._values[rafts.index])
            for leaves, rafts in self._from.queues[queue].items()
            if self._values[rafts.index]
        )

    def _nearest(self, option: RaftSet, shift: int) -> RaftSet | None:
        """Return the batch set on rafts on the same day that was sown nearest; of a stand-in if need be."""
        crop, sown, _ = lot_of(option)
        for name in (crop, *stand_ins(self._to.farm, crop)):
            day = self._to.frame.fold(option.day + shift)
            found = self._season.batches.get((name, day), [])
            found = [batch for batch in found if batch.pool == option.pool]
            if found:
                raised = option.day - sown
                return min(found, key=lambda batch: abs(batch.day - lot_of(batch)[1] - raised))
        return None

    def _add(self, variable: IntVar | None, amount: int) -> bool:
        if variable is None:
            return False
        self.amounts[variable.index] += amount
        return True


def _moved(step: Cutting, shift: int) -> Cutting:
    after = None if step.after is None else step.after + shift
    return Cutting(number=step.number, day=step.day + shift, after=after)
