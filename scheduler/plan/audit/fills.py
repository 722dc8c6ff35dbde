"""Deliveries: heads that were cut, young enough, of a crop the product is made of; nothing sold twice."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from fractions import Fraction

from scheduler.farm.farm import Demand, Product
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.harvest import harvests_of
from scheduler.plan.rows import FillRow
from scheduler.plan.tally import parcel_heads, units_sold


def fills(ledger: Ledger) -> Iterator[AuditFault]:
    """Report heads delivered too old, never cut, sold twice, or of the wrong crop."""
    demands = {demand.name: demand for demand in ledger.farm.demands}
    used: dict[tuple[str, int], int] = defaultdict(int)
    for row in ledger.plan.fills:
        if row.lot not in ledger.lots:
            continue
        used[row.lot, row.cut_day] += row.heads
        if row.heads < 1:
            message = f"{row.heads} heads of {row.lot}"
            yield ledger.fault("bookkeeping", row.demand, row.cut_day, message)
        if row.demand in demands:
            yield from _one_fill(ledger, row, demands[row.demand])
    for sale in ledger.plan.sales:
        used[sale.lot, sale.cut_day] += sale.heads
    yield from _lacking(ledger)
    yield from _sold_twice(ledger, used)
    yield from _all_or_nothing(ledger)


def _one_fill(ledger: Ledger, row: FillRow, demand: Demand) -> Iterator[AuditFault]:
    if row.crop != ledger.lots[row.lot].crop:
        message = f"{row.lot} is {ledger.lots[row.lot].crop}, not {row.crop}"
        yield ledger.fault("bookkeeping", demand.name, row.cut_day, message)
    elif row.substitute and row.substitute not in demand.products[1:]:
        message = f"{row.substitute} stands in for {demand.product}, which the book does not allow"
        yield ledger.fault("products", demand.name, row.cut_day, message)
    elif row.crop not in ledger.farm.products[row.substitute or demand.product].sources:
        message = f"{row.heads} heads of {row.crop}, which {row.substitute or demand.product} is not made of"
        yield ledger.fault("products", demand.name, row.cut_day, message)
    what = f"{row.heads} heads of {row.lot}"
    cut = ledger.farm.date_of(row.cut_day)
    if row.cut_day > demand.last:
        yield ledger.fault("fresh", demand.name, demand.last, f"{what} are cut only on {cut}")
    elif demand.is_target:
        if row.cut_day < demand.first:
            yield ledger.fault(
                "fresh", demand.name, demand.first, f"{what} were cut the week before, on {cut}"
            )
    elif demand.first - row.cut_day > demand.max_age:
        age = demand.first - row.cut_day
        message = f"{what}, cut {cut}, are {age} days old; {demand.max_age} may be"
        yield ledger.fault("fresh", demand.name, demand.first, message)


def _lacking(ledger: Ledger) -> Iterator[AuditFault]:
    """Report units of a mix that are said to be given, though their heads do not weigh enough.

    Of each part there is at least its least share; parts weigh at most their greatest share, and together
    the whole weight.
    """
    products = ledger.farm.products
    demands = {demand.name: demand for demand in ledger.farm.demands}
    weighed = parcel_heads(ledger.plan.fills)
    for row in ledger.plan.demands:
        demand = demands.get(row.demand)
        if demand is None:
            continue
        given = {"": row.filled - row.substituted - demand.in_hand}
        if len(demand.substitutes) == 1:
            given[demand.substitutes[0].product] = row.substituted
        for name, units in given.items():
            product = products[name or demand.product]
            if product.parts and units > 0:
                for message in _parts_missing(product, units, weighed[row.demand][name]):
                    yield ledger.fault("products", demand.name, demand.first, message)


def _parts_missing(mix: Product, units: int, heads: Mapping[str, int]) -> Iterator[str]:
    whole = units * mix.weight
    counted = Fraction(0)
    for part in mix.parts:
        there = heads.get(part.crop, 0) * part.grams
        least = Fraction(whole * part.least, 10_000)
        counted += min(Fraction(there), Fraction(whole * part.most, 10_000))
        if there < least:
            yield (
                f"{units} units of {mix.name} need {_grams(least)} g of {part.crop}, "
                f"its heads weigh {_grams(there)} g"
            )
    if counted < whole:
        yield (
            f"{units} units of {mix.name} weigh {_grams(whole)} g, its heads come to {_grams(counted)} g "
            "within their shares"
        )


def _grams(hundredths: Fraction | int) -> str:
    return f"{float(hundredths) / 100:,.2f}".rstrip("0").rstrip(".")


def _sold_twice(ledger: Ledger, used: dict[tuple[str, int], int]) -> Iterator[AuditFault]:
    cut: dict[tuple[str, int], int] = defaultdict(int)
    for row in harvests_of(ledger.plan):
        cut[row.lot, row.day] += row.heads
    for (lot, day), heads in used.items():
        if heads > cut[lot, day]:
            yield ledger.fault(
                "whole units", lot, day, f"{heads} heads delivered, {cut[lot, day]} cut that day"
            )


def _all_or_nothing(ledger: Ledger) -> Iterator[AuditFault]:
    if not ledger.farm.rules.all_or_nothing:
        return
    heads = parcel_heads(ledger.plan.fills)
    for demand in ledger.farm.demands:
        units = sum(
            units_sold(ledger.farm, name or demand.product, of_crops)
            for name, of_crops in heads.get(demand.name, {}).items()
            if name in ("", *demand.products[1:])
        )
        units += demand.in_hand
        if heads.get(demand.name) and not demand.is_target and units < demand.amount:
            message = f"gets {units} of {demand.amount}, though a delivery counts only when complete"
            yield ledger.fault("bookkeeping", demand.name, demand.first, message)
