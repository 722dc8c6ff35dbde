"""A planning on paper: deliveries one by one, in some order; what is left of one stands for the next.

As in :mod:`scheduler.model.first.by_date`, and more: plants that no delivery has claimed yet stay on their
raft while it can keep its slot, and substitutes are taken where what was ordered has no room. Into a place of
a box goes the product that takes least room on the rafts of those that may come next, or, where none fills
the place, the one that fills most of it.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from scheduler.farm.farm import Product
from scheduler.farm.orders.box_turns import BoxTurns
from scheduler.farm.orders.boxes import Box, BoxSlot
from scheduler.farm.orders.mixes import heads_for, units_made
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div, share_down
from scheduler.model.first.batches import Batch, Berth, Give
from scheduler.model.first.ledger import Ledger, Stay
from scheduler.model.first.raising import Raising, Way
from scheduler.model.first.sharing import Order
from scheduler.model.options.frame import Wish
from scheduler.model.options.options import Cutting, RaftSet, TrayOut
from scheduler.model.variables.box_picks import crops_of, places_in
from scheduler.model.variables.decisions import Decisions, Pulse, Queue, UnitGroup, cells_of

MOST_WAYS = 12
"""Ways of raising a batch for one delivery that are tried, the latest first."""


class OnPaper:
    """A farm on paper, whose season is planned again and again in other orders.

    Attributes:
        batches: those of the last planning.
        short: wish -> units it was short of then.
    """

    def __init__(self, chosen: Decisions, pulse: Pulse, values: Sequence[int]) -> None:
        """Note what is asked again and again, and what beds give to boxes in an answer."""
        self._chosen, self._pulse = chosen, pulse
        self._raising = Raising(chosen)
        self._ways: dict[tuple[str, int, int], list[Way]] = {}
        self._places = places_in(chosen)
        self._parcels: dict[int, list[int]] = defaultdict(list)
        for number, parcel in enumerate(chosen.parcels):
            self._parcels[parcel.wish].append(number)
        self._grown = {crop for ways in (self._raising.by_cut, self._raising.in_trays) for crop, _ in ways}
        self._sheet = Ledger(chosen)
        self._of_crop: dict[str, list[Batch]] = defaultdict(list)
        self._turns = BoxTurns(chosen.farm.boxes)
        for (spot, product), pick in chosen.picks.items():
            if values[pick.index]:
                self._turns.put(*self._places[chosen.box_wishes[spot][0]], product)
        self._served: list[int] = []
        self._marks: list[int] = []
        self.batches: list[Batch] = []
        self.short: dict[int, int] = {}

    def group_of(self, option: RaftSet) -> UnitGroup:
        """Return the units that the plants of a batch share with others."""
        return self._raising.group_of[option]

    def knows(self, index: int) -> bool:
        """Say whether any batch on rafts or in trays could go into a wish: beds are not on the paper."""
        for number in self._parcels[index]:
            product = self._chosen.farm.products[self._chosen.parcels[number].product]
            there = self._grown.intersection(product.sources)
            if len(there) == len(product.sources) or (there and not product.parts):
                return True
        return False

    def plan(self, order: Order) -> Mapping[int, int]:
        """Serve every wish in some order; return the units that each is short of.

        What stands at the head of the order as it did the last time is not planned again.
        """
        turns = [index for index, _ in order]
        pairs = zip(self._served, turns, strict=False)
        same = next((n for n, (old, new) in enumerate(pairs) if old != new), len(self._served))
        if same < len(self._served):
            self._sheet.back_to(self._marks[same])
        del self._served[same:], self._marks[same:]
        for number, (index, wish) in enumerate(order[same:]):
            if not number % 16:
                self._pulse()
            self._served.append(index)
            self._marks.append(self._sheet.mark())
            missing = self._serve_wish(index, wish)
            if missing and index in self._chosen.whole:
                self._sheet.back_to(self._marks[-1])
                missing = wish.amount
            if missing:
                self.short[index] = missing
                self._sheet.note(lambda index=index: self.short.pop(index))  # type: ignore[misc]
        return self.short

    def _serve_wish(self, index: int, wish: Wish) -> int:
        """Serve one wish, return the units missing."""
        if index in self._places:
            return self._serve_place(index, wish, *self._places[index])
        missing = wish.amount
        for number in self._parcels[index]:
            product = self._chosen.farm.products[self._chosen.parcels[number].product]
            if missing and product.parts:
                missing = self._serve_mix(number, wish, product, missing)
            elif missing:
                missing = self._serve_all(number, wish, product.sources, missing)
        return missing

    def _serve_mix(self, parcel: int, wish: Wish, mix: Product, missing: int) -> int:
        """Serve a wish with all parts of a mix, of which no bag lacks one; return the units missing."""
        mark, units = self._sheet.mark(), missing
        while units:
            needed = heads_for(mix, units)
            got = {crop: self._serve(parcel, wish, crop, heads) for crop, heads in needed.items()}
            made = units_made(mix, got)
            if made >= units:
                return missing - units
            self._sheet.back_to(mark)
            units = made
        return missing

    def _serve_all(self, parcel: int, wish: Wish, sources: Mapping[str, int], missing: int) -> int:
        """Serve a wish with some crops (crop -> thousandths of heads a unit); return the units missing."""
        for crop, per_unit in sources.items():
            needed = ceil_div(missing * per_unit, MILLI)
            got = self._serve(parcel, wish, crop, needed) if needed else 0
            missing -= min(missing, got * MILLI // per_unit)
        return missing

    def _serve_place(self, index: int, wish: Wish, box: Box, slot: BoxSlot) -> int:
        """Fill a place of a box with what it holds on another day of its week, then with what comes next."""
        missing = wish.amount
        for held in self._turns.held(box, slot):
            missing = self._serve_product(index, wish, slot, (held, missing))
        while missing:
            found: list[tuple[int, str]] = []
            for product in self._next_for(index, wish, (box, slot), missing):
                mark = self._sheet.mark()
                left = self._serve_product(index, wish, slot, (product, missing))
                if left < missing:
                    found.append((left, product))
                if not left:
                    break
                self._sheet.back_to(mark)
            if not found:
                return missing
            left, product = min(found, key=lambda each: each[0])
            if left:
                self._serve_product(index, wish, slot, (product, missing))
            self._turns.put(box, slot, product)
            self._sheet.note(lambda product=product: self._turns.take_out(box, slot, product))  # type: ignore[misc]
            missing = left
        return 0

    def _next_for(self, index: int, wish: Wish, spot: tuple[Box, BoxSlot], missing: int) -> list[str]:
        """Return what may come next into a place: favourites first, then what takes least room."""
        sources = self._chosen.farm.products[wish.product].sources
        room = {
            name: min(
                self._room(crop, ceil_div(missing * sources[crop], MILLI))
                for crop in crops_of(self._chosen, spot[1], name)
            )
            for name in self._turns.next_for(*spot)
        }
        return sorted(room, key=lambda name: (self._turns.liking(spot[0], name), room[name]))

    def _room(self, name: str, heads: int) -> float:
        """Return the slot-days of rafts that some heads of a crop take, of one cut."""
        crop = self._chosen.farm.crops[name]
        per_raft = share_down(crop.finish.plants_per_unit, crop.heads_share)
        stay = crop.finish.days + (crop.cuts - 1) * crop.cut_interval
        return ceil_div(heads, max(1, per_raft)) * stay / crop.cuts

    def _serve_product(self, index: int, wish: Wish, slot: BoxSlot, of: tuple[str, int]) -> int:
        """Serve a place of a box with a product, of which so many units are missing; return those left."""
        product, missing = of
        asked = self._chosen.farm.products[wish.product]
        if asked.parts:
            return self._serve_mix(index, wish, asked, missing)
        crops = crops_of(self._chosen, slot, product)
        return self._serve_all(index, wish, {crop: asked.sources[crop] for crop in crops}, missing)

    def _serve(self, parcel: int, wish: Wish, crop: str, needed: int) -> int:
        """Return the heads of a crop that a wish gets: of what stands, then of new batches."""
        opens, last, got = wish.first - wish.age, wish.last, 0
        for batch in self._of_crop[crop]:
            if got < needed:
                got += self._from_standing(batch, parcel, (opens, last), needed - got)
        for option, step in self._ways_to(crop, opens, last):
            if got >= needed:
                break
            batch_sown = self._sown(option, step, needed - got)
            if batch_sown is not None:
                got += self._first_heads(batch_sown, step, parcel, needed - got)
        return got

    def _ways_to(self, crop: str, opens: int, last: int) -> list[Way]:
        """Return the ways to cut a crop on some days, the one sown last first."""
        key = crop, opens, last
        if key not in self._ways:
            on_rafts = self._raising.ways(*key, MOST_WAYS)
            self._ways[key] = [*on_rafts, *self._raising.tray_ways(*key, MOST_WAYS)]
        return self._ways[key]

    def _take(self, batch: Batch, give: Give) -> bool:
        """Note what a delivery takes; False where it may take nothing that is cut on that day."""
        if (batch.option.crop, give.day, give.parcel) not in self._chosen.fills:
            return False
        batch.gives.append(give)
        self._sheet.note(batch.gives.pop)
        return True

    def _from_standing(self, batch: Batch, parcel: int, fresh: tuple[int, int], needed: int) -> int:
        """Take heads that are cut anyway, or plants that stand on a raft and nobody has claimed."""
        got = 0
        for key, heads in batch.spare.items():
            some = min(needed - got, heads)
            if some > 0 and fresh[0] <= key[1] <= fresh[1] and self._take(batch, Give(parcel, *key, some)):
                self._spend(batch, key, some)
                got += some
        if batch.left and got < needed:
            got += self._from_left(batch, parcel, fresh, needed - got)
        return got

    def _spend(self, batch: Batch, key: tuple[int, int], heads: int) -> None:
        before = batch.spare[key]
        batch.spare[key] = before - heads
        self._sheet.note(lambda: batch.spare.__setitem__(key, before))

    def _from_left(self, batch: Batch, parcel: int, fresh: tuple[int, int], needed: int) -> int:
        """Cut what is left on a raft; it stays where it is until then, if nothing stands in the way."""
        share = self._chosen.farm.crops[batch.option.crop].heads_share
        heads = min(needed, share_down(batch.left, share))
        berth = batch.berths[-1]
        for step in batch.cuttings if heads else ():
            if not fresh[0] <= step.day <= fresh[1] or not self._sheet.may_stay(berth.stay, step.day):
                continue
            until = max(step.day, berth.stay.leaves)
            allowed = until in self._chosen.queues[berth.queue]
            if allowed and self._take(batch, Give(parcel, step.number, step.day, heads)):
                self._sheet.stay(berth.stay, until)
                self._cut(batch, step, ceil_div(heads * WHOLE_SHARE, share))
                return heads
        return 0

    def _cut(self, batch: Batch, step: Cutting, plants: int) -> None:
        """Cut plants of what is left of a crop that is cut once."""
        berth, plants = batch.berths[-1], min(plants, batch.left)
        emptied = berth.emptied
        batch.cuts[step] += plants
        batch.left -= plants
        berth.emptied = max(emptied, step.day)

        def undo() -> None:
            batch.cuts[step] -= plants
            batch.left += plants
            berth.emptied = emptied

        self._sheet.note(undo)

    def _first_heads(self, batch: Batch, step: Cutting, parcel: int, needed: int) -> int:
        """Take the heads a batch was sown for."""
        share = self._chosen.farm.crops[batch.option.crop].heads_share
        heads = min(needed, share_down(batch.plants, share))
        if not self._take(batch, Give(parcel, step.number, step.day, heads)):
            return 0
        if batch.spare:
            self._spend(batch, (step.number, step.day), heads)
        else:
            self._cut(batch, step, ceil_div(heads * WHOLE_SHARE, share))
        return heads

    def _sown(self, option: RaftSet | TrayOut, first: Cutting, needed: int) -> Batch | None:
        """Sow a batch of full rafts for some heads, or as much of it as finds room; None if none does."""
        if isinstance(option, TrayOut):
            return self._sown_in_trays(option, needed)
        crop = self._chosen.farm.crops[option.crop]
        per_raft = crop.finish.plants_per_unit
        rafts = ceil_div(ceil_div(needed * WHOLE_SHARE, crop.heads_share), per_raft)
        steps = self._raising.chain(option, first)
        while rafts > 0:
            stays = self._berths(option, steps[-1].day, rafts)
            rafts = sum(stay.rafts for _, stay in stays)
            if rafts and self._raise(option, rafts * per_raft):
                return self._set(option, steps, stays)
            rafts -= 1
        return None

    def _sown_in_trays(self, option: TrayOut, needed: int) -> Batch | None:
        """Sow rows of trays that are cut as they stand, as :meth:`_sown` does rafts."""
        share = self._chosen.farm.crops[option.crop].heads_share
        cells, filled = cells_of(self._chosen.farm, option), self._raising.group_of[option]
        for rows in range(ceil_div(ceil_div(needed * WHOLE_SHARE, share), cells), 0, -1):
            if self._sheet.fits(filled, rows, option.day):
                self._sheet.raise_in(filled, rows, option.day)
                batch = Batch(option, rows * cells, rows=rows)
                batch.spare.update(dict.fromkeys(option.numbered_cuts, share_down(batch.plants, share)))
                self._note(batch)
                return batch
        return None

    def _note(self, batch: Batch) -> None:
        """Note a batch that was sown."""
        for found in (self.batches, self._of_crop[batch.option.crop]):
            found.append(batch)
            self._sheet.note(found.pop)

    def _berths(self, option: RaftSet, emptied: int, rafts: int) -> list[tuple[Queue, Stay]]:
        """Find slots for rafts: where they leave at once, then where others leave soon before and after."""
        sheet, kind = self._sheet, self._raising.group_of[option].kind
        found = []
        for queue in self._raising.queues_of[self._raising.group_of[option]]:
            gap = sheet.gap(queue.bundle, option.day, emptied)
            if gap is not None and gap.leaves in self._chosen.queues[queue]:
                free = sheet.row_free(queue.bundle, option.day, gap.leaves)
                if free > 0:
                    found.append((gap, queue, free))
        found.sort(key=lambda berth: berth[0])
        taken: list[tuple[Queue, Stay]] = []
        spare = sheet.owned(kind, option.day, max([emptied, *(gap.leaves for gap, _, _ in found)]))
        for gap, queue, free in found:
            some = min(free, rafts, spare)
            if some > 0:
                taken.append((queue, Stay(queue.bundle, kind, option.day, gap.leaves, some)))
                rafts, spare = rafts - some, spare - some
        return taken

    def _raise(self, option: RaftSet, plants: int) -> bool:
        """Put a batch into trays and onto boards; False when they have no room for it."""
        filled = self._raising.nursery(option, plants)
        if filled is None or not all(self._sheet.fits(*each) for each in filled):
            return False
        for each in filled:
            self._sheet.raise_in(*each)
        return True

    def _set(self, option: RaftSet, steps: list[Cutting], stays: list[tuple[Queue, Stay]]) -> Batch:
        """Set a raised batch on rafts; the last raft is kept apart, for what is left stands on it."""
        crop = self._chosen.farm.crops[option.crop]
        batch = Batch(option, sum(stay.rafts for _, stay in stays) * crop.finish.plants_per_unit)
        last, (queue, stay) = steps[-1].day, stays[-1]
        alone = Stay(stay.bundle, stay.kind, stay.enters, stay.leaves, 1)
        stay.rafts -= 1
        for row, some in [*stays, (queue, alone)]:
            if some.rafts:
                batch.berths.append(Berth(row, self._sheet.stand(some), last))
        if crop.cuts > 1:
            batch.cuts.update(dict.fromkeys(steps, batch.plants))
            heads = share_down(batch.plants, crop.heads_share)
            batch.spare.update({(step.number, step.day): heads for step in steps})
        else:
            batch.left = batch.plants
        self._note(batch)
        return batch
