"""What is proven about a plan, in sentences: how much better any plan could be at most."""

from math import ceil, floor

from scheduler.plan.rows import GoalRow, Plan

FIRM, FLEXIBLE, COST = 1, 2, 3
TENTHS = 1000
"""Tenths of a percent in a whole."""


def proven_lines(plan: Plan) -> list[str]:
    """Return a sentence for each of the first three goals with a limit that says something."""
    goals = {goal.level: goal for goal in plan.goals}
    # What is short only past the last reported day is in the goals, but nobody is told of it.
    missing = [row for row in plan.demands if row.reported and row.filled < row.amount]
    short, sown = {row.firm for row in missing}, {row.firm for row in missing if row.state == "short"}
    levels = ((FIRM, True, "firm deliveries"), (FLEXIBLE, False, "flexible deliveries and targets"))
    told = [each for each in levels if each[0] in goals and each[1] in short]
    found = [_shortage(goals[level], word, early=firm not in sown) for level, firm, word in told]
    found += [_cost(goals[COST])] if COST in goals else []
    return [line for line in found if line]


def _shortage(goal: GoalRow, of: str, *, early: bool) -> str:
    """Say how much less any plan could leave short; ``early``: nothing a new sowing could fill is missing."""
    what = f"{of}, all too early for a new sowing," if early else of
    if goal.value <= 0 or not goal.bound:
        return ""
    if goal.bound >= goal.value:
        return f"Proven: no plan leaves less of the {what} short"
    share = _percent(goal.bound, goal.value)
    return f"Proven: any plan leaves at least {share} as much of the {what} short, by value"


def _cost(goal: GoalRow) -> str:
    if goal.value <= 0 or not goal.bound:
        return ""
    if goal.bound >= goal.value:
        return "Proven: no plan that fills as much is cheaper"
    below = _percent(goal.value - goal.bound, goal.value, up=True)
    return f"Proven: no plan that fills as much is more than {below} cheaper"


def _percent(part: float, whole: float, *, up: bool = False) -> str:
    """Return a share in percent with one decimal, rounded down or up so that it stays true."""
    exact = TENTHS * part / whole
    return f"{(ceil(exact) if up else floor(exact)) / 10:g} %"
