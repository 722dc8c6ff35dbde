"""What a finished plan reaches in the goals, by its own rows.

The answer it was read from may weigh more: a unit counted that nothing stands in, a raft that could leave
earlier than it does. What the rows come to is what is done on the farm, and what the audit works out.
"""

from collections.abc import Callable

from scheduler.farm.units import CENT
from scheduler.model.search.incumbent import Incumbent
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.rows import DemandRow, GoalRow, Plan
from scheduler.plan.worth import COST, FIRM, FLEXIBLE, GOAL_NAMES, POINTS, cost, points, unit_of

SHORTAGES = (FIRM, FLEXIBLE)
"""Levels of the goals that are shortages: of firm demand, and of all other."""


def reached(best: Incumbent, plan: Plan, counts: Callable[[DemandRow], bool]) -> tuple[GoalRow, ...]:
    """Return the goals with what a plan reaches, nothing proven; only demands that count are short."""
    chosen = best.built.chosen
    weights = {wish.name: wish.weight for wish in chosen.frame.wishes}
    firm, others = 0, lacking_weight(chosen.farm, plan)
    for row in plan.demands:
        missing = weights.get(row.demand, 0) * (row.amount - row.filled) if counts(row) else 0
        firm, others = firm + missing * row.firm, others + missing * (not row.firm)
    money, looked_after = float(cost(chosen.farm, plan) / CENT), points(chosen.farm, plan)
    value = {FIRM: firm, FLEXIBLE: others, COST: money, POINTS: looked_after}
    return tuple(
        GoalRow(
            level=level,
            goal=GOAL_NAMES[level],
            value=float(value[level]),
            unit=unit_of(chosen.farm, level),
            bound=None,
            status="best found",
        )
        for level in sorted(value)
    )
