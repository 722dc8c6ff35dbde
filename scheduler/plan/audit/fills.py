"""Deliveries: heads that were cut, young enough, of a crop the product is made of; nothing sold twice."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.farm import Demand
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
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


def _sold_twice(ledger: Ledger, used: dict[tuple[str, int], int]) -> Iterator[AuditFault]:
    cut: dict[tuple[str, int], int] = defaultdict(int)
    for row in ledger.plan.cuts:
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
        if heads.get(demand.name) and not demand.is_target and units < demand.amount:
            message = f"gets {units} of {demand.amount}, though a delivery counts only when complete"
            yield ledger.fault("bookkeeping", demand.name, demand.first, message)
