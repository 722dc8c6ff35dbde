"""Ways to break what tables say of each other."""

from dataclasses import fields, replace
from random import Random
from typing import Any

from fuzz.operators import Broken, one, operator, put

from scheduler.farm.farm import Farm
from scheduler.plan.audit import RULES
from scheduler.plan.exact import tells_all
from scheduler.plan.rows import GoalRow, Plan

# --- bookkeeping ----------------------------------------------------------------------------------

TOLD = {
    "demands": ("amount", "filled", "day", "priority", "price"),
    "use": ("used", "slots"),
    "equipment": ("in_use", "washing", "owned"),
    "hours": ("minutes",),
    "coolers": ("heads", "crates", "room"),
    "chains": ("heads", "cut_day", "raft_day"),
    "seed": ("cells", "seeds", "cost"),
    "supplies": ("needed", "packs", "amount", "cost"),
    "boxes": ("value", "products", "short", "boxes"),
    "box_items": ("wanted", "filled"),
    "outlets": ("units", "takings"),
}
"""Tables that follow from others, and columns of them that are worked out."""


@operator("bookkeeping", "products", "boxes", "outlets", totals=False)
def a_total_that_is_wrong(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell one more of something that is worked out from other tables."""
    table = one(draw, [table for table in TOLD if getattr(plan, table)])
    if table is None:
        return None
    row, column = draw.choice(getattr(plan, table)), draw.choice(TOLD[table])
    return farm, put(plan, table, row, **{column: getattr(row, column) + 1})


@operator("bookkeeping", "products", "boxes", "outlets", totals=False)
def a_total_left_out(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out a row of a table that follows from others, or tell it twice."""
    table = one(draw, [table for table in TOLD if getattr(plan, table)])
    if table is None:
        return None
    rows = list(getattr(plan, table))
    at = draw.randrange(len(rows))
    rows[at : at + 1] = draw.choice(([], [rows[at], rows[at]]))
    tables: dict[str, Any] = {table: tuple(rows)}
    return farm, replace(plan, **tables)


@operator("bookkeeping", totals=False)
def a_goal_that_is_wrong(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell less than nothing or far too much as short, leave a shortage out, or prove it without a limit."""
    goal = one(draw, [goal for goal in plan.goals if goal.level in (1, 2)])
    if goal is None:
        return None
    wrong: list[dict[str, Any]] = [
        {"value": -1.0},
        {"value": goal.value + 10.0**15},
        {"bound": None, "status": "proven"},
        {"level": 6},
    ]
    return farm, put(plan, "goals", goal, **draw.choice(wrong))


@operator("bookkeeping", totals=False)
def a_cost_or_points_that_are_wrong(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell a cost a hundredth off or points one off, far off, by another name or unit, or not at all."""
    goal = one(draw, [goal for goal in plan.goals if goal.level in (3, 5) and tells_all(plan)])
    if goal is None:
        return None
    least = 0.01 if goal.level == 3 else 1.0
    wrong: list[dict[str, Any]] = [
        {"value": goal.value + draw.choice((-1, 1)) * draw.choice((least, 1.0, 10.0**9))},
        {"unit": "shells"},
        {"goal": "luck"},
        {"level": 6},
    ]
    return farm, put(plan, "goals", goal, **draw.choice(wrong))


@operator("bookkeeping", totals=False)
def a_limit_that_is_passed(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell a limit of a goal that the plan itself is better than."""
    goal = one(draw, plan.goals)
    if goal is None:
        return None
    return farm, put(
        plan, "goals", goal, bound=goal.value + draw.choice((0.01, 1.0)) + abs(goal.value) / 10**9
    )


@operator("bookkeeping", totals=False)
def a_change_that_cannot_be(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Tell as change from the plan before what no lots and plants come to, or tell it twice."""
    told = GoalRow(
        level=4, goal="change from the plan before", value=0.0, unit="points", bound=None, status="best found"
    )
    broken = draw.choice((*(replace(told, value=value) for value in (-300.0, 1.0, 304.0)), None))
    return farm, replace(plan, goals=(*plan.goals, *((broken,) if broken else (told, told))))


@operator("bookkeeping", totals=False)
def a_row_that_is_not_cleaned(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out the cleaning of a row between two crops, or do it on another day."""
    task = one(draw, [task for task in plan.tasks if task.work == "clean"])
    if task is None:
        return None
    if draw.random() < 0.5:
        return farm, put(plan, "tasks", task, day=task.day + 1)
    return farm, replace(plan, tasks=tuple(each for each in plan.tasks if each is not task))


@operator("bookkeeping", totals=False)
def a_task_that_is_wrong(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out a task, tell it for the day after, or for one more."""
    task = one(draw, plan.tasks)
    if task is None:
        return None
    if draw.random() < 0.3:
        return farm, replace(plan, tasks=tuple(each for each in plan.tasks if each is not task))
    if draw.random() < 0.5 or task.work in ("chore", "clean", "lift"):
        return farm, put(plan, "tasks", task, day=task.day + 1)
    return farm, put(plan, "tasks", task, plants=task.plants + 1)


@operator("bookkeeping", totals=False)
def a_task_that_names_something_else(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Call a task of a lot by another name, or let it name another crop, kind of units or number of them."""
    task = one(draw, [task for task in plan.tasks if task.lot and tells_all(plan)])
    if task is None:
        return None
    new = draw.choice(({"key": f"{task.key} again"}, {"crop": "Samphire"}, {"unit_kind": "tub"},
                       {"units": task.units + 1}))  # fmt: skip
    return farm, put(plan, "tasks", task, **new)


@operator("bookkeeping", totals=False)
def no_tasks_at_all(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out every task."""
    return (farm, replace(plan, tasks=())) if tells_all(plan) and plan.lots else None


@operator("bookkeeping", totals=False)
def a_chain_that_is_cut_off(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Leave out the trays or boards that heads came from, or follow no heads at all."""
    found = [(row, column) for row in plan.chains for column in ("trays", "boards") if getattr(row, column)]
    pair = one(draw, [pair for pair in found if tells_all(plan)])
    if pair is None:
        return None
    if draw.random() < 0.3:
        stray = replace(pair[0], heads=0, lot=draw.choice((pair[0].lot, "No such lot")))
        return farm, replace(plan, chains=(*plan.chains, stray))
    if draw.random() < 0.3:
        return farm, put(plan, "chains", pair[0], trays="", boards="", board_day=None)
    return farm, put(plan, "chains", pair[0], **{pair[1]: ""})


@operator("bookkeeping", totals=False)
def a_reason_for_what_is_filled(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Say what stood in the way of a delivery that is filled."""
    row = one(draw, [row for row in plan.demands if row.state == "filled"])
    return None if row is None else (farm, put(plan, "demands", row, reason="no row was free"))


NAMED = {
    "positions": ("unit", "place"),
    "contents": ("unit", "lot"),
    "cuts": ("unit", "lot"),
    "fills": ("demand",),
    "chains": ("lot",),
    "units": ("kind",),
    "lots": ("crop",),
    "use": ("place",),
}
"""Tables and columns of them that name something."""


@operator("bookkeeping", *sorted(set(RULES) - {"bookkeeping"}), totals=False)
def a_name_that_is_unknown(draw: Random, farm: Farm, plan: Plan) -> Broken:
    """Name what does not exist."""
    table = one(draw, [table for table in NAMED if getattr(plan, table)])
    if table is None:
        return None
    row, column = draw.choice(getattr(plan, table)), draw.choice(NAMED[table])
    assert column in {field.name for field in fields(row)}
    return farm, put(plan, table, row, **{column: "No such thing"})
