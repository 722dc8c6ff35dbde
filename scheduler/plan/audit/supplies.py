"""Supplies: stock is followed day by day, and every order is the one that is due, no more and no less."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.supplies import Supply
from scheduler.farm.units import CENT
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.rows import SupplyRow
from scheduler.plan.tally import units_given, units_sold


@dataclass(frozen=True, slots=True)
class _Item:
    """One supply, what is taken of it on each reported day, and the orders the plan has of it."""

    supply: Supply
    taken: list[int]
    rows: list[SupplyRow]


def supplies(ledger: Ledger) -> Iterator[AuditFault]:
    """Report stock that runs out, and orders that are unknown, untimely, or of a wrong number of packs."""
    known = {supply.item: supply for supply in ledger.farm.supplies}
    rows: dict[str, list[SupplyRow]] = defaultdict(list)
    for row in ledger.plan.supplies:
        if row.item not in known:
            yield _fault(ledger, row.item, row.order_by, "is ordered, but is no supply of the book")
        elif not ledger.farm.today <= row.arrive_by < ledger.farm.calendar.days:
            yield _fault(ledger, row.item, row.arrive_by, "an order comes outside the days of the plan")
        else:
            rows[row.item].append(row)
    given = units_given(ledger.farm, ledger.plan) if known else {}
    for name, supply in known.items():
        own = sorted(rows[name], key=lambda row: row.arrive_by)
        item = _Item(supply, _taken(ledger, supply, given), own)
        for row in own:
            yield from _terms(ledger, supply, row)
        yield from _stock(ledger, item)


def _fault(ledger: Ledger, where: str, day: int | None, message: str) -> AuditFault:
    return ledger.fault("bookkeeping", where, day, message)


def _taken(ledger: Ledger, supply: Supply, given: dict[str, dict[str, int]]) -> list[int]:
    """Return what is taken on each day from 0 to the last reported one, with the spare."""
    farm = ledger.farm
    bare = [0] * farm.calendar.days
    if supply.crop:
        handling = farm.crops[supply.crop].handling
        for lot in ledger.lots.values():
            if lot.crop == supply.crop and lot.sown is not None and lot.cells:
                day = lot.sown - (1 if handling.soaks_overnight else 0)
                _add(farm, bare, day, lot.cells * handling.seeds_per_cell)
    else:
        cuts: dict[tuple[str, str], list[int]] = defaultdict(list)
        for fill in ledger.plan.fills:
            cuts[fill.demand, fill.substitute].append(fill.cut_day)
        for demand in farm.demands:
            for product, units in given[demand.name].items():
                packed = demand.in_hand if product == demand.product else 0
                if product in supply.products and units > packed:
                    day = min(cuts[demand.name, "" if product == demand.product else product])
                    _add(farm, bare, day, -(-(units - packed) * supply.per_unit // 1000))
        for product, day, units in _in_boxes(ledger):
            if product in supply.products:
                _add(farm, bare, day, -(-units * supply.per_unit // 1000))
    return [-(-number * (10_000 + supply.spare) // 10_000) for number in bare]


def _in_boxes(ledger: Ledger) -> Iterator[tuple[str, int, int]]:
    """Yield product, day of its first cut and units of what goes into each place of each day's boxes."""
    boxes = ledger.farm.boxes
    category_of = {demand.name: demand.product for demand in ledger.farm.demands}
    heads: dict[tuple[str, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    first: dict[tuple[str, str], int] = {}
    for fill in ledger.plan.fills:
        if fill.demand in boxes.places:
            product = boxes.categories[category_of[fill.demand]].product_of.get(fill.crop)
            if product is not None:
                key = fill.demand, product
                heads[key][fill.crop] += fill.heads
                first[key] = min(fill.cut_day, first.get(key, fill.cut_day))
    for (demand, product), of_crops in heads.items():
        yield product, first[demand, product], units_sold(ledger.farm, product, of_crops)


def _add(farm: Farm, days: list[int], day: int, number: int) -> None:
    if day < len(days):
        days[max(day, farm.today)] += number


def _terms(ledger: Ledger, supply: Supply, row: SupplyRow) -> Iterator[AuditFault]:
    """Each order is of the book's item, in its packs, at its price, and placed on the right day."""
    farm = ledger.farm
    wanted = {
        "kind": supply.kind,
        "crop_or_product": supply.crop or "; ".join(supply.products),
        "amount": row.packs * supply.pack_size,
        "cost": row.packs * supply.price,
    }
    for column, value in wanted.items():
        if getattr(row, column) != value:
            found, must = getattr(row, column), value
            if column == "cost":
                found, must = (f"{money / CENT:.2f}" for money in (row.cost, row.packs * supply.price))
            message = f"{column} of the order is {found}, it must be {must}"
            yield _fault(ledger, row.item, row.order_by, message)
    latest = row.arrive_by - supply.lead_days
    week = range(latest, latest - 7, -1)
    due = next(day for day in week if farm.calendar.weekday(day) in supply.order_days)
    if row.order_by != due:
        days = [farm.date_of(day) for day in (row.order_by, row.arrive_by, due)]
        message = f"is ordered by {days[0]}, to come by {days[1]} it must be {days[2]}"
        yield _fault(ledger, row.item, row.order_by, message)
    if row.late != (due < farm.today):
        said, is_so = ("late" if late else "in time" for late in (row.late, due < farm.today))
        yield _fault(ledger, row.item, row.order_by, f"the order is said to be {said}, it is {is_so}")


def _stock(ledger: Ledger, item: _Item) -> Iterator[AuditFault]:
    """Walk through the days: orders come only when stock would not last, and it always does with them."""
    stock = item.supply.in_stock
    coming: dict[int, list[SupplyRow]] = defaultdict(list)
    for row in item.rows:
        coming[row.arrive_by].append(row)
    for day, taken in enumerate(item.taken):
        for row in coming[day]:
            if stock >= taken:
                message = f"an order comes, but the stock of {stock} lasts for the {taken} used that day"
                yield _fault(ledger, row.item, day, message)
            yield from _size(ledger, item, row, stock)
            stock += row.amount
        stock -= taken
        if stock < 0:
            message = f"{-stock} are missing, and no order comes"
            yield _fault(ledger, item.supply.item, day, message)
            stock = 0


def _size(ledger: Ledger, item: _Item, row: SupplyRow, stock: int) -> Iterator[AuditFault]:
    """An order covers its weeks, in as many packs as that takes."""
    farm, supply = ledger.farm, item.supply
    covered = item.taken[row.arrive_by : row.arrive_by + 7 * farm.rules.supply_weeks]
    last, needed = row.arrive_by + len(covered) - 1, sum(covered) - stock
    if row.covers_until != last:
        message = f"covers until {farm.date_of(row.covers_until)}, its weeks end on {farm.date_of(last)}"
        yield _fault(ledger, row.item, row.arrive_by, message)
    if row.needed != needed:
        message = f"{row.needed} are said to be needed, {needed} are"
        yield _fault(ledger, row.item, row.arrive_by, message)
    enough = -(-needed // supply.pack_size)
    if row.packs != max(enough, supply.least_packs):
        message = f"{row.packs} packs are ordered, {max(enough, supply.least_packs)} cover what is needed"
        yield _fault(ledger, row.item, row.arrive_by, message)
