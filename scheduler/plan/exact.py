"""Editions of the rules: plans made by which of them, and older ones trimmed to that of exact deliveries.

No head that makes no unit of what was ordered is given away since the second.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import replace

from scheduler.farm.farm import Farm, Product
from scheduler.farm.orders.mixes import heads_taken, units_made
from scheduler.plan.rows import ChainRow, FillRow, Plan
from scheduler.plan.tally import parcel_heads, units_given

KEY = "rules"
"""What the note of a plan calls the edition of the rules it was made by; plans of the first do not say it."""

EXACT, WHOLE, CLEARED, PAID, SPARED, LEAFY_BEDS = 2, 3, 4, 5, 6, 7
"""Since the second edition a delivery takes no more heads than its units need; since the third the goals say
what the rows come to in cost and points, and tasks and chains tell all that the rows do; since the fourth
what leaves trays and boards on a later day than the first and goes nowhere is thrown away by a task too;
since the fifth what grew on the first day costs as plants thrown away on whichever day that is; since the
sixth a delivery before any new sowing is short, and not too early, where it could have had something of what
grew on the first day and is thrown away then or left over; since the seventh herbs and leafy crops in beds
ask fish feed as leafy plants do, and not as fruiting ones."""

EDITION = LEAFY_BEDS
"""The edition that rules are of now."""


def is_exact(plan: Plan) -> bool:
    """Say whether a plan was made by the rule that what makes no unit is left over."""
    return _is_of(plan, EXACT)


def tells_all(plan: Plan) -> bool:
    """Say whether a plan was made by the rule that goals, tasks and chains tell what its rows come to."""
    return _is_of(plan, WHOLE)


def tells_left_behind(plan: Plan) -> bool:
    """Say whether a plan was made by the rule that what goes nowhere is thrown away by a task on any day."""
    return _is_of(plan, CLEARED)


def by_older_rules(plan: Plan) -> bool:
    """Say whether a plan was made by an older edition of the rules."""
    return not _is_of(plan, EDITION)


def pays_later(plan: Plan) -> bool:
    """Say whether a plan was made by the rule that what is thrown away later costs as on the first day."""
    return _is_of(plan, PAID)


def counts_unused(plan: Plan) -> bool:
    """Say whether a plan was made by the rule that what plants given to nobody could have filled is short."""
    return _is_of(plan, SPARED)


def counts_leafy_beds(plan: Plan) -> bool:
    """Say whether a plan was made by the rule that leafy crops in beds ask fish feed as leafy plants do."""
    return _is_of(plan, LEAFY_BEDS)


def _is_of(plan: Plan, edition: int) -> bool:
    """Say whether a plan was made by the rules of an edition or a later one."""
    made = plan.made.get(KEY)
    return isinstance(made, int) and made >= edition


def trimmed(farm: Farm, plan: Plan) -> Plan:
    """Return a plan whose deliveries get no more heads than their units take; the rest is left over.

    What is sold at outlets stays. All of its demands are the farm's.
    """
    units, heads = units_given(farm, plan), parcel_heads(plan.fills)
    demands = {demand.name: demand for demand in farm.demands}
    left: Counter[tuple[str, str, str]] = Counter()
    for name, parcels in heads.items():
        for substitute, by_crop in parcels.items():
            demand = demands[name]
            given = units[name].get(substitute or demand.product, 0)
            given = given if substitute else max(0, given - demand.in_hand)
            product = farm.products[substitute or demand.product]
            for crop, number in _taken(product, given, by_crop).items():
                left[name, substitute, crop] = number
    followed: Counter[tuple[str, str, str, int]] = Counter()
    fills: list[FillRow] = []
    for row in plan.fills:
        some = min(row.heads, left[row.demand, row.substitute, row.crop])
        left[row.demand, row.substitute, row.crop] -= some
        followed[row.demand, row.crop, row.lot, row.cut_day] += some
        if some:
            fills.append(replace(row, heads=some))
    chains: list[ChainRow] = []
    for chain in plan.chains:
        key = chain.demand, chain.crop, chain.lot, chain.cut_day
        some = min(chain.heads, followed[key]) if chain.demand in demands else chain.heads
        followed[key] -= some
        if some:
            chains.append(replace(chain, heads=some))
    return replace(plan, fills=tuple(fills), chains=tuple(chains))


def _taken(product: Product, units: int, heads: Mapping[str, int]) -> dict[str, int]:
    """Return crop -> heads that some units take, of any one crop after the other unless it is a mix."""
    if product.parts:
        return heads_taken(product, units, heads, str)
    taken: dict[str, int] = defaultdict(int)
    for crop, number in heads.items():
        made = min(units, units_made(product, {crop: number}))
        taken |= heads_taken(product, made, {crop: number}, str)
        units -= made
    return taken
