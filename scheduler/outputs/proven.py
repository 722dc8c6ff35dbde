"""What is proven about a plan, in sentences: how much better any plan could be at most."""

from math import ceil, floor

from scheduler.plan.rows import GoalRow, Plan

FIRM, FLEXIBLE, COST = 1, 2, 3
TENTHS = 1000
"""Tenths of a percent in a whole."""

NOTHING = "0 %"
EARLY = "; all that is short is too early for a new sowing"


def proven_lines(plan: Plan) -> list[str]:
    """Return a sentence for each of the first three goals with a limit that says something."""
    goals = {goal.level: goal for goal in plan.goals}
    # What is short only past the last reported day is in the goals, but nobody is told of it.
    missing = [row for row in plan.demands if row.reported and row.filled < row.amount]
    short, sown = {row.firm for row in missing}, {row.firm for row in missing if row.state == "short"}
    levels = ((FIRM, True, "firm deliveries"), (FLEXIBLE, False, "flexible deliveries and targets"))
    told = [each for each in levels if each[0] in goals and each[1] in short]
    found = []
    for level, firm, word in told:
        line = _shortage(goals[level], word, after=not firm and any(row.firm for row in plan.demands))
        found.append(line + EARLY if line and firm not in sown else line)
    found += [_cost(goals[COST])] if COST in goals else []
    return [line for line in found if line]


def _shortage(goal: GoalRow, of: str, *, after: bool) -> str:
    """Say how much every plan leaves short; ``after``: every one that is as good in firm deliveries."""
    if goal.value <= 0 or not goal.bound:
        return ""
    plan = "plan that is as good in firm deliveries" if after else "plan"
    if goal.bound >= goal.value:
        return f"Proven: no {plan} leaves less of the {of} short"
    share = _percent(goal.bound, goal.value)
    if share == NOTHING:
        return ""
    return (
        f"Proven: every {plan} is short of {of}, by at least {share} of what this one is short of, "
        "counted by price and priority"
    )


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
