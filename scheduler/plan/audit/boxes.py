"""Boxes: what goes into each place, no product twice or too often, and no box worth too much."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.orders.boxes import AT_MOST, NEVER, Box, BoxShare, BoxSlot, BoxWish
from scheduler.farm.units import MILLI
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger

Contents = dict[int, dict[str, set[str]]]
"""Number of a box -> name of a place -> products in it on all days of that week."""


def boxes(ledger: Ledger) -> Iterator[AuditFault]:
    """Report boxes that hold what they may not, the same twice, something too often, or too much."""
    contents: dict[str, Contents] = defaultdict(lambda: defaultdict(lambda: defaultdict(set)))
    plan = ledger.farm.boxes
    demands = {demand.name: demand for demand in ledger.farm.demands}
    for row in ledger.plan.fills:
        place = plan.places.get(row.demand)
        if place is not None and row.heads > 0 and row.demand in demands:
            category = plan.categories[demands[row.demand].product]
            # Heads of a strange crop are a fault of the deliveries, told there.
            if row.crop in category.product_of:
                contents[place.share][place.number][place.slot].add(category.product_of[row.crop])
    for share in plan.shares.values():
        own = contents[share.name]
        for box in plan.of_share(share.name):
            for slot in share.slots:
                yield from _place(ledger, share, box, slot, own[box.number][slot.name])
            yield from _one_box(ledger, share, box, own[box.number])
        for wish in share.wishes:
            if wish.kind == AT_MOST:
                yield from _too_often(ledger, share, own, wish)
        yield from _running(ledger, share, own)


def _fault(ledger: Ledger, box: Box, message: str) -> AuditFault:
    return ledger.fault("boxes", box.share, box.days[0].day, message)


def _place(
    ledger: Ledger, share: BoxShare, box: Box, slot: BoxSlot, products: set[str]
) -> Iterator[AuditFault]:
    if len(products) > slot.most_products:
        found = ", ".join(sorted(products))
        message = f"{slot.name} holds {found}; {slot.most_products} of them may be in it"
        yield _fault(ledger, box, message)
    begun = box.begun & set(ledger.farm.boxes.categories[slot.category].prices)
    for product in sorted(products):
        for wish in share.wishes:
            if wish.kind == NEVER and wish.product == product and wish.is_about(box):
                yield _fault(ledger, box, f"{product} in {slot.name}, which is never to come that week")
                break
        if begun and product not in begun:
            message = f"{product} in {slot.name}; boxes of that week held {', '.join(sorted(begun))} before"
            yield _fault(ledger, box, message)


def _one_box(ledger: Ledger, share: BoxShare, box: Box, places: dict[str, set[str]]) -> Iterator[AuditFault]:
    where: dict[str, list[str]] = defaultdict(list)
    for slot in share.slots:
        for product in sorted(places[slot.name]):
            where[product].append(slot.name)
    for product, slots in where.items():
        if len(slots) > 1:
            yield _fault(ledger, box, f"{product} in {' and in '.join(slots)}")
    worth = 0
    for slot in share.slots:
        prices = ledger.farm.boxes.categories[slot.category].prices
        worth += slot.amount * max((prices[product] for product in places[slot.name]), default=0)
    if share.most_value is not None and worth > share.most_value * MILLI:
        message = f"a full box is worth {worth / MILLI / 100:.2f}; {share.most_value / 100:.2f} it may be"
        yield _fault(ledger, box, message)


def _too_often(ledger: Ledger, share: BoxShare, contents: Contents, wish: BoxWish) -> Iterator[AuditFault]:
    """Look at every box that holds the product, and at as many before it as count together with it."""
    line: list[tuple[bool, Box | None]] = [
        (wish.product in each.products and wish.holds_on(each.day), None) for each in share.past
    ]
    for box in ledger.farm.boxes.of_share(share.name):
        given = any(wish.product in products for products in contents[box.number].values())
        begun = wish.product in box.begun
        line.append(((given or begun) and wish.is_about(box), box if given and not begun else None))
    for at, (holds, _) in enumerate(line):
        if not holds:
            continue
        spell = line[max(0, at + 1 - wish.among) : at + 1]
        times = sum(holds for holds, _ in spell)
        chosen = [each for _, each in spell if each is not None]
        if times > wish.times and chosen:
            message = f"{wish.product} in {times} of {wish.among} boxes; {wish.times} it may be"
            yield _fault(ledger, chosen[-1], message)


def _running(ledger: Ledger, share: BoxShare, contents: Contents) -> Iterator[AuditFault]:
    most = share.most_running
    if most is None:
        return
    run: dict[str, int] = defaultdict(int)
    for past in share.past:
        run = defaultdict(int, {name: run[name] + 1 for name in past.products})
    for box in ledger.farm.boxes.of_share(share.name):
        given = {name for products in contents[box.number].values() for name in products}
        run = defaultdict(int, {name: run[name] + 1 for name in given | box.begun})
        for product in sorted(given - box.begun):
            if run[product] > most:
                message = f"{product} in {run[product]} boxes one after another; {most} it may be"
                yield _fault(ledger, box, message)
