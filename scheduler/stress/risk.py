"""What a replayed plan comes to: the chance of every delivery and of every order."""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Demand, Farm
from scheduler.plan.rows import Plan
from scheduler.stress.chances import Chances, wilson
from scheduler.stress.replay import Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How often something came about, and the chances that fit that: with 95 percent of such intervals.

    Attributes:
        hits, runs: how often, of how many runs.
    """

    hits: int
    runs: int

    @property
    def share(self) -> float:
        """The share of the runs."""
        return self.hits / self.runs

    @property
    def between(self) -> tuple[float, float]:
        """The lowest and highest chance that fit."""
        return wilson(self.hits, self.runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryRisk:
    """One delivery, or one week of a target.

    Attributes:
        demand: what is asked for.
        planned: units the plan has for it.
        chance: that it gets all it asks for.
        short: units it is short on average.
    """

    demand: Demand
    planned: int
    chance: Chance
    short: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRisk:
    """All reported deliveries of an order, or all weeks of a target.

    Attributes:
        deliveries: its deliveries by day.
        whole: the chance that all of them get what they ask for.
    """

    deliveries: tuple[DeliveryRisk, ...]
    whole: Chance

    @property
    def first(self) -> Demand:
        """Its first delivery, for the names of order, customer and product."""
        return self.deliveries[0].demand

    @property
    def usual(self) -> float:
        """The chance of one of its deliveries, on average."""
        return sum(each.chance.share for each in self.deliveries) / len(self.deliveries)

    @property
    def least(self) -> DeliveryRisk:
        """The delivery that is least likely to be filled; of several the first."""
        return min(self.deliveries, key=lambda each: each.chance.hits)

    @property
    def short(self) -> float:
        """Units that its deliveries are short on average, together."""
        return sum(each.short for each in self.deliveries)


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """A replayed plan.

    Attributes:
        farm: the farm.
        chances: what was left to chance.
        runs: how often the plan was replayed.
        deliveries: every reported demand by day, firm ones first, then by name.
        orders: every order and target, firm ones first, least likely delivery first.
    """

    farm: Farm
    chances: Chances
    runs: int
    deliveries: tuple[DeliveryRisk, ...]
    orders: tuple[OrderRisk, ...]

    def of(self, *, firm: bool) -> Sequence[DeliveryRisk]:
        """Return firm deliveries, or flexible ones and targets."""
        return [each for each in self.deliveries if each.demand.firm is firm]


def risk_of(farm: Farm, plan: Plan, chances: Chances, tally: Tally) -> Risk:
    """Return what runs of a plan came to."""
    planned = {row.demand: row.filled for row in plan.demands}
    found = [
        DeliveryRisk(
            demand=demand,
            planned=planned.get(demand.name, 0),
            chance=Chance(hits=filled, runs=tally.runs),
            short=short / tally.runs,
        )
        for demand, filled, short in zip(farm.demands, tally.filled, tally.short, strict=True)
        if demand.reported
    ]
    found.sort(key=lambda each: (each.demand.first, not each.demand.firm, each.demand.name))
    by_order: dict[str, list[DeliveryRisk]] = {}
    for each in found:
        by_order.setdefault(each.demand.order, []).append(each)
    orders = [
        OrderRisk(deliveries=tuple(rows), whole=Chance(hits=tally.whole[name], runs=tally.runs))
        for name, rows in by_order.items()
    ]
    orders.sort(key=lambda each: (not each.first.firm, each.least.chance.share, each.first.order))
    return Risk(farm=farm, chances=chances, runs=tally.runs, deliveries=tuple(found), orders=tuple(orders))
