"""One item of a sweep, as a worker of another process or machine does it: plan a farm, judge, replay."""

from dataclasses import dataclass
from typing import Any

from scheduler.farm.farm import Farm
from scheduler.model.settings import SolveSettings
from scheduler.outputs.sweep import NO_PLAN, PLANNED, UNSOUND, WITHOUT_MEMORY
from scheduler.plan.audit import audit
from scheduler.plan.carried import least_short, score, weighted_shortage
from scheduler.plan.rows import Plan
from scheduler.plan.views.money import money
from scheduler.stress.chances import Chances
from scheduler.stress.replay import Replay
from scheduler.stress.risk import risk_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What a worker is given.

    Attributes:
        farm: the farm.
        settings: how it is planned.
        chances: what is left to chance when its plan is replayed.
        runs: how often it is replayed; 0 for not at all.
    """

    farm: Farm
    settings: SolveSettings
    chances: Chances
    runs: int


def planned_and_replayed(task: Task) -> dict[str, Any]:
    """Return what a farm's plan comes to, in values that JSON has; money in hundredths."""
    from scheduler.model.solve import plan_farm

    found = plan_farm(task.farm, task.settings)
    plan = found.plan
    if plan is None:
        return {"state": NO_PLAN, WITHOUT_MEMORY: found.without_memory}
    faults = audit(task.farm, plan)
    if faults:
        return {"state": UNSOUND, "fault": str(faults[0])}
    return {"state": PLANNED} | _told(task.farm, plan) | _risk(task, plan)


def _told(farm: Farm, plan: Plan) -> dict[str, Any]:
    firm_short, flexible_short, cost = score(farm, plan)
    brought, paid = money(farm, plan).between(0, farm.calendar.days - 1)
    found: dict[str, Any] = {
        "score": [firm_short, flexible_short, cost],
        "least": least_short(farm, plan),
        "firm_short": weighted_shortage(farm, plan, reported=True)[0],
        "brought": round(brought),
        "paid": round(paid),
        "short": sum(row.amount - row.filled for row in plan.demands if row.reported),
    }
    for name, firm in (("firm", True), ("flexible", False)):
        rows = [row for row in plan.demands if row.reported and row.firm is firm]
        found[name] = len(rows)
        found[f"{name}_filled"] = sum(row.state == "filled" for row in rows)
    return found


def _risk(task: Task, plan: Plan) -> dict[str, Any]:
    if not task.runs:
        return {}
    tally = Replay(task.farm, plan, task.chances).tally(range(task.runs))
    risk = risk_of(task.farm, plan, task.chances, tally)
    rows = risk.of(firm=True) or risk.deliveries
    return {
        "runs": task.runs,
        "hits": sum(each.chance.hits for each in rows),
        "replayed": len(rows),
        "short_on_average": round(sum(each.short for each in risk.deliveries), 3),
    }
