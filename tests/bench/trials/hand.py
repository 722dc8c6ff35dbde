"""Planning by hand: backward from each delivery, one after another, as a careful grower does on paper.

For each delivery, by date: first what is left on rafts that stand ready anyway, then a new batch, sown as
late as the stage days and free space allow. Rafts are filled; what one delivery leaves may serve a later
one, if the raft can keep its slot until then. Nothing that has been planned is moved again.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.box_turns import BoxTurns
from scheduler.farm.orders.boxes import BoxPlace
from scheduler.farm.orders.goods import crops_for
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div, share_down

from .ledger import Ledger, Queue, Stay
from .ways import Way, Ways

LONG_PAST = 14
"""Days after which nobody asks for a batch any more; a target's week begins that much earlier at most."""

Place = tuple[Queue, int, int]
"""A queue, the day on which rafts can leave it, and how many."""


@dataclass(slots=True, kw_only=True)
class Batch:
    """Plants of one way, on full rafts of their own.

    Attributes:
        left: plants of a crop cut once that no delivery has claimed yet.
        cuts: (cut number, day, day of the cut before) -> plants.
        taken, spare: (cut number, day) -> heads that deliveries take, and that nobody takes yet.
        rafts: queue and stay of its rafts; the last stay is one raft with what is left.
    """

    way: Way
    plants: int
    left: int
    cuts: dict[tuple[int, int, int | None], int]
    taken: dict[tuple[int, int], int] = field(default_factory=lambda: defaultdict(int))
    spare: dict[tuple[int, int], int]
    rafts: list[tuple[Queue, Stay]]


@dataclass(slots=True)
class Sheet:
    """A plan on paper: batches, and heads by crop, cut day, demand, and the substitute they are, if any."""

    batches: list[Batch] = field(default_factory=list)
    fills: dict[tuple[str, int, str, str], int] = field(default_factory=lambda: defaultdict(int))


@dataclass(frozen=True, slots=True)
class Want:
    """A demand, and the product it is filled with."""

    demand: Demand
    product: str

    @property
    def substitute(self) -> str:
        """The product where it is not the one asked for, else nothing."""
        return "" if self.product == self.demand.product else self.product


class Hand:
    """One planning by hand."""

    def __init__(self, farm: Farm, ways: Ways, ledger: Ledger) -> None:
        """Start with an empty sheet."""
        self._farm, self._ways, self._ledger = farm, ways, ledger
        self._of_crop: dict[str, list[Batch]] = defaultdict(list)
        self._last_queue: dict[str, int] = defaultdict(int)
        self._useful = _useful_days(farm)
        self._boxes = {(box.share, box.number): box for box in farm.boxes.boxes}
        self._turns = BoxTurns(farm.boxes)
        self.sheet = Sheet()

    def plan(self) -> Sheet:
        """Serve every demand in order of its date, the more pressing first on one day."""
        for demand in sorted(self._farm.demands, key=lambda want: (want.last, not want.firm, want.priority)):
            place = self._farm.boxes.places.get(demand.name)
            if place is not None:
                self._fill_place(demand, place)
                continue
            missing = demand.amount
            for product in demand.products:
                missing = self._serve(Want(demand, product), self._farm.products[product].sources, missing)
        for batch in self.sheet.batches:
            if batch.left:
                key = (1, batch.rafts[-1][1].emptied, None)
                batch.cuts[key] = batch.cuts.get(key, 0) + batch.left
        return self.sheet

    def _serve(self, want: Want, sources: Mapping[str, int], missing: int) -> int:
        """Serve a demand with some crops (crop -> thousandths of heads a unit); return the units missing."""
        for crop, per_unit in sources.items():
            needed = ceil_div(missing * per_unit, MILLI)
            got = self._from_standing(want, crop, needed)
            got += self._from_new(want, self._farm.crops[crop], needed - got)
            missing -= min(missing, got * MILLI // per_unit)
        return missing

    def _fill_place(self, demand: Demand, place: BoxPlace) -> None:
        """Fill a place of a box: as on other days of its week, then with the products whose turn it is."""
        boxes = self._farm.boxes
        box = self._boxes[place.share, place.number]
        slot = next(slot for slot in boxes.shares[place.share].slots if slot.name == place.slot)
        category, sources = boxes.categories[slot.category], self._farm.products[slot.category].sources
        want, missing, tried = Want(demand, demand.product), demand.amount, set[str]()

        def serve(product: str) -> int:
            own = {crop: each for crop, each in sources.items() if category.product_of[crop] == product}
            return self._serve(want, own, missing)

        for held in self._turns.held(box, slot):
            missing = serve(held)
        while missing:
            product = next((name for name in self._turns.next_for(box, slot) if name not in tried), None)
            if product is None:
                return
            tried.add(product)
            left = serve(product)
            if left < missing:
                self._turns.put(box, slot, product)
                missing = left

    def _take(self, batch: Batch, key: tuple[int, int], heads: int, want: Want) -> int:
        batch.taken[key] += heads
        self.sheet.fills[batch.way.crop, key[1], want.demand.name, want.substitute] += heads
        return heads

    def _from_standing(self, want: Want, crop: str, needed: int) -> int:
        """Take heads that are cut anyway, or plants that stand on a raft and nobody has claimed."""
        fresh = _fresh(self._farm, want.demand)
        standing = [b for b in self._of_crop[crop] if _last_day(b) >= fresh.start - LONG_PAST]
        self._of_crop[crop] = standing
        got = 0
        for batch in standing:
            for key, heads in batch.spare.items():
                if heads and key[1] in fresh and got < needed:
                    some = min(needed - got, heads)
                    batch.spare[key] -= some
                    got += self._take(batch, key, some, want)
            if batch.left and got < needed:
                got += self._from_left(batch, want, fresh, needed - got)
        return got

    def _from_left(self, batch: Batch, want: Want, fresh: range, needed: int) -> int:
        """Cut what is left on a raft; it stays where it is until then, if nothing stands in the way."""
        share = self._farm.crops[batch.way.crop].heads_share
        heads = min(needed, share_down(batch.left, share))
        for day in batch.way.cut_days:
            if heads and day in fresh and self._can_keep(batch, day):
                plants = ceil_div(heads * WHOLE_SHARE, share)
                batch.cuts[1, day, None] = batch.cuts.get((1, day, None), 0) + plants
                batch.left -= plants
                return self._take(batch, (1, day), heads, want)
        return 0

    def _can_keep(self, batch: Batch, day: int) -> bool:
        """Let the raft with what is left stand until a day, if it can; say whether it does."""
        queue, stay = batch.rafts[-1]
        if day <= stay.leaves:
            stay.emptied = max(stay.emptied, day)
            return True
        kind = self._farm.crops[batch.way.crop].finish.unit
        start, until = stay.leaves + self._ledger.wash[kind], day + self._ledger.wash[kind]
        if not queue.can_stay_until(stay, day) or self._ledger.rafts[kind].free(start, until) < stay.rafts:
            return False
        self._ledger.rafts[kind].add(start, until, stay.rafts)
        queue.keep_until(stay, day)
        return True

    def _from_new(self, want: Want, crop: Crop, needed: int) -> int:
        """Sow new batches, as late as may be, until there is enough or nothing more fits."""
        got = 0
        fresh = _fresh(self._farm, want.demand)
        found = [(way, day) for day in reversed(fresh) for way in self._ways.to_cut_on(crop.name, day)]
        for way, day in sorted(found, key=lambda pair: (-pair[0].sown, -pair[0].raft_day, -pair[1])):
            if got >= needed:
                break
            plants = ceil_div((needed - got) * WHOLE_SHARE, crop.heads_share)
            batch = self._sown(crop, way, day, ceil_div(plants, crop.finish.plants_per_unit))
            if batch is not None:
                self.sheet.batches.append(batch)
                self._of_crop[crop.name].append(batch)
                got += self._first_heads(batch, crop, want, (day, needed - got))
        return got

    def _first_heads(self, batch: Batch, crop: Crop, want: Want, cut: tuple[int, int]) -> int:
        day, needed = cut
        heads = min(needed, share_down(batch.plants, crop.heads_share))
        if crop.cuts > 1:
            batch.spare[1, day] -= heads
        else:
            plants = ceil_div(heads * WHOLE_SHARE, crop.heads_share)
            batch.cuts[1, day, None] = plants
            batch.left = batch.plants - plants
        return self._take(batch, (1, day), heads, want)

    def _sown(self, crop: Crop, way: Way, day: int, rafts: int) -> Batch | None:
        """Sow a batch of some rafts, or as many as find room; None when none does."""
        cuts = self._chain(crop, day)
        places = self._rows_for(crop, way, cuts[-1], rafts)
        while places:
            number = sum(count for _, _, count in places)
            plants = number * crop.finish.plants_per_unit
            if self._raise(crop, way, plants):
                return self._set(crop, way, cuts, places)
            places = self._rows_for(crop, way, cuts[-1], number - 1) if number > 1 else []
        return None

    def _chain(self, crop: Crop, day: int) -> list[int]:
        """Return the days of all cuts of a raft: the first days that are of use to anybody."""
        days = [day]
        while len(days) < crop.cuts:
            later = [d for d in self._ways.recuts(crop, days[-1]) if d in self._useful[crop.name]]
            if not later:
                break
            days.append(later[0])
        return days

    def _rows_for(self, crop: Crop, way: Way, emptied: int, rafts: int) -> list[Place]:
        """Find slots for rafts: rows from which they can leave at once before rows in which they wait."""
        queues = self._ledger.queues
        kind = crop.finish.unit
        start = self._last_queue[crop.name]
        ready: list[Place] = []
        held: list[Place] = []
        missing = rafts
        for number in (*range(start, len(queues)), *range(start)):
            queue = queues[number]
            if missing <= 0:
                break
            leaves = queue.leaving(way.raft_day, emptied) if queue.names <= crop.lanes else None
            if leaves is None:
                continue
            free = queue.room.free(way.raft_day, leaves)
            if free > 0:
                (ready if leaves == emptied else held).append((queue, leaves, free))
                if leaves == emptied:
                    missing -= free
                    self._last_queue[crop.name] = number
        owned = self._ledger.rafts[kind]
        found: list[Place] = []
        for queue, leaves, free in [*ready, *held]:
            spare = owned.free(way.raft_day, leaves + self._ledger.wash[kind])
            some = min(free, rafts, spare - sum(count for _, _, count in found))
            if some > 0:
                found.append((queue, leaves, some))
                rafts -= some
        return found

    def _raise(self, crop: Crop, way: Way, plants: int) -> bool:
        """Put a batch into trays and onto boards; False when they have no room for it."""
        board, tray = crop.board, crop.tray
        rules, kind = self._farm.rules, self._farm.equipment[tray.unit]
        lot = (crop.name, way.sown)
        if board is not None and way.board_day is not None:
            set_on = ceil_div(plants * WHOLE_SHARE, board.survival)
            group = (board.unit, way.board_day, board.plants_per_unit if rules.share_boards else lot)
            if not self._ledger.boards.fits(group, board.plants_per_unit, set_on, way.raft_day):
                return False
            plants = set_on
        rows = ceil_div(plants * WHOLE_SHARE, kind.cells_per_row * tray.survival)
        leaves = way.raft_day if way.board_day is None else way.board_day
        sown = (tray.unit, way.sown, "shared" if rules.share_trays else lot)
        if not self._ledger.trays.fits(sown, kind.rows, rows, leaves):
            return False
        self._ledger.trays.add(sown, kind.rows, rows, leaves)
        if board is not None:
            self._ledger.boards.add(group, board.plants_per_unit, plants, way.raft_day)
        return True

    def _set(self, crop: Crop, way: Way, cuts: list[int], places: list[Place]) -> Batch:
        """Set a raised batch on rafts; the last raft is kept apart from the others."""
        rafts: list[tuple[Queue, Stay]] = []
        *_, (last, _, _) = places
        for queue, leaves, count in places:
            for some in (count - 1, 1) if queue is last else (count,):
                if some:
                    stay = Stay(way.raft_day, leaves, cuts[-1], some)
                    queue.put(stay)
                    rafts.append((queue, stay))
            until = leaves + self._ledger.wash[crop.finish.unit]
            self._ledger.rafts[crop.finish.unit].add(way.raft_day, until, count)
        plants = sum(count for _, _, count in places) * crop.finish.plants_per_unit
        batch = Batch(way=way, plants=plants, left=0, cuts={}, spare={}, rafts=rafts)
        before: int | None = None
        for number, day in enumerate(cuts if crop.cuts > 1 else [], start=1):
            batch.cuts[number, day, before] = plants
            batch.spare[number, day] = share_down(plants, crop.heads_share)
            before = day
        return batch


def _last_day(batch: Batch) -> int:
    return max([*batch.way.cut_days, *(day for _, day in batch.spare)])


def _fresh(farm: Farm, want: Demand) -> range:
    """Return the days on which what is cut is fresh enough for a demand."""
    return range(max(farm.today, want.first - want.max_age), want.last + 1)


def _useful_days(farm: Farm) -> dict[str, set[int]]:
    found: dict[str, set[int]] = defaultdict(set)
    for want in farm.demands:
        for crop in crops_for(farm, want):
            found[crop].update(_fresh(farm, want))
    return found
