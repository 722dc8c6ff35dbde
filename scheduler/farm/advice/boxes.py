"""Notes on box shares: boxes that come too early, limits no full box can keep, rows that change nothing."""

from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.book.rows import Row
from scheduler.book.words import counted
from scheduler.farm.farm import Farm
from scheduler.farm.orders.box_aims import Coming, reached_boxes
from scheduler.farm.orders.boxes import AT_MOST, NEVER, BoxShare
from scheduler.farm.units import CENT, MILLI


def boxed_products(farm: Farm) -> set[str]:
    """Return the products that may go into some box."""
    boxes = farm.boxes
    slots = [slot for share in boxes.shares.values() for slot in share.slots]
    return {name for slot in slots for name in boxes.categories[slot.category].prices}


def box_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Yield the notes on box shares."""
    rows = {row.text("share"): row for row in book.rows("box_shares")}
    reached = reached_boxes(farm, Coming(farm)) if farm.boxes else frozenset()
    for name, share in farm.boxes.shares.items():
        yield from _early(farm, rows[name], name, reached)
        yield from _closed(farm, rows[name], name)
        yield from _values(farm, rows[name], share)
        yield from _kinds(farm, rows[name], share)
    for row in book.rows("box_slots"):
        share = farm.boxes.shares[row.text("share")]
        prices = farm.boxes.categories[row.text("category")].prices
        if share.most_running is not None and len(prices) == 1:
            text = (
                f"'{next(iter(prices))}' alone may fill this place, in {share.most_running} boxes running at "
                "most: every box after those has it empty"
            )
            yield Note(place=row.cell("slot"), text=text, code="one-product")
    yield from _unused(farm, book)


def _early(farm: Farm, row: Row, name: str, reached: frozenset[tuple[str, int]]) -> Iterator[Note]:
    missed = [
        box for box in farm.boxes.of_share(name) if box.reported and (box.share, box.number) not in reached
    ]
    if missed:
        boxes = counted(len(missed), "box")
        first, last = (farm.date_of(box.days[0].day) for box in (missed[0], missed[-1]))
        when = f"on {first}" if len(missed) == 1 else f"from {first} to {last}"
        text = (
            f"{boxes} of '{name}', {when}, cannot be filled wholly: no sowing and nothing growing is in time"
        )
        yield Note(place=row.cell("share"), text=text, code="too-early")


def _closed(farm: Farm, row: Row, name: str) -> Iterator[Note]:
    """Tell of boxes on days on which no work of any kind is done."""
    boxes = (box for box in farm.boxes.of_share(name) if box.reported)
    days = [each.day for box in boxes for each in box.days if farm.calendar.is_closed(each.day)]
    if days:
        first = farm.date_of(min(days))
        fall = (
            f"boxes fall on {len(days)} closed days, the first on {first}; skip them"
            if len(days) > 1
            else f"the box of {first} falls on a closed day; skip it"
        )
        text = f"{fall} in box_changes, unless you deliver all the same"
        yield Note(place=row.cell("weekdays"), text=text, code="closed-day")


def _values(farm: Farm, row: Row, share: BoxShare) -> Iterator[Note]:
    """Tell of value limits that no full box keeps whatever is chosen."""
    prices = [list(farm.boxes.categories[slot.category].prices.values()) for slot in share.slots]
    pairs = list(zip(share.slots, prices, strict=True))
    cheapest, dearest = (
        sum(slot.amount * each for slot, each in zip(share.slots, ends, strict=True))
        for ends in ([min(found) for _, found in pairs], [max(found) for _, found in pairs])
    )
    if share.most_value is not None and cheapest > share.most_value * MILLI:
        text = f"a full box is worth at least {_money(cheapest)}, so places stay empty"
        yield Note(place=row.cell("most_value"), text=text, code="value-out-of-reach")
    if share.least_value is not None and dearest < share.least_value * MILLI:
        text = f"a full box is worth at most {_money(dearest)}, so none is worth this much"
        yield Note(place=row.cell("least_value"), text=text, code="value-out-of-reach")


def _money(worth: int) -> str:
    """Return thousandths of a hundredth of money as money."""
    return f"{worth / MILLI / CENT:.2f}"


def _kinds(farm: Farm, row: Row, share: BoxShare) -> Iterator[Note]:
    names = {name for slot in share.slots for name in farm.boxes.categories[slot.category].prices}
    places = sum(slot.most_products for slot in share.slots) * share.kinds_boxes
    most = min(len(names), places)
    if share.least_kinds is not None and share.least_kinds > most:
        text = f"{share.kinds_boxes} boxes hold at most {most} different products"
        yield Note(place=row.cell("least_kinds"), text=text, code="kinds-out-of-reach")


def _unused(farm: Farm, book: Book) -> Iterator[Note]:
    boxes = farm.boxes
    used = {slot.category for share in boxes.shares.values() for slot in share.slots}
    told: set[str] = set()
    for row in book.rows("box_categories"):
        name = row.text("category")
        if name not in used | told:
            told.add(name)
            yield Note(
                place=row.cell("category"), text=f"no place of a box is filled from '{name}'", code="not-used"
            )
    for row in book.rows("box_wishes"):
        whose = [row.text("share")] if row.text("share") else list(boxes.shares)
        products = {
            name
            for share in whose
            for slot in boxes.shares[share].slots
            for name in boxes.categories[slot.category].prices
        }
        if row.text("product") not in products:
            text = f"'{row.text('product')}' comes in none of these boxes, so the wish changes nothing"
            yield Note(place=row.cell("product"), text=text, code="not-used")
        elif row.text("wish") == AT_MOST and row.whole("times") >= row.whole("among_boxes"):
            yield Note(place=row.cell("times"), text="this limit never binds", code="not-used")
    for share in boxes.shares.values():
        yield from _nothing_left(farm, book, share)


def _nothing_left(farm: Farm, book: Book, share: BoxShare) -> Iterator[Note]:
    """Tell of places whose every product is never to come in some week."""
    cells = {(row.text("share"), row.text("slot")): row.cell("category") for row in book.rows("box_slots")}
    if not any(wish.kind == NEVER for wish in share.wishes):
        return
    for slot in share.slots:
        for box in farm.boxes.of_share(share.name):
            if not farm.boxes.candidates(box, slot):
                when = farm.date_of(box.days[0].day)
                text = f"nothing may fill '{slot.name}' on {when}: all of '{slot.category}' is never to come"
                yield Note(place=cells[share.name, slot.name], text=text, code="nothing-left")
                break
