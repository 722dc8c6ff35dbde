"""Heads that are cut, given to deliveries by date: no best share, but at once and for any number of them."""

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence

from scheduler.farm.units import MILLI, ceil_div, share_down
from scheduler.model.box_picks import set_marks
from scheduler.model.decisions import Decisions
from scheduler.model.frame import OUTLET, Wish
from scheduler.model.options import RaftSet

Spare = list[tuple[int, int]]
"""Heads of one crop and day by the batch they are of: variable, and how many are left."""


def in_order(chosen: Decisions) -> list[tuple[int, Wish]]:
    """Return wishes with their numbers by date, firm ones and those that weigh most first on one day.

    Only plain ones and places of boxes: mixes and days of outlets have rules of their own, and are left to
    the repair.
    """
    plain = [
        (index, wish)
        for index, wish in enumerate(chosen.frame.wishes)
        if wish.level != OUTLET and not chosen.farm.products[wish.product].parts
    ]
    return sorted(plain, key=lambda pair: (pair[1].last, pair[1].level, -pair[1].weight))


def share_out(
    chosen: Decisions, values: list[int], batches: Iterable[RaftSet], into: Mapping[int, Sequence[str]]
) -> None:
    """Give the heads that some batches bring to the wishes by date, the oldest heads first.

    ``values`` are those of an answer in which nothing is given yet; what is given is written into them.
    ``into`` has the crops that go into a wish, where those are not all of its product: in boxes.
    Substitutes are not looked at.
    """
    sharing = _Sharing(chosen, values, batches)
    for index, wish in in_order(chosen):
        sources = chosen.farm.products[wish.product].sources
        crops = into.get(index, sources)
        sharing.give(index, wish, {crop: sources[crop] for crop in crops})
    set_marks(chosen, values)


class _Sharing:
    """The heads there are, and what has been given."""

    def __init__(self, chosen: Decisions, values: list[int], batches: Iterable[RaftSet]) -> None:
        self._chosen, self._values = chosen, values
        plants: Counter[tuple[RaftSet, int, int]] = Counter()
        for batch in sorted(batches, key=lambda each: (each.day, each.crop)):
            for step in batch.cuttings:
                plants[batch, step.number, step.day] += values[chosen.cut_plants[batch, step].index]
        self._spare: dict[tuple[str, int], Spare] = defaultdict(list)
        for (batch, number, day), cut in plants.items():
            heads = share_down(cut, chosen.farm.crops[batch.crop].heads_share)
            if heads:
                self._spare[batch.crop, day].append((chosen.heads[batch, number, day].index, heads))
        self._days: dict[str, list[int]] = defaultdict(list)
        for crop, day in sorted(self._spare, key=lambda key: key[1]):
            self._days[crop].append(day)

    def give(self, index: int, wish: Wish, sources: Mapping[str, int]) -> None:
        """Give a wish what there is for it; nothing where it wants all or nothing and there is too little.

        ``sources`` is crop -> thousandths of heads for a unit.
        """
        chosen, values = self._chosen, self._values
        whole = index in chosen.whole
        if whole and self._there_is(wish, sources) < wish.amount:
            return
        left = wish.amount
        for crop, per_unit in sources.items():
            got = 0
            for day in self._days_for(crop, wish):
                fill = chosen.fills.get((crop, day, index))
                if fill is not None:
                    some = self._take(crop, day, ceil_div(left * per_unit, MILLI) - got)
                    values[fill.index] += some
                    got += some
            units = min(left, got * MILLI // per_unit)
            values[chosen.units[index, crop].index] = units
            left -= units
        values[chosen.short[index].index] = left
        if whole:
            values[chosen.whole[index].index] = 1

    def _days_for(self, crop: str, wish: Wish) -> list[int]:
        days = self._days[crop]
        return days[bisect_left(days, wish.first - wish.age) : bisect_right(days, wish.last)]

    def _there_is(self, wish: Wish, sources: Mapping[str, int]) -> int:
        """Return the units of a wish that there are heads for."""
        return sum(
            sum(heads for day in self._days_for(crop, wish) for _, heads in self._spare[crop, day])
            * MILLI
            // per_unit
            for crop, per_unit in sources.items()
        )

    def _take(self, crop: str, day: int, wanted: int) -> int:
        """Take heads of one crop and day; return how many there were."""
        spare, got = self._spare[crop, day], 0
        while spare and got < wanted:
            variable, heads = spare.pop()
            some = min(heads, wanted - got)
            if heads > some:
                spare.append((variable, heads - some))
            self._values[variable] += some
            got += some
        return got
