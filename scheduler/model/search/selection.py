"""Which variables a part of a plan frees: what is chosen there, and what follows from it."""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.model.options.frame import OUTLET
from scheduler.model.options.options import BoardOut, RaftSet
from scheduler.model.variables.decisions import Decisions, lot_of

Numbers = NDArray[np.int64]

AFTER_EMPTY = 14
"""Days after the last cut for which rafts may still stand behind others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a plan to free: crops (empty for all) whose rafts enter from ``first`` through ``last``.

    What is cut in its trays counts by the day it is sown.
    Without ``outlets`` what is sold at them stays as it is. With ``goods`` alone nothing grows otherwise:
    what is cut from ``first`` through ``last`` is shared out anew among deliveries and outlets.
    What is cut of the crops of ``swap`` is shared out anew as well, for what is open from ``since`` through
    ``until``, but nothing of them grows otherwise.
    With ``still`` the rafts of all other crops stay in their rows and leave on their days.
    """

    crops: frozenset[str]
    first: int
    last: int
    outlets: bool = True
    goods: bool = False
    swap: frozenset[str] = frozenset()
    since: int = 0
    until: int = 0
    still: bool = False


class Selection:
    """Finds the variables of a part by their tags; made once for a model."""

    def __init__(self, chosen: Decisions) -> None:
        """Read the tags of a model's variables."""
        tags = chosen.tags
        self._chosen = chosen
        self._crops = {name: number for number, name in enumerate(["", *chosen.farm.crops])}
        names = ["", *(b.name for b in chosen.bundles)]
        self._bundles = {name: number for number, name in enumerate(names)}
        columns = [
            (index, self._crops[t.crop], t.day, t.day if t.until is None else t.until, t.follows,
             self._bundles[t.bundle])
            for index, t in tags.items()
        ]  # fmt: skip
        table: Numbers = np.array(columns, dtype=np.int64).reshape(-1, 6)
        self._index, self._crop, self._day, self._until, self._follows, self._bundle = table.T
        self._reach = _reach(chosen)
        goods, at_outlets = _goods(chosen)
        self._goods = np.isin(self._index, goods)
        picks = [pick.index for pick in chosen.picks.values()]
        self._shared = self._goods | np.isin(self._index, picks)
        self._at_outlets = np.isin(self._index, at_outlets)
        self._stands, self._stands_as = self._in_rows()

    def _in_rows(self) -> tuple[Numbers, dict[str, set[int]]]:
        """Return in whose name each variable's rafts stand in a row (0: none), and the names of each crop."""
        named = {
            rafts.index: self._crops[queue.raft_class.crop]
            for queue, days in self._chosen.queues.items()
            for rafts in days.values()
        }
        names: dict[str, set[int]] = defaultdict(set)
        for group, kind in self._chosen.class_of.items():
            for option in self._chosen.raft_groups[group]:
                names[option.crop].add(self._crops[kind.crop])
        return np.array([named.get(index, 0) for index in self._index.tolist()], dtype=np.int64), names

    def variables(self, part: Part) -> set[int]:
        """Return :meth:`numbers` as a set."""
        return set(self.numbers(part).tolist())

    def numbers(self, part: Part) -> Numbers:
        """Return the variables to free, in order.

        What is chosen is freed when rafts of it may enter within the part's days. What follows (heads, fills,
        units in the nursery, the order of rows) is freed as long before and after as the crops can matter.
        """
        if part.goods:
            free = self._goods & (self._until >= part.first) & (self._day <= part.last)
            found: Numbers = self._index[free]
            return found
        names = part.crops or set(self._chosen.farm.crops)
        before = max(self._reach[name][0] for name in names)
        after = max(self._reach[name][1] for name in names)
        lows, highs = np.full(len(self._crops), part.last + 1), np.full(len(self._crops), part.first - 1)
        for name in names:
            lows[self._crops[name]] = part.first - self._reach[name][0]
            highs[self._crops[name]] = part.last + self._reach[name][1]
        lows[0], highs[0] = part.first - before, part.last + after
        chosen = (self._until >= part.first) & (self._day <= part.last) & (self._follows == 0)
        follows = (self._until >= lows[self._crop]) & (self._day <= highs[self._crop]) & (self._follows == 1)
        free = chosen | follows
        if part.crops:
            crops = [self._crops[name] for name in ("", *part.crops)]
            bundles = {name for crop in part.crops for name in self._chosen.bundles_of[crop]}
            free &= np.isin(self._crop, crops)
            free &= np.isin(self._bundle, [0, *(self._bundles[name] for name in bundles)])
            if part.still:
                theirs = set().union(*(self._stands_as[crop] for crop in part.crops))
                free &= np.isin(self._stands, [0, *theirs])
        if part.swap:
            swapped = np.isin(self._crop, [self._crops[crop] for crop in part.swap])
            free |= self._shared & swapped & (self._until >= part.since) & (self._day <= part.until)
        if not part.outlets:
            free &= ~self._at_outlets
        freed: Numbers = self._index[free]
        return freed


def _goods(chosen: Decisions) -> tuple[list[int], list[int]]:
    """Return the variables of what is cut and given to deliveries and outlets, and those of outlets alone."""
    wishes = chosen.frame.wishes
    outlets = {index for index, wish in enumerate(wishes) if wish.level == OUTLET}
    parcels = {number for number, parcel in enumerate(chosen.parcels) if parcel.wish in outlets}
    at_outlets = [sold.index for sold in chosen.sold.values()]
    at_outlets += [short.index for index, short in chosen.short.items() if index in outlets]
    at_outlets += [units.index for (number, _), units in chosen.units.items() if number in parcels]
    at_outlets += [fill.index for (_, _, number), fill in chosen.fills.items() if number in parcels]
    tables = (
        chosen.heads,
        chosen.fills,
        chosen.units,
        chosen.short,
        chosen.whole,
        chosen.sold,
        chosen.crates,
    )
    return [variable.index for table in tables for variable in table.values()], at_outlets


def _reach(chosen: Decisions) -> dict[str, tuple[int, int]]:
    """Return for each crop the days before and after its day within which a batch can matter.

    That is the day on rafts, or the sowing day of what is cut in its trays.
    """
    before: dict[str, int] = defaultdict(int)
    after: dict[str, int] = defaultdict(int)
    for option in chosen.options.raft_sets:
        if option.cuttings:
            after[option.crop] = max(after[option.crop], option.exits[-1] - option.day)
        before[option.crop] = max(before[option.crop], _raised(option))
    for out in chosen.options.tray_outs:
        if out.cuts:
            after[out.crop] = max(after[out.crop], out.day - out.sown)
    for planting in chosen.options.bed_sets:
        crop = planting.crop
        if planting.picks:
            after[crop] = max(after[crop], planting.leaves - planting.day)
        if planting.source is not None:
            before[crop] = max(before[crop], planting.day - planting.source.sown)
    return {name: (before[name], after[name] + AFTER_EMPTY) for name in chosen.farm.crops}


def _raised(option: RaftSet) -> int:
    """Return the days from sowing (growing boards: from the day they were set) to the raft day."""
    source = option.source
    if source is None:
        return 0
    if isinstance(source, BoardOut) and source.source is None:
        return option.day - source.board_day
    return option.day - lot_of(option)[1]
