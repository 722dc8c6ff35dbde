"""What would fill a short delivery: plain results of the search for reliefs, for outputs to put in words.

Days are whole numbers from the plan's first day; ``last`` is the last day, not the day after it. Money is in
whole hundredths.
"""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.plan.rows import DemandRow, Plan


class Limit(StrEnum):
    """What can stand in the way of a delivery, or be given more of."""

    SEARCH = "search"
    SHELF = "shelf places"
    ZONE = "board places"
    ROW = "row places"
    BED = "bed positions"
    COOLER = "cooler places"
    ORDER = "row order"
    REST = "row rest"
    HOURS = "hours"
    TRAYS = "trays"
    BOARDS = "boards"
    RAFTS = "rafts"
    DOMES = "domes"
    DAY = "delivery day"
    SOWING = "sowing window"
    SUBSTITUTE = "substitute crop"
    EARLIER = "earlier sowing"
    HARVEST = "harvest day"
    TIMING = "timing"
    SEVERAL = "several"
    UNKNOWN = "unknown"


CAPACITY = (
    Limit.ORDER,
    Limit.HOURS,
    Limit.SHELF,
    Limit.ZONE,
    Limit.ROW,
    Limit.BED,
    Limit.COOLER,
    Limit.TRAYS,
    Limit.BOARDS,
    Limit.RAFTS,
    Limit.DOMES,
)
"""Limits of the farm itself, in the order in which they are easiest to give."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grant:
    """More of one thing.

    Attributes:
        limit: of what.
        what: the place, cooler, kind of equipment or crop it is of; empty for the crew.
        amount: slots, positions, crates, units, hundredths of a minute in all, rafts lifted, days by which a
            rest is shorter, or cells sown.
        first, last: the days it is needed on; None where it has no days.
        most: hours: the most on one day, hundredths of a minute. Else 0.
    """

    limit: Limit
    what: str
    amount: int
    first: int | None = None
    last: int | None = None
    most: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Less:
    """A delivery that gets less for it: its row in the given plan, and the units taken off."""

    row: DemandRow
    units: int


def less_than(before: Plan, plan: Plan) -> tuple[Less, ...]:
    """Return the deliveries that get less in a plan than in the one before, in their order there."""
    now = {row.demand: row.filled for row in plan.demands}
    return tuple(
        Less(row=row, units=row.filled - now.get(row.demand, 0))
        for row in before.demands
        if now.get(row.demand, 0) < row.filled
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """What fills a delivery, proven by a plan in which it is filled and that keeps every rule.

    Attributes:
        grants: everything that is needed together; empty when a longer search is enough.
        cost: how much more the whole plan costs with it, None where the book has no prices of cost.
        less: other deliveries that get less; flexible ones only, and only where nothing else is needed.
        plan: the plan that proves it.
    """

    grants: tuple[Grant, ...]
    cost: int | None
    less: tuple[Less, ...]
    plan: Plan

    @property
    def limit(self) -> Limit:
        """What is given."""
        if not self.grants:
            return Limit.SEARCH
        limits = {grant.limit for grant in self.grants}
        return limits.pop() if len(limits) == 1 else Limit.SEVERAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What stood in the way.

    Attributes:
        limits: the limits that are each enough when given more of; several together when ``together``.
        together: no single one is enough.
        what: place, cooler, kind of equipment or crop of the first of them.
        first, last: first and last day on which it was used up in the given plan, of those it is needed on.
        days: number of such days.
    """

    limits: tuple[Limit, ...]
    together: bool = False
    what: str = ""
    first: int | None = None
    last: int | None = None
    days: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """One short delivery: what stood in the way and what fills it, the easiest first.

    Attributes:
        row: its row in the plan.
        value: what the missing units would bring, hundredths of money.
        cause: what stood in the way.
        reliefs: each proven; empty where none was found.
        ended: False where time ran out before everything was tried.
    """

    row: DemandRow
    value: int
    cause: Cause
    reliefs: tuple[Relief, ...]
    ended: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderCost:
    """What it costs that rafts leave a row in the order they entered: units of firm deliveries short.

    Attributes:
        kept: left short by the best plan known that keeps the order.
        free: by the best one found if any raft could be cut and lifted out where it stands, at no work.
        proven: whether no plan is less short even then, by value and rank.
    """

    kept: int
    free: int
    proven: bool
