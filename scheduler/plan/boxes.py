"""What boxes hold and lack, worked out from a plan's fills and the farm alone."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.orders.box_aims import KINDS, VALUE, Aim, aims
from scheduler.farm.orders.boxes import DISLIKE, FAVOURITE, Box, BoxDay, BoxShare, BoxSlot
from scheduler.farm.units import MILLI, ceil_div
from scheduler.plan.rows import DemandRow, FillRow, Plan
from scheduler.plan.rows_boxes import BoxItemRow, BoxRow
from scheduler.plan.tally import demand_heads, units_sold

Spot = tuple[str, int, str]
"""Share, number of the box, name of the slot."""

FULL = "full"
"""State of a box all of whose places are filled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What boxes hold.

    Attributes:
        units: place of a box -> product -> day -> whole units of it that all boxes of the day get.
        demands: place of a box -> day -> name of its demand.
        little: place of a box -> products in it of which there is too little to count as in the box.
    """

    units: Mapping[Spot, Mapping[str, Mapping[int, int]]]
    demands: Mapping[Spot, Mapping[int, str]]
    little: Mapping[Spot, frozenset[str]]

    def products(self, box: Box, slot: str) -> tuple[str, ...]:
        """Return the products in a place of a box, in the order of its category."""
        return tuple(self.units.get((box.share, box.number, slot), ()))

    def demands_on(self, share: BoxShare, box: Box, day: int) -> list[str]:
        """Return the demands of a box on one day, in the order of its places."""
        places = (self.demands.get((share.name, box.number, slot.name), {}) for slot in share.slots)
        return [days[day] for days in places if day in days]

    def in_box(self, share: BoxShare, box: Box) -> frozenset[str]:
        """Return all products of a box, those of the same week before the plan included."""
        return box.begun | {name for slot in share.slots for name in self.products(box, slot.name)}

    def counted(self, share: BoxShare, box: Box) -> frozenset[str]:
        """Return the products of a box that count for its kinds and as favourites."""
        found = {
            name
            for slot in share.slots
            for name in self.products(box, slot.name)
            if name not in self.little[box.share, box.number, slot.name]
        }
        return box.begun | found


def held(farm: Farm, fills: Iterable[FillRow]) -> Held:
    """Return what the boxes of a farm hold; a product counts as soon as one head of it goes in."""
    heads = demand_heads(fills)
    units: dict[Spot, dict[str, dict[int, int]]] = defaultdict(dict)
    demands: dict[Spot, dict[int, str]] = defaultdict(dict)
    product_of = {demand.name: demand.product for demand in farm.demands if demand.name in farm.boxes.places}
    for name, place in farm.boxes.places.items():
        spot = (place.share, place.number, place.slot)
        demands[spot][place.day] = name
        category = farm.boxes.categories[product_of[name]]
        for product in category.prices:
            own = {
                crop: count
                for crop, count in heads.get(name, {}).items()
                if category.product_of.get(crop) == product
            }
            if any(own.values()):
                number = units_sold(farm, category.name, own)
                units[spot].setdefault(product, {})[place.day] = number
    return Held(units=units, demands=demands, little=_little(farm, units, demands))


def _little(
    farm: Farm,
    units: Mapping[Spot, Mapping[str, Mapping[int, int]]],
    demands: Mapping[Spot, Mapping[int, str]],
) -> dict[Spot, frozenset[str]]:
    amount = {demand.name: demand.amount for demand in farm.demands if demand.name in farm.boxes.places}
    slots = {(name, slot.name): slot for name, share in farm.boxes.shares.items() for slot in share.slots}
    found = {}
    for spot, products in units.items():
        needed = sum(amount[name] for name in demands[spot].values())
        least = slots[spot[0], spot[2]].least_counted(needed)
        little = {name for name, days in products.items() if least > 1 and sum(days.values()) < least}
        found[spot] = frozenset(little)
    return found


def box_rows(farm: Farm, plan: Plan) -> list[BoxRow]:
    """Return one row for each share and delivery day; the plan's fills and demands must be there already."""
    if not farm.boxes:
        return []
    found, asked = held(farm, plan.fills), {row.demand: row for row in plan.demands}
    missed: dict[tuple[str, int], _Missed] = defaultdict(lambda: defaultdict(list))
    for aim, number in lacks(farm, found):
        missed[aim.box.share, aim.box.number][aim.kind].append((aim, number))
    rows: list[BoxRow] = []
    for share in farm.boxes.shares.values():
        sequence = _sequence(farm, share, found)
        counted = [box.products for box in share.past]
        counted += [found.counted(share, box) for box in farm.boxes.of_share(share.name)]
        for box in farm.boxes.of_share(share.name):
            until = _end(share, box)
            story = _BoxStory(
                box=box,
                sequence=sequence[:until],
                kinds=len(frozenset().union(*counted[max(0, until - share.kinds_boxes) : until])),
                missed=missed[share.name, box.number],
            )
            for each in box.days:
                names = found.demands_on(share, box, each.day)
                rows.append(_box_row(farm, found, story, each, [asked[name] for name in names]))
    return sorted(rows, key=lambda row: (row.day, row.share))


_Missed = dict[str, list[tuple[Aim, int]]]
"""Kind of aim -> aims of one box, with what each is missed by."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _BoxStory:
    """A box as it is on each of its days.

    Attributes:
        box: the box.
        sequence: products of the boxes of its share one after another, itself last.
        kinds: different products that count in it and the boxes before it, as many as the share looks at.
        missed: what it lacks.
    """

    box: Box
    sequence: list[frozenset[str]]
    kinds: int
    missed: _Missed


def _box_row(farm: Farm, found: Held, story: _BoxStory, each: BoxDay, asked: list[DemandRow]) -> BoxRow:
    """Return the row of a box on one of its days, on which its places ask for the demands ``asked``."""
    box, share = story.box, farm.boxes.shares[story.box.share]
    *before, own = story.sequence
    least, most = worth(farm, share, box, found)
    return BoxRow(
        share=share.name,
        day=each.day,
        boxes=each.boxes,
        half_boxes=each.halves,
        state=_state(asked),
        value=_cents(least),
        highest=_cents(most),
        half_value=_cents(worth(farm, share, box, found, half=True)[0]),
        products=len(own),
        repeats=len(own & before[-1]) if before else 0,
        kinds=story.kinds,
        below=sum(number for _, number in story.missed[VALUE]),
        kinds_short=sum(number for _, number in story.missed[KINDS]),
        missed=_named(story.missed[FAVOURITE]),
        disliked=_named(story.missed[DISLIKE]),
        short=sum(row.missing for row in asked),
        reported=each.day < farm.calendar.days,
    )


def _sequence(farm: Farm, share: BoxShare, found: Held) -> list[frozenset[str]]:
    """Return the products of every box of a share one after another, those before the plan first."""
    own = [found.in_box(share, box) for box in farm.boxes.of_share(share.name)]
    return [*(box.products for box in share.past), *own]


def _state(asked: list[DemandRow]) -> str:
    """Return ``full``, ``short``, or ``too early`` or ``out of reach`` where nothing else is missing."""
    states = [row.state for row in asked if row.state != "filled"]
    return "short" if "short" in states else min(states, default=FULL)


def _named(lacking: list[tuple[Aim, int]]) -> str:
    return "; ".join(aim.product for aim, number in lacking if number)


def _cents(worth: int) -> int:
    """Return thousandths of hundredths of money as hundredths, rounded down."""
    return worth // MILLI


def worth(farm: Farm, share: BoxShare, box: Box, found: Held, *, half: bool = False) -> tuple[int, int]:
    """Return what a box is worth at least and at most, in thousandths of hundredths of money.

    A box holds one product of each place; what of it is short of the boxes' number does not count here.
    """
    low = high = 0
    for slot in share.slots:
        prices = farm.boxes.categories[slot.category].prices
        amount = slot.half_amount if half else slot.amount
        worths = [amount * prices[product] for product in found.products(box, slot.name)]
        if worths:
            low, high = low + min(worths), high + max(worths)
    return low, high


def lacks(farm: Farm, found: Held) -> Iterator[tuple[Aim, int]]:
    """Yield every aim of the boxes with what it is missed by: hundredths, kinds, or 1."""
    if not farm.boxes:
        return
    shares = farm.boxes.shares
    for aim in aims(farm):
        share = shares[aim.box.share]
        if aim.kind == VALUE:
            low, _ = worth(farm, share, aim.box, found)
            yield aim, max(0, ceil_div(aim.wanted * MILLI - low, MILLI))
        elif aim.kind == FAVOURITE:
            yield aim, int(aim.product not in found.counted(share, aim.box))
        elif aim.kind == DISLIKE:
            slots = [slot for slot in share.slots if aim.product in found.products(aim.box, slot.name)]
            yield aim, len(slots)
        elif aim.stretch is not None:
            own = [found.counted(share, box) for box in aim.stretch.boxes]
            kinds = frozenset().union(*own, *(box.products for box in aim.stretch.past))
            yield aim, max(0, aim.wanted - len(kinds))


def lacking_weight(farm: Farm, plan: Plan) -> int:
    """Return what all that boxes lack of their aims weighs, in the flexible goal's weighted value."""
    return sum(aim.weight * number for aim, number in lacks(farm, held(farm, plan.fills)))


def box_item_rows(farm: Farm, plan: Plan) -> list[BoxItemRow]:
    """Return what is in each place of each box, day by day; one row with a blank product where nothing is."""
    if not farm.boxes:
        return []
    found, filled = held(farm, plan.fills), {row.demand: row for row in plan.demands}
    rows: list[BoxItemRow] = []
    for share in farm.boxes.shares.values():
        sequence = _sequence(farm, share, found)
        for box in farm.boxes.of_share(share.name):
            for each in box.days:
                for slot in share.slots:
                    name = found.demands.get((share.name, box.number, slot.name), {}).get(each.day)
                    if name is not None:
                        rows += _items(found, (box, each, slot), filled[name], sequence[: _end(share, box)])
    return sorted(rows, key=lambda row: (row.day, row.share))


def _end(share: BoxShare, box: Box) -> int:
    return len(share.past) + box.number + 1


def _items(
    found: Held, at: tuple[Box, BoxDay, BoxSlot], asked: DemandRow, sequence: list[frozenset[str]]
) -> Iterator[BoxItemRow]:
    box, each, slot = at
    spot = (box.share, box.number, slot.name)
    for product in found.products(box, slot.name) or ("",):
        units = found.units[spot].get(product, {}).get(each.day, 0) if product else 0
        running = 0
        for products in reversed(sequence):
            if product not in products:
                break
            running += 1
        yield BoxItemRow(
            share=box.share,
            day=each.day,
            slot=slot.name,
            category=slot.category,
            product=product,
            full_box=slot.amount / MILLI,
            half_box=slot.half_amount / MILLI,
            wanted=asked.amount,
            filled=units,
            running=running,
            demand=asked.demand,
        )


def boxed_units(farm: Farm, fills: Iterable[FillRow]) -> list[tuple[str, int, int]]:
    """Return (product, day of its first cut, units) of each product in each place of each day's boxes."""
    rows = list(fills)
    found = held(farm, rows)
    first: dict[tuple[str, str], int] = {}
    for row in rows:
        key = row.demand, row.crop
        first[key] = min(row.cut_day, first.get(key, row.cut_day))
    given = []
    for spot, products in found.units.items():
        for product, days in products.items():
            for day, units in days.items():
                name = found.demands[spot][day]
                cuts = [first[name, crop] for crop in farm.products[product].sources if (name, crop) in first]
                given.append((product, min(cuts), units))
    return given
