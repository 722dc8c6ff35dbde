"""What stands in for what was ordered: names of its tasks, words for it, and sums over the season."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from scheduler.farm.farm import Farm
from scheduler.plan.rows import FillRow, Plan
from scheduler.plan.tally import units_given

BETWEEN = " | "


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """A product that was given for another on reported days: units in all, and in how many deliveries."""

    product: str
    substitute: str
    units: int
    deliveries: int


def instead(farm: Farm, plan: Plan) -> tuple[Instead, ...]:
    """Return what is given in place of what was ordered, most units first; reported demand only."""
    units: dict[tuple[str, str], list[int]] = defaultdict(list)
    given = units_given(farm, plan)
    for demand in farm.demands:
        for product, number in given[demand.name].items() if demand.reported else ():
            if product != demand.product:
                units[demand.product, product].append(number)
    found = [
        Instead(product=product, substitute=name, units=sum(numbers), deliveries=len(numbers))
        for (product, name), numbers in units.items()
    ]
    return tuple(sorted(found, key=lambda each: (-each.units, each.product, each.substitute)))


def delivery_key(demand: str, substitute: str) -> str:
    """Return the name of the task that delivers a product; ``substitute`` is empty for the one ordered."""
    return f"deliver {demand}{BETWEEN}{substitute}" if substitute else f"deliver {demand}"


def outlet_key(outlet: str, product: str, day: date) -> str:
    """Return the name of the task that takes a product to an outlet on a day."""
    return f"sell {outlet}{BETWEEN}{product}{BETWEEN}{day}"


def demands_by_key(fills: Iterable[FillRow]) -> dict[str, str]:
    """Return name of a delivery's task -> the demand it serves."""
    return {delivery_key(fill.demand, fill.substitute): fill.demand for fill in fills}


def products_by_cut(plan: Plan) -> dict[tuple[str, str, int], str]:
    """Return (demand, lot, cut day) -> the product its heads go into, in words.

    A substitute is told as such: ``Oakleaf in place of Butterhead``.
    """
    ordered = {row.demand: row.product for row in plan.demands}
    found: dict[tuple[str, str, int], list[str]] = defaultdict(list)
    for fill in plan.fills:
        if fill.demand in ordered:
            found[fill.demand, fill.lot, fill.cut_day].append(in_words(ordered[fill.demand], fill.substitute))
    return {key: " and ".join(dict.fromkeys(words)) for key, words in found.items()}


def in_words(ordered: str, substitute: str) -> str:
    """Return a product in words: the one ordered, or what stands in for it."""
    return f"{substitute} in place of {ordered}" if substitute else ordered
