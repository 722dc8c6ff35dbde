"""A plan of one farm on another: a larger farm can always do what the smaller one does.

Where farms are compared, each plan found is held against every farm. So a farm that has more of something
never looks worse only because its search had less luck.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil

from scheduler.farm.farm import Farm
from scheduler.farm.orders.outlets import stalls_of
from scheduler.plan.audit import audit
from scheduler.plan.exact import EDITION, EXACT, KEY, trimmed
from scheduler.plan.layout.chore_tasks import chore_tasks
from scheduler.plan.layout.demands import demand_rows
from scheduler.plan.layout.own_figures import figure_rows
from scheduler.plan.rows import Plan
from scheduler.plan.supplies import supply_rows
from scheduler.plan.tally import demand_filled, with_totals
from scheduler.plan.water import water_rows
from scheduler.plan.worth import cost

FIRM = 1
"""Level of the goal that counts what is short of firm demand."""

Score = tuple[int, int, int]
"""Weighted shortage of firm demand, of flexible demand, and money in hundredths: less is better."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The plan that is kept for a farm.

    Attributes:
        plan: the plan.
        of: name of the farm it was found for.
        least: what every plan of the farm is short of at least, see :func:`least_short`; None if not known.
    """

    plan: Plan
    of: str
    least: int | None = None


def carried(farm: Farm, plan: Plan) -> Plan | None:
    """Return a plan of another farm as one of this farm; None where it would break a rule here.

    What is sown, moved, cut and delivered stays; what each delivery gets and the totals are worked out anew.
    Tasks beside chores are left out, for the deliveries among them may be others.
    """
    known = {
        demand.name: {"": farm.products[demand.product].sources}
        | {name: farm.products[name].sources for name in demand.products[1:]}
        for demand in farm.demands
    }
    if not _fits(farm, plan, known):
        return None
    sold = stalls_of(farm.outlets)
    stalls = {stall.name for _, stall in sold.values()}
    made = replace(
        plan,
        fills=tuple(row for row in plan.fills if row.demand in known),
        chains=tuple(row for row in plan.chains if row.demand in known or row.demand in stalls),
        sales=tuple(row for row in plan.sales if (row.outlet, row.product, row.day) in sold),
        own_figures=tuple(figure_rows(farm)),
        tasks=tuple(chore_tasks(farm)),
        goals=(),
        made={**plan.made, KEY: EXACT},
    )
    made = with_totals(farm, trimmed(farm, made))
    made = replace(made, demands=tuple(demand_rows(farm, made)))
    made = replace(made, supplies=tuple(supply_rows(farm, made)), water=tuple(water_rows(farm, made)))
    return None if audit(farm, made) else made


def _fits(farm: Farm, plan: Plan, known: Mapping[str, Mapping[str, Mapping[str, int]]]) -> bool:
    """Say whether all names of a plan are known here.

    ``known`` is demand -> product that stands in ("" for none) -> crops; demands may have gone.
    """
    places, lots = {place.name for place in farm.places}, {lot.lot: lot.crop for lot in plan.lots}
    return (
        all(crop in farm.crops for crop in lots.values())
        and all(unit.kind in farm.equipment for unit in plan.units)
        and all(row.place in places for row in plan.positions)
        and all(
            row.crop in known[row.demand].get(row.substitute, ()) for row in plan.fills if row.demand in known
        )
    )


def score(farm: Farm, plan: Plan) -> Score:
    """Return how good a plan is on a farm, by the farm's own demands and prices; less is better."""
    # all by the same rules, whenever they were made
    alike = replace(plan, made={KEY: EDITION})
    return *weighted_shortage(farm, plan), ceil(cost(farm, alike))


def weighted_shortage(farm: Farm, plan: Plan, *, reported: bool = False) -> tuple[int, int]:
    """Return what of firm and of all other demand is short, by price and priority.

    What is wanted past the last reported day counts a little too, unless ``reported`` is asked for alone.
    """
    filled = demand_filled(farm, plan)
    short = {True: 0, False: 0}
    for demand in farm.demands:
        if demand.reported or not reported:
            short[demand.firm] += demand.weight * (demand.amount - filled[demand.name])
    return short[True], short[False]


def least_short(farm: Farm, plan: Plan) -> int | None:
    """Return what of firm demand every plan of a farm is short of at least, by what the goals of one prove.

    It is weighed as in :func:`score`. None for a plan without goals, such as one that was taken over.
    """
    goal = next((row for row in plan.goals if row.level == FIRM), None)
    if goal is None:
        return None
    left_open = max(0.0, goal.value - (goal.bound or 0.0))
    return max(0, weighted_shortage(farm, plan)[0] - ceil(left_open))


def best_of_all(farms: Mapping[str, Farm], plans: Mapping[str, Plan]) -> dict[str, Kept]:
    """Return the best plan for each farm among all that were found and are sound on it.

    Args:
        farms: name -> farm.
        plans: name of a farm -> the plan its own search found; farms without one may be left out.

    Equally good plans: the farm's own, else the one of the first farm by name, so that the order in which
    farms are given does not matter. A farm on which no plan is sound is left out.
    """
    kept = {name: _best(name, farm, plans) for name, farm in farms.items()}
    return {name: each for name, each in kept.items() if each is not None}


def _best(name: str, farm: Farm, plans: Mapping[str, Plan]) -> Kept | None:
    kept = Kept(plan=plans[name], of=name) if name in plans else None
    for other in sorted(plans):
        found = carried(farm, plans[other]) if other != name else None
        if found is not None and (kept is None or score(farm, found) < score(farm, kept.plan)):
            kept = Kept(plan=found, of=other)
    return kept
