"""Heads that were cut before the first day, given to the deliveries they wait for."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog, quoted
from scheduler.book.rows import Row
from scheduler.farm.farm import Demand, Product, Ready
from scheduler.farm.from_book.days import Season
from scheduler.farm.orders.mixes import units_made


def with_ready(
    book: Book,
    season: Season,
    products: Mapping[str, Product],
    demands: Iterable[Demand],
    log: FaultLog,
) -> tuple[Demand, ...]:
    """Return the demands, those with heads in the cooler knowing of them.

    Rows of days before the first day are left aside: what they are for was delivered.
    """
    made = tuple(demands)
    found: dict[str, list[Ready]] = defaultdict(list)
    for row in book.rows("ready"):
        day = season.day(row.date("date"))
        if day < 0:
            continue
        demand = next((each for each in made if _is_for(each, row, day)), None)
        if demand is None:
            said = f"{quoted(row.text('order'))} with {quoted(row.text('product'))} on {row.date('date')}"
            expected = "an order that is delivered on that day with that product"
            log.add(row.cell("order"), said, expected, "no-delivery")
        elif _is_sound(row, season, demand, products, log):
            found[demand.name].append(
                Ready(
                    lot=row.text("lot"),
                    crop=row.text("crop"),
                    cut=season.day(row.date("cut")),
                    heads=row.whole("heads"),
                )
            )
    return tuple(_given(each, found[each.name], products) if each.name in found else each for each in made)


def _is_for(demand: Demand, row: Row, day: int) -> bool:
    return (demand.order, demand.first, demand.product) == (row.text("order"), day, row.text("product")) and (
        not demand.is_target
    )


def _is_sound(
    row: Row, season: Season, demand: Demand, products: Mapping[str, Product], log: FaultLog
) -> bool:
    crop, cut = row.text("crop"), season.day(row.date("cut"))
    sources = products[demand.product].sources
    before = len(log)
    if crop not in sources:
        expected = f"a crop of '{demand.product}': {', '.join(sources)}"
        log.add(row.cell("crop"), quoted(crop), expected, "wrong-crop")
    if cut >= 0:
        expected = f"a day before the first day of the plan, {season.first_day}"
        log.add(row.cell("cut"), str(row.date("cut")), expected, "future")
    elif demand.first - cut > demand.max_age:
        found = f"{row.date('cut')}, {demand.first - cut} days before the delivery"
        log.add(row.cell("cut"), found, f"at most {demand.max_age} days before it", "too-old")
    return len(log) == before


def _given(demand: Demand, ready: list[Ready], products: Mapping[str, Product]) -> Demand:
    heads: dict[str, int] = defaultdict(int)
    for each in ready:
        heads[each.crop] += each.heads
    units = units_made(products[demand.product], heads)
    return replace(demand, ready=tuple(ready), in_hand=min(units, demand.amount))
