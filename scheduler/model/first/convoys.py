"""Lays a steady cycle over a season: copies its rafts week after week, wherever the season has room.

A convoy is everything of one crop that enters the rows on one day of the cycle. It is copied whole or not at
all, with its cuts and the days its rafts leave; what the season does not allow (a closed day, a slot that is
taken) is left out, for the repair to fill.

Deliveries keep to their weekdays, so it is the days of cutting that are copied. Where the season is slower or
faster than the cycle, the rafts enter as much earlier or later as that takes.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ortools.sat.python.cp_model import IntVar

from scheduler.farm.farm import Farm
from scheduler.model.build import Built
from scheduler.model.options.frame import Frame
from scheduler.model.options.options import RaftSet, TrayOut
from scheduler.model.variables.decisions import Decisions, Homes, Queue, RaftClass, UnitGroup, lot_of

Amounts = dict[int, int]
"""Variable index -> what is added to it."""

FIRST_CUT_OFF = 3
"""Days by which the first cut of a crop that is cut again may move."""

MOST_EARLIER, MOST_LATER = 45, 21
"""Days by which a copy may enter before or after the day of the cycle, where pace differs from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """A solved cycle: its model, the amounts, and the bundles each crop used."""

    built: Built
    values: list[int]
    homes: Homes


@dataclass(frozen=True, slots=True, kw_only=True)
class Convoy:
    """Rafts of the season that are laid together: how much of each batch, and of each other variable.

    ``trays`` are rows sown of what is cut in its trays; such a convoy has no rafts.
    """

    day: int
    plants: dict[RaftSet, int]
    amounts: Amounts
    trays: dict[TrayOut, int] = field(default_factory=dict)


def stand_ins(farm: Farm, crop: str) -> list[str]:
    """Return the crops that fill every product a crop fills, on the same kinds of unit, nearest days first.

    Where a crop may not be sown (a variety out of its season), one of them is sown instead.
    """
    own = farm.crops[crop]
    sold = [
        set(product.sources) if not product.parts else {crop}
        for product in farm.products.values()
        if crop in product.sources
    ]
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
    """Yield every copy of the cycle's convoys that a season's batches and rows can hold, last ones first.

    Rafts leave a row in the order in which they entered it, so of two convoys in one row the one before must
    not enter after the other: it may have to enter sooner than it would by itself, and to wait when it is
    ready.
    """
    season = _Season(chosen)
    latest: dict[str, int] = {}
    for due, load in _all_loads(cycle, chosen):
        bundles = {queue.bundle for queue in load.queues}
        limit = min((latest[bundle] for bundle in bundles if bundle in latest), default=due + MOST_LATER)
        for sooner in season.sooner:
            copy = _Copy(cycle, chosen, season, sooner)
            if due - sooner <= limit and copy.lay(load, due - sooner):
                latest.update(dict.fromkeys(bundles, due - sooner))
                yield Convoy(day=due - sooner, plants=copy.plants, amounts=copy.amounts)
                break


def tray_convoys(cycle: Cycle, chosen: Decisions) -> Iterator[Convoy]:
    """Yield every copy of the cycle's trays that are cut as they stand; each is a convoy of its own."""
    season = _Season(chosen)
    sown = [
        (out, cycle.values[rows.index])
        for out, rows in cycle.built.chosen.tray_rows.items()
        if out.cuts and cycle.values[rows.index]
    ]
    for shift in _shifts(cycle.built.chosen.frame, chosen.frame):
        for out, rows in sown:
            found = season.trays_like(chosen.farm, out, shift)
            if found is not None:
                yield Convoy(day=found.sown, plants={}, amounts={}, trays={found: rows})


def _all_loads(cycle: Cycle, chosen: Decisions) -> list[tuple[int, _Load]]:
    """Return the cycle's convoys again and again over the season, each with its day, last ones first."""
    shifts = _shifts(cycle.built.chosen.frame, chosen.frame)
    loads = [(entry + shift, load) for shift in shifts for (_, entry), load in _loads(cycle).items()]
    return sorted(loads, key=lambda pair: pair[0], reverse=True)


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
        self._trays: dict[tuple[str, str, int, int], list[TrayOut]] = defaultdict(list)
        for out in chosen.options.tray_outs:
            if out.cuts and out.growing < 0:
                self._trays[out.crop, out.pool, len(out.cuts), out.cuts[0]].append(out)
        for group, options in chosen.raft_groups.items():
            for option in options:
                self.group_of[option] = group
                if option.source is not None and lot_of(option)[2] < 0:
                    self.batches[option.crop, chosen.frame.fold(option.day)].append(option)
        self.sooner = _sooner(chosen)

    def trays_like(self, farm: Farm, out: TrayOut, shift: int) -> TrayOut | None:
        """Return trays of the season that are first cut as a cycle's trays some days later; the nearest way.

        A stand-in is taken where the crop itself may not be sown then.
        """
        wanted = (out.sown + shift, *(day + shift for day in out.cuts))
        for name in (out.crop, *stand_ins(farm, out.crop)):
            found = self._trays.get((name, out.pool, len(out.cuts), wanted[1]), ())
            if found:
                return min(found, key=lambda each: (_far((each.sown, *each.cuts), wanted), -each.sown))
        return None


def _sooner(chosen: Decisions) -> list[int]:
    """Return the days by which rafts may enter before those of the cycle, least first; below 0 after them."""
    pace = chosen.farm.pace
    rows = {place.belongs_to for bundle in chosen.bundles for place in bundle.places}
    if chosen.frame.period or all(len(set(pace.signature(row))) == 1 for row in rows):
        return [0]
    return sorted(range(-MOST_LATER, MOST_EARLIER + 1), key=lambda days: (abs(days), -days))


def _far(days: Sequence[int], wanted: Sequence[int]) -> int:
    return sum(abs(day - other) for day, other in zip(days, wanted, strict=True))


class _Copy:
    """One convoy of a cycle, copied to one day of a season."""

    def __init__(self, cycle: Cycle, chosen: Decisions, season: _Season, sooner: int) -> None:
        self._from, self._values = cycle.built.chosen, cycle.values
        self._to, self._season, self._sooner = chosen, season, sooner
        self.plants: dict[RaftSet, int] = defaultdict(int)
        self.amounts: Amounts = defaultdict(int)
        self._classes: set[RaftClass] = set()
        self._cut_after: dict[int, int] = {}

    def lay(self, load: _Load, day: int) -> bool:
        """Copy a convoy to one day; say whether the season has a place for each part of it."""
        if not all(self._group(group, day - group.enters) for group in load.groups):
            return False
        return len(self._classes) == 1 and all(self._queue(queue, day) for queue in load.queues)

    def _after(self, days: int) -> int:
        """Return how many days after they enter the copies do what the cycle's rafts do after ``days``."""
        return self._cut_after.get(days, days + self._sooner)

    def _group(self, group: UnitGroup, shift: int) -> bool:
        """Copy the batches of one group of rafts, and the days its rafts are emptied."""
        options = [o for o in self._from.raft_groups[group] if self._values[self._from.raft_plants[o].index]]
        found = set()
        for option in options:
            found.add(self._batch(option, shift))
            if None in found:
                return False
        if len(found) != 1:
            return False
        (to,) = found
        days = {day for option in options for day in self._from.leaving[option]}
        rafts = {day: self._values[self._from.rafts[group, day].index] for day in sorted(days)}
        return all(
            self._add(self._to.rafts.get((to, to.enters + self._after(day - group.enters))), count)
            for day, count in rafts.items()
            if count and to is not None
        )

    def _batch(self, option: RaftSet, shift: int) -> UnitGroup | None:
        """Copy one batch with its cuts; return the group it is part of in the season."""
        batch = self._nearest(option, shift)
        if batch is None or not self._cuts(option, batch):
            return None
        self.plants[batch] += self._values[self._from.raft_plants[option].index]
        if self._to.farm.crops[batch.crop].cuts > 1:
            for day, gone in self._from.leaving[option].items():
                left = sum(self._values[some.index] for some in gone)
                place = self._to.leaving[batch].get(batch.day + self._after(day - option.day))
                if left and not self._add(place[0] if place else None, left):
                    return None
        to = self._season.group_of[batch]
        self._classes.add(self._to.class_of[to])
        return to

    def _cuts(self, option: RaftSet, batch: RaftSet) -> bool:
        """Copy the cuts of one batch; say whether each could be.

        What is cut once keeps its day; other cuts move to the nearest day on which they are ready, the first
        by a few days only.
        """
        once = self._to.farm.crops[batch.crop].cuts == 1
        for step in sorted(option.cuttings, key=lambda each: (each.number, each.day)):
            plants = self._values[self._from.cut_plants[option, step].index]
            if not plants:
                continue
            days = step.day - option.day
            before = None if step.after is None else batch.day + self._after(step.after - option.day)
            ready = [c for c in batch.cuttings if (c.number, c.after) == (step.number, before)]
            wanted = batch.day + self._after(days)
            off = 0 if once or days in self._cut_after else FIRST_CUT_OFF if step.number == 1 else MOST_LATER
            ready = [c for c in ready if abs(c.day - wanted) <= off]
            if not ready:
                return False
            to = min(ready, key=lambda c: (abs(c.day - wanted), c.day))
            self._cut_after[days] = to.day - batch.day
            self._add(self._to.cut_plants.get((batch, to)), plants)
        return True

    def _queue(self, queue: Queue, day: int) -> bool:
        (kind,) = self._classes
        to = Queue(raft_class=kind, bundle=queue.bundle, entry=day, enters=day)
        days = self._to.queues.get(to, {})
        return all(
            self._add(days.get(day + self._after(leaves - queue.entry)), self._values[rafts.index])
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
