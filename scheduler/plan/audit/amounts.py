"""Amounts: no head is given or sold that makes no unit of what was ordered."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.exact import is_exact
from scheduler.plan.tally import parcel_heads, units_given, units_sold


def amounts(ledger: Ledger) -> Iterator[AuditFault]:
    """Report heads that could stay out of a delivery or a sale without one unit less.

    Plans that do not say they were made by this rule, as older ones, are not held to it.
    """
    if not is_exact(ledger.plan):
        return
    demands = {demand.name: demand for demand in ledger.farm.demands}
    given = units_given(ledger.farm, ledger.plan)
    for name, parcels in parcel_heads(ledger.plan.fills).items():
        demand = demands.get(name)
        if demand is None:
            continue
        for substitute, heads in parcels.items():
            product = substitute or demand.product
            if product in ledger.farm.products:
                units = given[name].get(product, 0) - (0 if substitute else demand.in_hand)
                for message in _beyond(ledger, product, units, heads):
                    yield ledger.fault("products", name, demand.first, message)
    yield from _sold(ledger)


def _sold(ledger: Ledger) -> Iterator[AuditFault]:
    sold: dict[tuple[str, str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in ledger.plan.sales:
        sold[row.outlet, row.product, row.day][row.crop] += row.heads
    for (outlet, product, day), heads in sold.items():
        if product in ledger.farm.products:
            units = units_sold(ledger.farm, product, heads)
            for message in _beyond(ledger, product, units, heads):
                yield ledger.fault("outlets", outlet, day, message)


def _beyond(ledger: Ledger, product: str, units: int, heads: Mapping[str, int]) -> Iterator[str]:
    sources = ledger.farm.products[product].sources
    for crop, number in heads.items():
        # Heads of a strange crop are a fault of their own.
        if number > 0 and crop in sources:
            fewer = units_sold(ledger.farm, product, {**heads, crop: number - 1})
            if fewer >= units:
                yield f"{number} heads of {crop} are more than {max(units, 0)} units of {product} take"
