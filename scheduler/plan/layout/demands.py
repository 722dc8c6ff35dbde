"""What every delivery gets and, where it is short, what most likely stood in the way."""

from scheduler.farm.dates import dated
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.goods import reach_of
from scheduler.farm.orders.reach import earliest_reach, has_harvest_day
from scheduler.plan.layout.box_reasons import BoxReasons
from scheduler.plan.layout.reasons import Reasons
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.tally import units_given


def demand_rows(farm: Farm, plan: Plan) -> list[DemandRow]:
    """Return one row for each demand of the farm; the plan's fills and totals must be there already."""
    given, earliest = units_given(farm, plan), earliest_reach(farm)
    reasons, boxes = Reasons(farm, plan), BoxReasons(farm, plan)
    rows = []
    for demand in farm.demands:
        first = reach_of(demand, earliest)
        filled = sum(given[demand.name].values())
        state = _state(farm, demand, filled, first)
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
                reason=(boxes.why_empty(demand) if state == "short" else "")
                or _reason(farm, demand, state, first, reasons),
                reported=demand.reported,
                substituted=filled - given[demand.name].get(demand.product, 0),
            )
        )
    return rows


def _state(farm: Farm, demand: Demand, filled: int, earliest: int | None) -> str:
    if filled >= demand.amount:
        return "filled"
    if earliest is None or demand.first < earliest:
        return "too early"
    return "short" if has_harvest_day(farm, demand) else "out of reach"


def _reason(farm: Farm, demand: Demand, state: str, earliest: int | None, reasons: Reasons) -> str:
    if state == "filled":
        return ""
    if state == "short":
        return reasons.why_short(demand)
    if state == "out of reach":
        return "no harvest day lies near enough before it"
    today = dated(farm.date_of(farm.today))
    if earliest is None:
        return f"no sowing from {today} is ready within the plan"
    return f"no sowing from {today} is ready before {dated(farm.date_of(earliest))}"
