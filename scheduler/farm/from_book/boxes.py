"""Box shares from a book: categories, shares with places and wishes, boxes by week, and their demands."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from math import ceil

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.calendar import Calendar
from scheduler.farm.farm import Demand, Product
from scheduler.farm.from_book.changes import days_of_change
from scheduler.farm.from_book.days import Season
from scheduler.farm.from_book.demands import greatest_age, order_days
from scheduler.farm.orders.boxes import (
    Box,
    BoxDay,
    Boxes,
    BoxPlace,
    BoxShare,
    BoxSlot,
    BoxWish,
    Category,
    PastBox,
    half_of,
)
from scheduler.farm.units import cents


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxDemands:
    """What box shares add to a farm: the shares, a product for each category in use, and a demand a place."""

    boxes: Boxes
    products: Mapping[str, Product]
    demands: tuple[Demand, ...]


def build_boxes(
    book: Book,
    season: Season,
    calendar: Calendar,
    sold: tuple[Mapping[str, Product], Iterable[Demand]],
    log: FaultLog,
) -> BoxDemands:
    """Return the box shares of a book; ``sold`` is the farm's products and its other demands."""
    products, demands = sold
    categories = _categories(book, products, log)
    shares, boxes = _shares(book, season, calendar, _slots(book, categories, log), log)
    if len(log):
        return BoxDemands(boxes=Boxes(), products={}, demands=())
    taken = {demand.name for demand in demands}
    asked = list(_demands(calendar, shares, boxes, categories, taken))
    made = Boxes(
        categories=categories,
        shares=shares,
        boxes=tuple(boxes),
        places={demand.name: place for demand, place in asked},
    )
    used = {demand.product for demand, _ in asked}
    return BoxDemands(
        boxes=made,
        products={name: _product(categories[name], products) for name in categories if name in used},
        demands=tuple(demand for demand, _ in asked),
    )


def _shares(
    book: Book,
    season: Season,
    calendar: Calendar,
    slots: Mapping[str, tuple[BoxSlot, ...]],
    log: FaultLog,
) -> tuple[dict[str, BoxShare], list[Box]]:
    """Return the shares by name, and all their boxes."""
    past = _past(book, season, log)
    boxes: list[Box] = []
    shares: dict[str, BoxShare] = {}
    for row in book.rows("box_shares"):
        name = row.text("share")
        if name not in slots:
            expected = f"at least one row of box_slots for '{name}'"
            log.add(row.cell("share"), f"no place in the boxes of '{name}'", expected, "no-slots")
        mine = _boxes_of(name, _days(book, row, season, calendar), calendar, past.get(name, {}))
        parts = slots.get(name, ()), _before(past, name, mine, calendar)
        shares[name] = _share(book, season, row, parts, log)
        boxes += mine
    return shares, boxes


def _categories(book: Book, products: Mapping[str, Product], log: FaultLog) -> dict[str, Category]:
    prices: dict[str, dict[str, int]] = defaultdict(dict)
    product_of: dict[str, dict[str, str]] = defaultdict(dict)
    for row in book.rows("box_categories"):
        name, product = row.text("category"), row.text("product")
        if name in products:
            expected = f"a name of its own: a product is called '{name}'"
            log.add(row.cell("category"), f"'{name}' as a category", expected, "double-name")
        if product in prices[name]:
            expected = "each product of a category once"
            log.add(row.cell("product"), f"'{product}' again for '{name}'", expected, "double-source")
            continue
        prices[name][product] = cents(row.number_of("price"))
        for crop in products[product].sources:
            other = product_of[name].setdefault(crop, product)
            if other != product and not products[product].parts:
                found = f"'{product}', of the crop '{crop}'"
                expected = f"one product of a crop in a category ('{other}' has it)"
                log.add(row.cell("product"), found, expected, "double-source")
    for row in book.rows("box_categories"):
        name, product = row.text("category"), row.text("product")
        if products[product].parts and len(prices[name]) > 1:
            expected = "a mix alone in its category: heads tell which of several products they go in as"
            log.add(
                row.cell("product"), f"'{product}', which is a mix, beside others", expected, "mix-in-box"
            )
    return {
        name: Category(name=name, prices=found, product_of=product_of[name]) for name, found in prices.items()
    }


def _product(category: Category, products: Mapping[str, Product]) -> Product:
    """Return the product that a place of a box asks for: any of its category, or the mix it is."""
    only = products[next(iter(category.prices))]
    if only.parts:
        return replace(only, name=category.name)
    sources = {crop: products[name].sources[crop] for crop, name in category.product_of.items()}
    packs = {products[name].pack for name in category.prices}
    return Product(name=category.name, pack=packs.pop() if len(packs) == 1 else "head", sources=sources)


def _slots(book: Book, categories: Mapping[str, Category], log: FaultLog) -> dict[str, tuple[BoxSlot, ...]]:
    found: dict[str, dict[str, BoxSlot]] = defaultdict(dict)
    for row in book.rows("box_slots"):
        share, name, category = row.text("share"), row.text("slot"), row.text("category")
        if name in found[share]:
            expected = "each place of a box once"
            log.add(row.cell("slot"), f"'{name}' again for '{share}'", expected, "double-slot")
        amount, half = half_of(row.number_of("amount"), row.number_or_none("half_amount"))
        most = row.whole("most_products")
        if category in categories and most > len(categories[category].prices):
            expected = f"at most {len(categories[category].prices)}, the products of '{category}'"
            log.add(row.cell("most_products"), str(most), expected, "bad-number")
        found[share][name] = BoxSlot(
            name=name,
            category=category,
            amount=amount,
            half_amount=half,
            most_products=most,
            counts_from=row.whole_or_none("counts_from_percent") or 0,
        )
    return {share: tuple(slots.values()) for share, slots in found.items()}


def _days(book: Book, row: Row, season: Season, calendar: Calendar) -> list[BoxDay]:
    """Return the delivery days of a share with their boxes, changes made; days without any are left out."""
    changes = [each for each in book.rows("box_changes") if each.text("share") == row.text("share")]
    changes.sort(key=lambda each: each.date("from"))
    usual = (row.whole("boxes"), row.whole("half_boxes"))
    days = []
    for day in order_days(row, season, calendar):
        boxes, halves = _changed(usual, changes, day, season)
        if boxes or halves:
            days.append(BoxDay(day=day, boxes=boxes, halves=halves))
    return days


def _changed(usual: tuple[int, int], changes: Iterable[Row], day: int, season: Season) -> tuple[int, int]:
    """Return the full and half boxes of a day.

    Those are none when skipped, else the latest numbers, times every multiple of that day, each rounded up
    once.
    """
    numbers, times = usual, Fraction(1)
    for change in changes:
        first, last = days_of_change(change, season)
        if not first <= day <= last:
            continue
        kind = change.text("change")
        if kind == "boxes":
            numbers = (change.whole_or_none("boxes") or 0, change.whole_or_none("half_boxes") or 0)
        elif kind == "times":
            times *= change.number_of("times")
        else:
            return 0, 0
    full, half = (ceil(number * times) for number in numbers)
    return full, half


def _boxes_of(
    share: str, days: Iterable[BoxDay], calendar: Calendar, past: Mapping[int, frozenset[str]]
) -> list[Box]:
    weeks: dict[int, list[BoxDay]] = defaultdict(list)
    for each in days:
        weeks[calendar.week_start(each.day)].append(each)
    begun: dict[int, frozenset[str]] = defaultdict(frozenset)
    for day, products in past.items():
        begun[calendar.week_start(day)] |= products
    return [
        Box(
            share=share,
            number=number,
            days=tuple(found),
            begun=begun.get(week, frozenset()),
            reported=found[0].day < calendar.days,
        )
        for number, (week, found) in enumerate(weeks.items())
    ]


def _past(book: Book, season: Season, log: FaultLog) -> dict[str, dict[int, frozenset[str]]]:
    """Return share -> day before the plan -> products of that day's boxes."""
    found: dict[str, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
    for row in book.rows("box_past"):
        day = season.day(row.date("date"))
        if day >= 0:
            expected = f"a day before the first day, {season.first_day}"
            log.add(row.cell("date"), str(row.date("date")), expected, "late-past")
        found[row.text("share")][day].add(row.text("product"))
    return {
        share: {day: frozenset(products) for day, products in sorted(days.items())}
        for share, days in found.items()
    }


def _before(
    past: Mapping[str, Mapping[int, frozenset[str]]], share: str, boxes: list[Box], calendar: Calendar
) -> tuple[PastBox, ...]:
    """Return the boxes before the plan's first one, one a week, oldest first."""
    own = {calendar.week_start(each.day) for box in boxes for each in box.days}
    weeks: dict[int, PastBox] = {}
    for day, products in past.get(share, {}).items():
        week = calendar.week_start(day)
        held = weeks[week].products | products if week in weeks else products
        weeks[week] = PastBox(day=day, products=held)
    return tuple(box for week, box in sorted(weeks.items()) if week not in own)


def _share(
    book: Book,
    season: Season,
    row: Row,
    parts: tuple[tuple[BoxSlot, ...], tuple[PastBox, ...]],
    log: FaultLog,
) -> BoxShare:
    """Return a share of its row; ``parts`` are its slots and the boxes before the plan."""
    least, most = (_money(row, name) for name in ("least_value", "most_value"))
    if least is not None and most is not None and least > most:
        expected = f"at least least_value ({row.cell('least_value')})"
        log.add(row.cell("most_value"), f"{most / 100:.2f}", expected, "bad-limits")
    slots, past = parts
    return BoxShare(
        name=row.text("share"),
        slots=slots,
        firm=row.text("kind") == "firm",
        priority=row.whole("priority"),
        max_age=greatest_age(book, row),
        least_value=least,
        most_value=most,
        most_running=row.whole_or_none("most_running"),
        least_kinds=row.whole_or_none("least_kinds"),
        kinds_boxes=row.whole("kinds_boxes"),
        wishes=tuple(_wishes(book, season, row.text("share"))),
        past=past,
    )


def _money(row: Row, name: str) -> int | None:
    number = row.number_or_none(name)
    return None if number is None else cents(number)


def _wishes(book: Book, season: Season, share: str) -> Iterator[BoxWish]:
    for row in book.rows("box_wishes"):
        if row.text("share") in ("", share):
            first, last = season.period(row)
            yield BoxWish(
                product=row.text("product"),
                kind=row.text("wish"),
                first=first,
                last=last,
                times=row.whole_or_none("times") or 0,
                among=row.whole_or_none("among_boxes") or 0,
            )


def _demands(
    calendar: Calendar,
    shares: Mapping[str, BoxShare],
    boxes: Iterable[Box],
    categories: Mapping[str, Category],
    taken: set[str],
) -> Iterator[tuple[Demand, BoxPlace]]:
    """Yield a demand for each place of each box on each of its days, under a name of its own."""
    for box in boxes:
        share = shares[box.share]
        for each in box.days:
            for slot in share.slots:
                order = f"{share.name} {slot.name}"
                name = _free_name(order, calendar.date_of(each.day), taken)
                taken.add(name)
                if not each.needs(slot):
                    continue
                yield (
                    Demand(
                        name=name,
                        order=order,
                        customer=share.name,
                        product=slot.category,
                        first=each.day,
                        last=each.day,
                        amount=each.needs(slot),
                        firm=share.firm,
                        price=max(categories[slot.category].prices.values()),
                        priority=share.priority,
                        max_age=share.max_age,
                        reported=each.day < calendar.days,
                    ),
                    BoxPlace(share=share.name, number=box.number, slot=slot.name, day=each.day),
                )


def _free_name(order: str, day: date, taken: Collection[str]) -> str:
    """Return a name for what an order gets on a day that no other demand has."""
    name, number = f"{order} {day}", 1
    while name in taken:
        number += 1
        name = f"{order} {number} {day}"
    return name


def last_box_day(book: Book, season: Season) -> int | None:
    """Return the last day any share asks for; 0 without shares, None when one goes on without end."""
    ends = [row.date_or_none("to") for row in book.rows("box_shares")]
    if None in ends:
        return None
    return max((season.day(end) for end in ends if end is not None), default=0)
