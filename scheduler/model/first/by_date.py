"""A first plan, delivery by delivery, as a careful grower does it on paper.

Each delivery takes what other batches left over, then a new batch on full rafts, sown as late as may be, if
there is room for it all the way. Nothing is moved again to make room; the repair does that. It is done a few
times: by date, then with the heaviest of what was short let ahead, and the best of these plans is kept.
Into a place of a box goes the product whose turn it is, or the next one for which there is room.
What the sheet of paper does not know (hours, domes, what grows already) is found when the batches are laid
over the season: those that break a limit are taken out.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from scheduler.farm.orders.box_turns import BoxTurns
from scheduler.farm.orders.boxes import Box, BoxSlot
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div, share_down
from scheduler.model.first.convoys import Convoy
from scheduler.model.first.laying import placed_over, served
from scheduler.model.first.raising import Raising
from scheduler.model.first.sharing import Ahead, Order, by_weight, share_out
from scheduler.model.first.sheet import Sheet
from scheduler.model.options.frame import Wish
from scheduler.model.options.options import Cutting, RaftSet
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.model.variables.box_picks import crops_of, places_in
from scheduler.model.variables.decisions import Decisions, Pulse, Queue

MOST_WAYS = 6
"""Ways of raising a batch for one delivery that are tried, the latest first."""

AGAIN = 3
"""Times it is planned again with what was short before let ahead."""

FEW_WISHES = 3_000
"""Up to so many it is also planned with what weighs most first."""

Berths = list[tuple[Queue, int, int]]
"""Queue, the day on which rafts leave it, and how many."""


def by_date(engine: Engine, best: Incumbent) -> list[int]:
    """Return an answer in which deliveries are planned one by one, from one in which nothing is sown.

    Where the search is to end before all orders of the deliveries were tried, it is the best so far.

    Raises:
        Stopped: the search was to end before there was any.
    """
    chosen = best.built.chosen
    planning = _ByDate(chosen, engine.check)
    answers = [list(best.values)]

    def plan(order: Order) -> list[int] | None:
        """Plan in some order and keep the answer; return it, None where there is none."""
        found = placed_over(engine, best, planning.convoys(order))
        if found is None:
            return None
        values, kept = found
        batches, shared = dict.fromkeys(batch for convoy in kept for batch in convoy.plants), list(values)
        share_out(chosen, shared, batches, order, planning.into)
        # Rules that the sharing does not know of, such as the room in coolers, must not go unkept.
        answers.append(shared if best.parts.holds(shared) else served(engine, best, values, kept))
        return answers[-1]

    try:
        order = Ahead(chosen)
        values = plan(order.now)
        for _ in range(AGAIN):
            if values is None or not order.let_ahead(values):
                break
            values = plan(order.now)
        if len(chosen.frame.wishes) <= FEW_WISHES:
            plan(by_weight(chosen))
    except Stopped:
        if len(answers) == 1:
            raise
    return min(answers, key=best.score_of)


@dataclass(slots=True)
class _Heads:
    """Heads of one crop that are cut and not yet taken, by the day of the cut."""

    spare: dict[int, int] = field(default_factory=lambda: defaultdict(int))

    def take(self, first: int, last: int, wanted: int) -> int:
        """Take heads cut on some days, the oldest first; return how many there were."""
        got = 0
        days = (day for day in range(first, last + 1) if self.spare.get(day))
        for day in days:
            some = min(wanted - got, self.spare[day])
            self.spare[day] -= some
            got += some
        return got


class _ByDate:
    """One planning."""

    def __init__(self, chosen: Decisions, pulse: Pulse) -> None:
        self._chosen, self._pulse = chosen, pulse
        self._raising = Raising(chosen)
        self._places = places_in(chosen)
        self._begin()

    def _begin(self) -> None:
        """Take an empty sheet."""
        self._sheet = Sheet(self._chosen)
        self._heads: dict[str, _Heads] = defaultdict(_Heads)
        self._found: list[Convoy] = []
        self._turns = BoxTurns(self._chosen.farm.boxes)
        self.into: dict[int, list[str]] = {}

    def convoys(self, order: Order) -> list[Convoy]:
        """Serve every wish in some order, and return the batches."""
        self._begin()
        for number, (index, wish) in enumerate(order):
            if not number % 16:
                self._pulse()
            sources = self._chosen.farm.products[wish.product].sources
            place = self._places.get(index)
            if place is None:
                self._serve_all(wish, sources, wish.amount)
            else:
                self._serve_place(index, wish, *place)
        return self._found

    def _serve_all(self, wish: Wish, sources: Mapping[str, int], missing: int) -> int:
        """Serve a wish with some crops (crop -> thousandths of heads a unit); return the units missing."""
        for crop, per_unit in sources.items():
            needed = ceil_div(missing * per_unit, MILLI)
            got = self._serve(wish, crop, needed) if needed else 0
            missing -= min(missing, got * MILLI // per_unit)
        return missing

    def _serve_place(self, index: int, wish: Wish, box: Box, slot: BoxSlot) -> None:
        """Fill a place of a box with what it holds on another day of its week, then with what comes next."""
        self.into[index] = []
        missing = wish.amount
        for held in self._turns.held(box, slot):
            missing = self._serve_product(index, wish, slot, held, missing)
        tried: set[str] = set()
        while missing:
            product = next((name for name in self._turns.next_for(box, slot) if name not in tried), None)
            if product is None:
                return
            tried.add(product)
            left = self._serve_product(index, wish, slot, product, missing)
            if left < missing:
                self._turns.put(box, slot, product)
                missing = left

    def _serve_product(self, index: int, wish: Wish, slot: BoxSlot, product: str, missing: int) -> int:
        crops = crops_of(self._chosen, slot, product)
        sources = self._chosen.farm.products[wish.product].sources
        left = self._serve_all(wish, {crop: sources[crop] for crop in crops}, missing)
        if left < missing:
            self.into[index] += crops
        return left

    def _serve(self, wish: Wish, crop: str, needed: int) -> int:
        """Return the heads of a crop that a wish gets: left over, then of new batches."""
        heads, opens = self._heads[crop], wish.first - wish.age
        got = heads.take(opens, wish.last, needed)
        for option, step in self._raising.ways(crop, opens, wish.last, MOST_WAYS):
            if got >= needed:
                break
            if self._sow(option, step, needed - got):
                got += heads.take(opens, wish.last, needed - got)
        return got

    def _sow(self, option: RaftSet, first: Cutting, needed: int) -> bool:
        """Sow a batch of full rafts for some heads, or as much of it as finds room; say whether any did."""
        crop = self._chosen.farm.crops[option.crop]
        per_raft = crop.finish.plants_per_unit
        rafts = ceil_div(ceil_div(needed * WHOLE_SHARE, crop.heads_share), per_raft)
        steps = self._raising.chain(option, first)
        while rafts:
            berths = self._berths(option, steps[-1].day, rafts)
            rafts = sum(count for _, _, count in berths)
            if rafts and self._raise(option, rafts * per_raft):
                self._set(option, steps, berths)
                return True
            rafts //= 2
        return False

    def _berths(self, option: RaftSet, emptied: int, rafts: int) -> Berths:
        """Find slots for rafts: where they can leave at once before where they wait."""
        sheet, kind = self._sheet, self._raising.group_of[option].kind
        found: Berths = []
        for queue in self._raising.queues_of[self._raising.group_of[option]]:
            leaves = sheet.leaving(queue.bundle, option.day, emptied)
            if leaves is not None and leaves in self._chosen.queues[queue]:
                free = sheet.row_free(queue.bundle, option.day, leaves)
                if free > 0:
                    found.append((queue, leaves, free))
        found.sort(key=lambda berth: berth[1])
        taken: Berths = []
        spare = sheet.owned(kind, option.day, max([emptied, *(leaves for _, leaves, _ in found)]))
        for queue, leaves, free in found:
            some = min(free, rafts, spare)
            if some > 0:
                taken.append((queue, leaves, some))
                rafts, spare = rafts - some, spare - some
        return taken

    def _raise(self, option: RaftSet, plants: int) -> bool:
        """Put a batch into trays and onto boards; False when they have no room for it."""
        filled = self._raising.nursery(option, plants)
        if filled is None or not all(self._sheet.fits(*each) for each in filled):
            return False
        for each in filled:
            self._sheet.add(*each)
        return True

    def _set(self, option: RaftSet, steps: list[Cutting], berths: Berths) -> None:
        """Set a raised batch on rafts, and note it as a convoy."""
        chosen, sheet = self._chosen, self._sheet
        crop, group = chosen.farm.crops[option.crop], self._raising.group_of[option]
        rafts = sum(count for _, _, count in berths)
        plants = rafts * crop.finish.plants_per_unit
        last = steps[-1].day
        amounts: dict[int, int] = defaultdict(int)
        for step in steps:
            amounts[chosen.cut_plants[option, step].index] += plants
            self._heads[option.crop].spare[step.day] += share_down(plants, crop.heads_share)
        if crop.cuts > 1:
            amounts[chosen.leaving[option][last][0].index] += plants
        amounts[chosen.rafts[group, last].index] += rafts
        for queue, leaves, count in berths:
            amounts[chosen.queues[queue][leaves].index] += count
            sheet.put(queue.bundle, option.day, leaves, count)
            sheet.own(group.kind, option.day, leaves, count)
        self._found.append(Convoy(day=option.day, plants={option: plants}, amounts=dict(amounts)))
