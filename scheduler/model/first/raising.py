"""How batches could be raised: what the plannings on paper ask again and again of a season's options."""

from collections import defaultdict

from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.model.options.options import BoardOut, Cutting, RaftSet, TrayOut
from scheduler.model.variables.decide import entry_day
from scheduler.model.variables.decisions import Decisions, Queue, UnitGroup, lot_of

Way = tuple[RaftSet | TrayOut, Cutting]
"""A batch on rafts, or in trays that are cut as they stand, and its first cut."""

RaftWay = tuple[RaftSet, Cutting]
"""A batch on rafts and its first cut."""

Filled = tuple[UnitGroup, int, int]
"""A group of trays or boards, the rows or plants that go into it, and the day on which they leave it."""


class Raising:
    """The batches of a season that could be sown.

    Attributes:
        group_of: option -> the units its plants share with others.
        by_cut: (crop, day) -> batches on rafts whose first cut may be on that day.
        in_trays: (crop, day) -> trays that are cut as they stand, for the first time on that day.
        queues_of: group of rafts -> queues that its rafts may stand in.
    """

    def __init__(self, chosen: Decisions) -> None:
        """Read the options of a season."""
        self._chosen, self._useful = chosen, chosen.frame.useful_days()
        self.group_of: dict[TrayOut | BoardOut | RaftSet, UnitGroup] = {}
        for groups in (chosen.tray_groups, chosen.board_groups, chosen.raft_groups):
            for group, options in groups.items():
                self.group_of.update(dict.fromkeys(options, group))
        self.by_cut: dict[tuple[str, int], list[RaftWay]] = defaultdict(list)
        for option in chosen.options.raft_sets:
            if option.source is not None and lot_of(option)[2] < 0:
                for step in option.cuttings:
                    if step.after is None:
                        self.by_cut[option.crop, step.day].append((option, step))
        self.in_trays: dict[tuple[str, int], list[TrayOut]] = defaultdict(list)
        for out in chosen.options.tray_outs:
            if out.cuts and out.growing < 0:
                self.in_trays[out.crop, out.cuts[0]].append(out)
        by_class: dict[tuple[object, int], list[Queue]] = defaultdict(list)
        for queue in chosen.queues:
            by_class[queue.raft_class, queue.enters].append(queue)
        self.queues_of = {
            group: by_class[kind, entry_day(chosen, group)] for group, kind in chosen.class_of.items()
        }

    def ways(self, crop: str, opens: int, last: int, most: int) -> list[RaftWay]:
        """Return some ways to cut a crop on rafts on some days, the one sown last first."""
        found = [pair for day in range(opens, last + 1) for pair in self.by_cut.get((crop, day), ())]
        found.sort(key=lambda pair: (-pair[0].day, -pair[1].day, -lot_of(pair[0])[1]))
        return found[:most]

    def tray_ways(self, crop: str, opens: int, last: int, most: int) -> list[Way]:
        """Return some ways to cut a crop in its trays on some days, the one sown last first.

        Of those the one with most cuts that may be of use to anybody, and then the shortest.
        """
        useful = self._useful.get(crop, frozenset())
        found = [out for day in range(opens, last + 1) for out in self.in_trays.get((crop, day), ())]
        found.sort(key=lambda out: (-out.sown, -len(useful.intersection(out.cuts)), out.day))
        return [(out, Cutting(number=out.first_cut, day=out.cuts[0], after=None)) for out in found[:most]]

    def chain(self, option: RaftSet, first: Cutting) -> list[Cutting]:
        """Return all cuts of a raft: after the first one always the next that may be of use to anybody."""
        steps = [first]
        useful = self._useful.get(option.crop, frozenset())
        while True:
            last = steps[-1]
            later = [
                step for step in option.cuttings
                if step.number == last.number + 1 and step.after == last.day and step.day in useful
            ]  # fmt: skip
            if not later:
                return steps
            steps.append(min(later, key=lambda step: step.day))

    def nursery(self, option: RaftSet, plants: int) -> list[Filled] | None:
        """Return what a batch fills in the nursery, boards before trays; None where it is not sown there."""
        farm, source, found = self._chosen.farm, option.source, list[Filled]()
        crop = farm.crops[option.crop]
        if isinstance(source, BoardOut) and crop.board is not None:
            plants = ceil_div(plants * WHOLE_SHARE, crop.board.survival)
            found.append((self.group_of[source], plants, source.day))
            source = source.source
        if not isinstance(source, TrayOut):
            return None
        cells = farm.equipment[crop.tray.unit].cells_per_row
        rows = ceil_div(plants * WHOLE_SHARE, cells * crop.tray.survival)
        return [*found, (self.group_of[source], rows, source.day)]
