"""A first plan from many plannings on paper: what is short is let ahead, and the better order is kept.

Deliveries are planned by date, or the heaviest first, or in between. From the best of these orders on some of
what is short is moved ahead by some weeks, and the season is planned again.
What the paper does not know (hours, domes, what grows already) is found when the batches are laid over the
season: those that break a limit are taken out.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from random import Random

from scheduler.farm.orders.mixes import heads_taken, units_made
from scheduler.farm.units import MILLI, ceil_div
from scheduler.model.first.batches import Batch, Give
from scheduler.model.first.convoys import Convoy
from scheduler.model.first.laying import placed_over, served
from scheduler.model.first.on_paper import OnPaper
from scheduler.model.first.sharing import Order, in_order
from scheduler.model.options.options import TrayOut
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.solver.engine import Engine
from scheduler.model.variables.box_picks import set_marks
from scheduler.model.variables.crates import set_crates
from scheduler.model.variables.decisions import MIXED, Decisions

BY_WEIGHT = (0, 300)
"""Days by which a wish goes ahead for each digit of its weight, in the orders that are tried first."""

BEHIND = (0, 4, 7, 14, 4_000)
"""Days by which flexible wishes stay behind in them."""

LONG_BEHIND = 1_000
"""Days behind from which a flexible wish that is moved ahead comes back among the others."""

MOVED = 3
"""Wishes that are moved ahead together: some that are short one after another."""

AHEAD = {1: 180, 2: 60}
"""Days by which a wish of a level is moved ahead at most."""

EASE = 0.7
"""What a flexible shortage counts for beside a firm one while orders are tried.

The repair fills firm deliveries first and without regard to others; a plan that leaves no room for flexible
ones is little better a start for it, and far worse for them.
"""

TRIES_A_SECOND = 12
"""Plannings at most, for each second there is."""

IN_VAIN = 0.3
"""Share of the time after which the plannings end where none of them was better."""

Days = dict[int, float]
"""Wish -> days by which it goes ahead of its date."""

Gives = list[tuple[Batch, Give]]
"""What a delivery takes, of which batches."""

Units = dict[tuple[int, str], int]
"""(parcel, crop, of a mix ``MIXED``) -> units."""


class Papers:
    """Plans a season on paper again and again."""

    def __init__(self, engine: Engine, best: Incumbent) -> None:
        """Take the season to plan, with an answer in which nothing is sown but for beds."""
        self._engine, self._best, self._chosen = engine, best, best.built.chosen
        self._paper = OnPaper(self._chosen, engine.check, best.values)
        missing = {index: best.values[short.index] for index, short in self._chosen.short.items()}
        self._wishes = [
            (index, replace(wish, amount=missing[index]))
            for index, wish in in_order(self._chosen, mixes=True)
            if missing[index] and self._paper.knows(index)
        ]
        self._draw = Random(engine.settings.seed)
        self._worth, self._ahead = 0.0, self._start(0, 0)

    def begin(self) -> None:
        """Plan in a few orders that are tried first, and leave the best of these plans on the paper.

        Raises:
            Stopped: the search was to end meanwhile.
        """
        starts = [self._start(each, behind) for each in BY_WEIGHT for behind in BEHIND]
        pairs = [(self._tried(ahead), ahead) for ahead in starts]
        self._worth, self._ahead = min(pairs, key=lambda each: each[0])
        self._tried(self._ahead)

    def go_on(self, seconds: float) -> None:
        """Plan again and again for some seconds, unless in vain, and leave the best plan on the paper.

        Raises:
            Stopped: the search was to end meanwhile.
        """
        begun = latest = self._engine.spent
        short = self._short()
        for _ in range(int(seconds * TRIES_A_SECOND)):
            spent = self._engine.spent
            if not short or spent >= begun + seconds or spent >= latest + seconds * IN_VAIN:
                break
            trial = self._moved(self._ahead, short)
            now = self._tried(trial)
            if now < self._worth:
                latest = self._engine.spent
            if now <= self._worth:
                self._worth, self._ahead, short = now, trial, self._short()
        self._tried(self._ahead)

    def _start(self, each: int, behind: int) -> Days:
        return {
            index: float(each * len(str(wish.weight)) - (behind if wish.level > 1 else 0))
            for index, wish in self._wishes
        }

    def _order(self, ahead: Days) -> Order:
        return sorted(
            self._wishes,
            key=lambda pair: (pair[1].last - ahead[pair[0]], pair[1].level, -pair[1].weight),
        )

    def _tried(self, ahead: Days) -> float:
        """Plan with some wishes so many days ahead; return what is short by weight."""
        sums: Counter[int] = Counter()
        for index, units in self._paper.plan(self._order(ahead)).items():
            wish = self._chosen.frame.wishes[index]
            sums[wish.level] += units * wish.weight
        return sums[1] + EASE * sums[2]

    def _short(self) -> list[int]:
        """Return the wishes that the paper leaves short, by date."""
        wishes = self._chosen.frame.wishes
        return sorted(self._paper.short, key=lambda index: (wishes[index].last, index))

    def _moved(self, ahead: Days, short: list[int]) -> Days:
        """Return the days ahead with some of what is short moved further ahead."""
        trial, at = dict(ahead), self._draw.randrange(len(short))
        for index in short[at : at + MOVED]:
            kept = 0.0 if trial[index] < -LONG_BEHIND else trial[index]
            trial[index] = kept + self._draw.random() * AHEAD[self._chosen.frame.wishes[index].level]
        return trial

    def values(self) -> list[int] | None:
        """Return what stands on the paper as an answer, beside the beds; None if none is.

        Raises:
            Stopped: the search was to end meanwhile.
        """
        convoys = [self._convoy(batch) for batch in self._paper.batches]
        batches = {id(convoy): batch for convoy, batch in zip(convoys, self._paper.batches, strict=True)}
        found = placed_over(self._engine, self._best, convoys)
        if found is None:
            return None
        values, kept = found
        shared = list(values)
        given(self._chosen, shared, [batches[id(convoy)] for convoy in kept])
        # Rules that the paper does not know of, such as the room in coolers, must not go unkept.
        return shared if self._best.parts.holds(shared) else served(self._engine, self._best, values, kept)

    def _convoy(self, batch: Batch) -> Convoy:
        """Return the convoy of a batch; plants nobody has claimed are cut as their raft is emptied."""
        chosen, option = self._chosen, batch.option
        if isinstance(option, TrayOut):
            return Convoy(day=option.sown, plants={}, amounts={}, trays={option: batch.rows})
        group = self._paper.group_of(option)
        amounts: Counter[int] = Counter()
        for step, plants in batch.cuts.items():
            amounts[chosen.cut_plants[option, step].index] += plants
        emptied = batch.berths[-1].emptied
        if batch.left:
            step = next(step for step in option.cuttings if step.day == emptied)
            amounts[chosen.cut_plants[option, step].index] += batch.left
        if chosen.farm.crops[option.crop].cuts > 1:
            amounts[chosen.leaving[option][emptied][0].index] += batch.plants
        for berth in batch.berths:
            amounts[chosen.rafts[group, berth.emptied].index] += berth.stay.rafts
            amounts[chosen.queues[berth.queue][berth.stay.leaves].index] += berth.stay.rafts
        return Convoy(day=option.day, plants={option: batch.plants}, amounts=dict(amounts))


def given(chosen: Decisions, values: list[int], batches: Iterable[Batch]) -> None:
    """Write into an answer, in which only beds give anything, what deliveries take of some batches."""
    gives: dict[int, dict[int, Gives]] = defaultdict(lambda: defaultdict(list))
    for batch in batches:
        for give in batch.gives:
            gives[chosen.parcels[give.parcel].wish][give.parcel].append((batch, give))
    for index, by_parcel in gives.items():
        units, left = _units(chosen, values[chosen.short[index].index], by_parcel)
        if index in chosen.whole and left:
            continue
        for key, count in units.items():
            values[chosen.units[key].index] = count
        for parcel, taken in by_parcel.items():
            left_of = _heads_in(chosen, parcel, taken, units)
            for batch, give in taken:
                # What makes no unit is left over.
                heads = min(give.heads, left_of[batch.option.crop])
                left_of[batch.option.crop] -= heads
                values[chosen.fills[batch.option.crop, give.day, parcel].index] += heads
                values[chosen.heads[batch.lot_in(chosen), give.cut, give.day].index] += heads
        values[chosen.short[index].index] = left
        if index in chosen.whole:
            values[chosen.whole[index].index] = 1
    set_marks(chosen, values)
    set_crates(chosen, values)


def _units(chosen: Decisions, left: int, by_parcel: Mapping[int, Gives]) -> tuple[Units, int]:
    """Return the units that heads make for a wish that misses some, and those still missing."""
    units = Units()
    for parcel, taken in by_parcel.items():
        product, heads = chosen.farm.products[chosen.parcels[parcel].product], _given_by_crop(taken)
        apart = {MIXED: heads} if product.parts else {crop: {crop: number} for crop, number in heads.items()}
        for crop, some in apart.items():
            units[parcel, crop] = min(left, units_made(product, some))
            left -= units[parcel, crop]
    return units, left


def _heads_in(chosen: Decisions, parcel: int, taken: Gives, units: Units) -> dict[str, int]:
    """Return crop -> heads that the units of a parcel take of those given to it."""
    product, heads = chosen.farm.products[chosen.parcels[parcel].product], _given_by_crop(taken)
    if product.parts:
        return heads_taken(product, units[parcel, MIXED], heads, lambda crop: crop)
    return {crop: ceil_div(units[parcel, crop] * product.sources[crop], MILLI) for crop in heads}


def _given_by_crop(taken: Gives) -> Counter[str]:
    heads: Counter[str] = Counter()
    for batch, give in taken:
        heads[batch.option.crop] += give.heads
    return heads
