"""Heads that are cut, given to deliveries one by one: no best share, but at once and for any number."""

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence

from scheduler.farm.units import MILLI, ceil_div, share_down
from scheduler.model.options.frame import OUTLET, Wish
from scheduler.model.options.options import RaftSet
from scheduler.model.variables.box_picks import set_marks
from scheduler.model.variables.crates import set_crates
from scheduler.model.variables.decisions import Decisions, RaftLot

Order = list[tuple[int, Wish]]
"""Wishes with their numbers, the one to be served first ahead."""

Spare = list[tuple[int, int]]
"""Heads of one crop and day by the batch they are of: variable, and how many are left."""


def in_order(chosen: Decisions, *, mixes: bool = False) -> Order:
    """Return wishes by date, firm ones and those that weigh most first on one day; see :func:`_plain`."""
    return sorted(
        _plain(chosen, mixes=mixes), key=lambda pair: (pair[1].last, pair[1].level, -pair[1].weight)
    )


def by_weight(chosen: Decisions) -> Order:
    """Return firm wishes before others, those that weigh most first, then by date; see :func:`_plain`."""
    return sorted(_plain(chosen), key=lambda pair: (pair[1].level, -pair[1].weight, pair[1].last))


class Ahead:
    """Wishes by date, of which some are let ahead of the others."""

    def __init__(self, chosen: Decisions) -> None:
        """Begin with all by date."""
        self._chosen, self._by_date = chosen, in_order(chosen)
        self._ahead: set[int] = set()

    @property
    def now(self) -> Order:
        """The wishes in their order now: those let ahead by what they weigh, then all others."""
        return sorted(
            self._by_date,
            key=lambda pair: (0, *_rank(pair[1])) if pair[0] in self._ahead else (1, 0, 0),
        )

    def let_ahead(self, values: Sequence[int]) -> bool:
        """Let the heaviest ones that an answer leaves short ahead; say whether there were any others."""
        short = [
            (index, wish)
            for index, wish in self._by_date
            if index not in self._ahead and values[self._chosen.short[index].index]
        ]
        first = min((_rank(wish) for _, wish in short), default=None)
        self._ahead.update(index for index, wish in short if _rank(wish) == first)
        return bool(short)


def _rank(wish: Wish) -> tuple[int, int]:
    """Return the level of a wish, and about what it weighs, more first: tenfold weights are alike."""
    return wish.level, -len(str(wish.weight))


def _plain(chosen: Decisions, *, mixes: bool = False) -> Order:
    """Return the wishes that can be served one by one.

    Only plain ones and places of boxes: days of outlets have rules of their own, and are left to the repair,
    and so are mixes unless they are asked for.
    """
    return [
        (index, wish)
        for index, wish in enumerate(chosen.frame.wishes)
        if wish.level != OUTLET and (mixes or not chosen.farm.products[wish.product].parts)
    ]


def share_out(
    chosen: Decisions,
    values: list[int],
    batches: Iterable[RaftSet],
    order: Order,
    into: Mapping[int, Sequence[str]],
) -> None:
    """Give the heads that some batches bring to the wishes in some order, the oldest heads first.

    ``values`` are those of an answer in which nothing is given yet; what is given is written into them.
    ``into`` has the crops that go into a wish, where those are not all of its product: in boxes.
    Substitutes are not looked at.
    """
    sharing = _Sharing(chosen, values, batches)
    for index, wish in order:
        sources = chosen.farm.products[wish.product].sources
        crops = into.get(index, sources)
        sharing.give(index, wish, {crop: sources[crop] for crop in crops})
    set_marks(chosen, values)
    set_crates(chosen, values)


class _Sharing:
    """The heads there are, and what has been given."""

    def __init__(self, chosen: Decisions, values: list[int], batches: Iterable[RaftSet]) -> None:
        self._chosen, self._values = chosen, values
        plants: Counter[tuple[RaftLot, int, int]] = Counter()
        for batch in sorted(batches, key=lambda each: (each.day, each.crop)):
            for step in batch.cuttings:
                cut_then = values[chosen.cut_plants[batch, step].index]
                plants[chosen.raft_lots[batch], step.number, step.day] += cut_then
        self._spare: dict[tuple[str, int], Spare] = defaultdict(list)
        for (lot, number, day), cut in plants.items():
            heads = share_down(cut, chosen.farm.crops[lot.crop].heads_share)
            if heads:
                self._spare[lot.crop, day].append((chosen.heads[lot, number, day].index, heads))
        self._of = {key: [variable for variable, _ in spare] for key, spare in self._spare.items()}
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
            self._give_back(index, crop, self._days_for(crop, wish), got - ceil_div(units * per_unit, MILLI))
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

    def _give_back(self, index: int, crop: str, days: Sequence[int], heads: int) -> None:
        """Leave over what was taken of a crop and makes no unit, the last taken first."""
        for day in reversed(days):
            fill = self._chosen.fills.get((crop, day, index))
            some = min(heads, self._values[fill.index]) if fill is not None else 0
            if fill is not None and some:
                self._values[fill.index] -= some
                self._put_back(crop, day, some)
                heads -= some

    def _put_back(self, crop: str, day: int, heads: int) -> None:
        """Take heads of one crop and day off the batches they were counted on."""
        for variable in self._of[crop, day]:
            some = min(heads, self._values[variable])
            if some:
                self._values[variable] -= some
                self._spare[crop, day].append((variable, some))
                heads -= some

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
