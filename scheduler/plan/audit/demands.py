"""Demands: each of the farm's appears once, unchanged, with what the fills give it and the right state."""

from collections.abc import Iterator, Mapping

from scheduler.farm.farm import Demand
from scheduler.farm.orders.goods import reach_of
from scheduler.farm.orders.reach import earliest_reach, has_harvest_day
from scheduler.farm.orders.to_come import Unused
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.exact import counts_unused
from scheduler.plan.harvest import heads_left
from scheduler.plan.rows import DemandRow
from scheduler.plan.tally import units_given

FIGURES = (
    ("order", "order"),
    ("customer", "customer"),
    ("product", "product"),
    ("day", "first"),
    ("last", "last"),
    ("amount", "amount"),
    ("firm", "firm"),
    ("target", "is_target"),
    ("priority", "priority"),
    ("price", "price"),
    ("reported", "reported"),
)
"""(column of the plan's table, attribute of the farm's demand) that must be equal."""


def demands(ledger: Ledger) -> Iterator[AuditFault]:
    """Report demands that are missing, unknown, changed, or said to be filled otherwise than they are."""
    known = {demand.name: demand for demand in ledger.farm.demands}
    given, earliest = units_given(ledger.farm, ledger.plan), earliest_reach(ledger.farm)
    unused = _unused(ledger)
    seen: set[str] = set()
    for row in ledger.plan.demands:
        if row.demand not in known:
            yield ledger.fault("bookkeeping", row.demand, row.day, "is no demand of the book")
        elif row.demand in seen:
            yield ledger.fault("bookkeeping", row.demand, row.day, "is listed twice")
        else:
            demand, got = known[row.demand], given[row.demand]
            yield from _one(ledger, row, demand, got)
            first = reach_of(demand, earliest)
            yield from _earliest(ledger, row, demand, first)
            yield from _state(ledger, row, demand, sum(got.values()), first, unused)
        seen.add(row.demand)
    for demand in ledger.farm.demands:
        if demand.name not in seen:
            yield ledger.fault("bookkeeping", demand.name, demand.first, "is missing from the plan's demands")


def _unused(ledger: Ledger) -> Unused:
    """Return what grows and goes to nobody; nothing of it counts in plans by older rules."""
    if not counts_unused(ledger.plan):
        return Unused(ledger.farm, {}, {})
    thrown = {name: lot.discarded for name, lot in ledger.lots.items()}
    return Unused(ledger.farm, thrown, heads_left(ledger.plan))


def _one(ledger: Ledger, row: DemandRow, demand: Demand, given: Mapping[str, int]) -> Iterator[AuditFault]:
    for column, attribute in FIGURES:
        found, wanted = getattr(row, column), getattr(demand, attribute)
        if found != wanted:
            yield ledger.fault(
                "bookkeeping", row.demand, demand.first, f"{column} is {found}, in the book {wanted}"
            )
    filled = sum(given.values())
    instead = filled - given.get(demand.product, 0)
    if row.substituted != instead:
        message = f"{row.substituted} units said to be of substitutes, they are {instead}"
        yield ledger.fault("bookkeeping", row.demand, demand.first, message)
    if row.filled != filled:
        message = f"{row.filled} of {row.amount} said to be filled, its heads make {filled}"
        yield ledger.fault("bookkeeping", row.demand, demand.first, message)


def _earliest(ledger: Ledger, row: DemandRow, demand: Demand, earliest: int | None) -> Iterator[AuditFault]:
    if row.earliest != earliest:
        said, is_so = (
            "never" if day is None else ledger.farm.date_of(day).isoformat()
            for day in (row.earliest, earliest)
        )
        message = f"earliest delivery from a new sowing is said to be {said}, it is {is_so}"
        yield ledger.fault("bookkeeping", row.demand, demand.first, message)


def _state(
    ledger: Ledger, row: DemandRow, demand: Demand, filled: int, earliest: int | None, unused: Unused
) -> Iterator[AuditFault]:
    state = "short"
    if filled >= demand.amount:
        state = "filled"
    elif earliest is None or demand.first < earliest:
        state = "short" if unused.lots_for(demand) else "too early"
    elif not has_harvest_day(ledger.farm, demand):
        state = "out of reach"
    if row.reason and filled >= demand.amount:
        message = f"is filled, and its reason says '{row.reason}'"
        yield ledger.fault("bookkeeping", row.demand, demand.first, message)
    if row.state != state:
        yield ledger.fault(
            "bookkeeping", row.demand, demand.first, f"state is {row.state}, but it is {state}"
        )
