"""What a plan brings and costs, day by day, at the prices of the book.

What deliveries bring is their price times the units they get, substitutes at their own price. What is paid
out is seed, filling trays, boards and rafts, and hours of work. Prices of slots, waste, lots and plants
thrown away only choose between plans that serve the same deliveries: nobody pays them, so they are left out.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from scheduler.farm.farm import Farm
from scheduler.farm.orders.goods import prices
from scheduler.farm.units import HOUR
from scheduler.plan.rows import Plan
from scheduler.plan.tally import growing_units, units_given


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """Money by day, exact hundredths.

    Attributes:
        brought: day -> what deliveries, targets and outlets of that day bring, reported days only.
        paid: day -> what is paid out for seed, filling and hours.
    """

    brought: Mapping[int, Fraction] = field(default_factory=dict)
    paid: Mapping[int, Fraction] = field(default_factory=dict)

    def between(self, first: int, last: int) -> tuple[Fraction, Fraction]:
        """Return what is brought and what is paid from one day through another."""
        days = range(first, last + 1)
        none = Fraction(0)
        return (
            sum((self.brought.get(day, none) for day in days), none),
            sum((self.paid.get(day, none) for day in days), none),
        )


def money(farm: Farm, plan: Plan) -> Money:
    """Return what a plan brings and costs; its tables of demands, hours and seed must be there."""
    brought: dict[int, Fraction] = defaultdict(Fraction)
    paid: dict[int, Fraction] = defaultdict(Fraction)
    given = units_given(farm, plan)
    price_of = {demand.name: prices(demand) for demand in farm.demands if demand.substitutes}
    for row in plan.demands:
        if row.reported:
            worth = row.filled * row.price
            if row.substituted and row.demand in price_of:
                price = price_of[row.demand]
                worth = sum(units * price[product] for product, units in given[row.demand].items())
            brought[max(row.day, min(farm.today, row.last))] += worth
    for outlet in plan.outlets:
        if outlet.reported:
            brought[outlet.day] += outlet.takings
    for day, amount in _paid(farm, plan):
        paid[day] += amount
    return Money(brought=dict(brought), paid=dict(paid))


def _paid(farm: Farm, plan: Plan) -> Iterator[tuple[int, Fraction]]:
    for row in plan.seed:
        yield row.day, Fraction(row.cost)
    found = growing_units(farm, plan)
    for unit in plan.units:
        if unit.unit not in found:
            yield unit.enters, Fraction(farm.cost(unit.item))
    hour = farm.cost("hour")
    for work in plan.hours:
        yield work.day, Fraction(work.minutes * hour, HOUR)
