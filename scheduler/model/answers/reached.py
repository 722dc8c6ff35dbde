"""What a finished plan reaches in the goals, by its own rows and the answer it was read from."""

from collections.abc import Callable

from scheduler.farm.units import CENT, MILLI
from scheduler.model.goals import every_goal
from scheduler.model.search.incumbent import Incumbent
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.rows import DemandRow, GoalRow, Plan

SHORTAGES = (1, 2)
"""Levels of the goals that are shortages: of firm demand, and of all other."""

COST = 3
"""Level of the goal that is money."""


def reached(best: Incumbent, plan: Plan, counts: Callable[[DemandRow], bool]) -> tuple[GoalRow, ...]:
    """Return the goals with what a plan reaches, nothing proven; only demands that count are looked at."""
    chosen = best.built.chosen
    weights = {wish.name: wish.weight for wish in chosen.frame.wishes}
    short = dict(zip(SHORTAGES, (0, lacking_weight(chosen.farm, plan)), strict=True))
    for row in plan.demands:
        if counts(row):
            level = SHORTAGES[0] if row.firm else SHORTAGES[1]
            short[level] += weights.get(row.demand, 0) * (row.amount - row.filled)
    found = []
    for goal in every_goal(chosen):
        value: float = short.get(goal.level, 0)
        if goal.level not in SHORTAGES:
            value = sum(weight * best.values[variable.index] for weight, variable in goal.terms)
        if goal.level == COST:
            value = value / MILLI / CENT
        found.append(
            GoalRow(
                level=goal.level,
                goal=goal.name,
                value=float(value),
                unit=goal.unit,
                bound=None,
                status="best found",
            )
        )
    return tuple(found)
