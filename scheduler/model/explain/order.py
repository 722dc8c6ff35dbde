"""What the order in rows costs: the season planned with it, and as if any raft could be lifted out."""

import threading
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.model.bounds.bound import Effort, stages
from scheduler.model.build import list_options
from scheduler.model.explain.fill import Watch
from scheduler.model.explain.relax import with_lifting
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.begun import plan_from
from scheduler.model.settings import SolveSettings
from scheduler.model.sizes import SMALL_BOOK, steps_of
from scheduler.model.solve import plan_farm
from scheduler.plan.relief import OrderCost
from scheduler.plan.rows import Plan

LIMIT_SHARE = 0.4
"""Share of the time of one search in which a limit is looked for afterwards."""


def order_cost(
    farm: Farm, plan: Plan, settings: SolveSettings, watch: Watch = (lambda _: None, None)
) -> OrderCost | None:
    """Return what lane order costs a farm; None where it keeps none, or nothing firm is short.

    Both searches have half of the time and begin from the plan, so that what more searching alone would fill
    is not taken for a cost of the order. Small books are planned whole instead.

    Args:
        farm: the farm of the plan.
        plan: a plan that keeps every rule.
        settings: time and way of the search.
        watch: what is told what is searched, and what ends the search soon.
    """
    if farm.rules.lift_out or not _short(plan):
        return None
    tell, stop = watch
    half = replace(settings, seconds=settings.seconds / 2)
    tell("with the rows in order")
    kept = _better(farm, plan, half, stop)
    tell("as if rafts could be cut where they stand")
    rules = replace(farm.rules, lift_minutes=0)
    free = _better(with_lifting(replace(farm, rules=rules)), kept, half, stop)
    proven = any(goal.level == 1 and goal.status == "proven" for goal in free.goals)
    proven = proven or not _short(free) or _is_least(farm, free, half, stop)
    return OrderCost(kept=_short(kept), free=min(_short(free), _short(kept)), proven=proven)


def _better(farm: Farm, plan: Plan, settings: SolveSettings, stop: threading.Event | None) -> Plan:
    """Return a plan no worse for firm deliveries than one that is sound on a farm."""
    found = None
    if _is_small(farm):
        found = plan_farm(farm, settings, stop=stop).plan
    found = found or plan_from(farm, plan, settings, stop=stop)
    if found is None or _weight(farm, found) > _weight(farm, plan):
        return replace(plan, goals=())
    return found


def _is_least(farm: Farm, plan: Plan, settings: SolveSettings, stop: threading.Event | None) -> bool:
    """Say whether the limits of the season, which know no order, let no plan be less short than one."""
    effort = Effort(
        seconds=settings.seconds * LIMIT_SHARE,
        deterministic=settings.deterministic,
        stop=lambda: stop is not None and stop.is_set(),
    )
    found = next(stages(farm, season(farm), None, effort), None)
    return found is not None and found.firm >= _weight(farm, plan)


def _is_small(farm: Farm) -> bool:
    return steps_of(list_options(season(farm)), bundles_of(farm)) <= SMALL_BOOK


def _weight(farm: Farm, plan: Plan) -> int:
    """Return what the firm deliveries that are short weigh, those past the last reported day included."""
    weights = {demand.name: demand.weight for demand in farm.demands}
    return sum(
        weights.get(row.demand, 0) * (row.amount - row.filled)
        for row in plan.demands
        if row.firm and not row.target
    )


def _short(plan: Plan) -> int:
    """Return the units of reported firm deliveries that are short."""
    return sum(
        row.amount - row.filled for row in plan.demands if row.firm and not row.target and row.reported
    )
