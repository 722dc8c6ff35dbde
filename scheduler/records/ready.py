"""Heads in the cooler as the table ``ready`` of a new book: which delivery each waits for."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from scheduler.farm.farm import Demand, Farm
from scheduler.farm.units import MILLI, ceil_div
from scheduler.plan.rows import Plan
from scheduler.records.state import State

COLUMNS = {
    "order": "order",
    "date": "day",
    "product": "product",
    "crop": "crop",
    "lot": "lot",
    "cut": "cut",
    "heads": "heads",
}
"""Column of the book -> attribute of a row."""

Promised = Mapping[str, Mapping[str, int]]
"""Name of a delivery -> lot -> heads that the plan has cut for it before the first day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyRow:
    """One row of the book's table; its columns, ``day`` that of the delivery.

    What is for a box is ``boxed``: a book cannot say what is in a box before it goes out.
    """

    order: str
    day: date
    product: str
    crop: str
    lot: str
    cut: date
    heads: int
    boxed: bool = False


@dataclass(slots=True)
class _Stock:
    lot: str
    crop: str
    cut: date
    heads: int


def promised_before(farm: Farm, plan: Plan, first_day: date) -> Promised:
    """Return what a plan has cut before a day for deliveries from then on.

    Args:
        farm: the farm of the plan.
        plan: the plan.
        first_day: the day.
    """
    first = farm.calendar.day_of(first_day)
    later = {demand.name for demand in farm.demands if demand.last >= first and not demand.is_target}
    found: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for demand in farm.demands:
        for ready in demand.ready if demand.name in later else ():
            found[demand.name][ready.lot] += ready.heads
    for row in plan.fills:
        if row.demand in later and row.cut_day < first:
            found[row.demand][row.lot] += row.heads
    return found


def ready_rows(farm: Farm, state: State, first_day: date, promised: Promised) -> list[ReadyRow]:
    """Return what of the cooler goes into which delivery: first as promised, then by day and rank.

    What was cut for boxes stays for them, and is told apart by :func:`for_boxes`.

    Args:
        farm: the farm of the new book, for its deliveries.
        state: what stands on the morning of the first day.
        first_day: the day.
        promised: see :func:`promised_before`; deliveries it does not name get what is left.
    """
    stock = [
        _Stock(lot.lot, lot.crop, day, heads) for lot in state.lots.values() for day, heads in lot.cooler
    ]
    stock.sort(key=lambda each: (each.cut, each.lot))
    first = farm.calendar.day_of(first_day)
    soon = [each for each in farm.demands if each.first >= first and not each.is_target]
    soon.sort(key=lambda each: (each.first, not each.firm, each.priority, each.name))
    wanted = {each.name: _heads_of(farm, each) for each in soon}
    found: dict[tuple[str, str, date], int] = defaultdict(int)
    for demand in soon:
        for lot, heads in promised.get(demand.name, {}).items():
            own = [each for each in stock if each.lot == lot]
            _give(farm, demand, own, wanted[demand.name], found, most=heads)
    for demand in soon:
        if demand.name not in farm.boxes.places:
            _give(farm, demand, stock, wanted[demand.name], found)
    by_name = {each.name: each for each in soon}
    return list(_rows(farm, by_name, found, {each.lot: each.crop for each in stock}))


def for_boxes(rows: Iterable[ReadyRow]) -> list[str]:
    """Return what to tell of heads that wait for boxes, day by day."""
    heads: dict[tuple[date, str, str], int] = defaultdict(int)
    for row in rows:
        if row.boxed:
            heads[row.day, row.order, row.crop] += row.heads
    return [
        f"{number} heads of {crop} wait in the cooler for {order} on {day}: the new plan does not count them"
        for (day, order, crop), number in sorted(heads.items())
    ]


def _heads_of(farm: Farm, demand: Demand) -> dict[str, int]:
    """Return the heads of each crop that a delivery could take, were it made of that alone."""
    sources = farm.products[demand.product].sources
    return {crop: ceil_div(demand.amount * each, MILLI) for crop, each in sources.items()}


def _give(
    farm: Farm,
    demand: Demand,
    stock: list[_Stock],
    wanted: dict[str, int],
    found: dict[tuple[str, str, date], int],
    most: int | None = None,
) -> None:
    """Give a delivery heads that are fresh enough; ``wanted`` goes down for all its crops alike."""
    for each in stock:
        age = demand.first - farm.calendar.day_of(each.cut)
        if each.crop not in wanted or age > demand.max_age:
            continue
        now = min(each.heads, wanted[each.crop], each.heads if most is None else most)
        if now <= 0:
            continue
        product = farm.products[demand.product]
        share = now * MILLI // product.sources[each.crop]
        for crop, per_unit in product.sources.items():
            # of a mix every part is wanted, whatever there is of the others
            if crop == each.crop or not product.parts:
                wanted[crop] = max(0, wanted[crop] - ceil_div(share * per_unit, MILLI))
        each.heads -= now
        most = None if most is None else most - now
        found[demand.name, each.lot, each.cut] += now


def _rows(
    farm: Farm,
    demands: Mapping[str, Demand],
    found: Mapping[tuple[str, str, date], int],
    crop_of: Mapping[str, str],
) -> Iterator[ReadyRow]:
    for (name, lot, cut), heads in found.items():
        demand = demands[name]
        yield ReadyRow(
            order=demand.order,
            day=farm.date_of(demand.first),
            product=demand.product,
            crop=crop_of[lot],
            lot=lot,
            cut=cut,
            heads=heads,
            boxed=name in farm.boxes.places,
        )


def ready_cells(rows: Iterable[ReadyRow]) -> list[list[str]]:
    """Return rows as text cells of the book's table, the heading first; those for boxes are left out."""
    in_book = (row for row in rows if not row.boxed)
    return [list(COLUMNS), *([str(getattr(row, name)) for name in COLUMNS.values()] for row in in_book)]
