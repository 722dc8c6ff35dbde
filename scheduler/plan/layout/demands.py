"""What every delivery gets and, where it is short, what most likely stood in the way."""

from collections.abc import Sequence

from scheduler.farm.dates import dated
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.goods import reach_of
from scheduler.farm.orders.reach import earliest_reach, has_harvest_day
from scheduler.farm.orders.to_come import Unused
from scheduler.plan.exact import counts_unused
from scheduler.plan.harvest import heads_left
from scheduler.plan.layout.box_reasons import BoxReasons
from scheduler.plan.layout.reasons import Reasons
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.tally import units_given


def demand_rows(farm: Farm, plan: Plan) -> list[DemandRow]:
    """Return one row for each demand of the farm; the plan's fills and totals must be there already."""
    given, earliest = units_given(farm, plan), earliest_reach(farm)
    reasons, boxes = Reasons(farm, plan), BoxReasons(farm, plan)
    unused = _unused(farm, plan)
    rows = []
    for demand in farm.demands:
        first = reach_of(demand, earliest)
        filled = sum(given[demand.name].values())
        early = first is None or demand.first < first
        spared = unused.lots_for(demand) if early and filled < demand.amount else []
        state = _state(farm, demand, filled, first, spared)
        reason = ""
        if state == "short":
            reason = boxes.why_empty(demand) or reasons.why_short(demand, spared)
        elif state != "filled":
            reason = _unreached(farm, state, first)
        rows.append(
            DemandRow(
                demand=demand.name,
                order=demand.order,
                customer=demand.customer,
                product=demand.product,
                day=demand.first,
                last=demand.last,
                amount=demand.amount,
                filled=filled,
                state=state,
                firm=demand.firm,
                target=demand.is_target,
                priority=demand.priority,
                price=demand.price,
                earliest=first,
                reason=reason,
                reported=demand.reported,
                substituted=filled - given[demand.name].get(demand.product, 0),
            )
        )
    return rows


def _unused(farm: Farm, plan: Plan) -> Unused:
    """Return what grows and goes to nobody; nothing of it counts in plans by older rules."""
    if not counts_unused(plan):
        return Unused(farm, {}, {})
    return Unused(farm, {lot.lot: lot.discarded for lot in plan.lots}, heads_left(plan))


def _state(farm: Farm, demand: Demand, filled: int, earliest: int | None, spared: Sequence[str]) -> str:
    """Return what a demand is; ``spared`` are lots that it could have had something of."""
    if filled >= demand.amount:
        return "filled"
    if earliest is None or demand.first < earliest:
        return "short" if spared else "too early"
    return "short" if has_harvest_day(farm, demand) else "out of reach"


def _unreached(farm: Farm, state: str, earliest: int | None) -> str:
    """Return why nothing that is still to be sown can fill a demand."""
    if state == "out of reach":
        return "no harvest day lies near enough before it"
    today = dated(farm.date_of(farm.today))
    if earliest is None:
        return f"no sowing from {today} is ready within the plan"
    return f"no sowing from {today} is ready before {dated(farm.date_of(earliest))}"
