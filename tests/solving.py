"""Solving small farms in tests: whole plans, judged by the audit, and single rules on amounts that are fixed.

``solved(farm)`` plans a farm in the solver's own time, so that a slow machine gives the same plan, and
lets the audit judge it. ``allows(farm, rule, amounts)`` asks one rule of the planner about amounts.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from farms import make_crop
from ortools.sat.python.cp_model import FEASIBLE, OPTIMAL, CpModel, CpSolver, IntVar

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.model.build import list_options
from scheduler.model.options.frame import Frame, season
from scheduler.model.options.pools import bundles_of
from scheduler.model.settings import Outcome, SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.variables.decide import decide
from scheduler.model.variables.decisions import Decisions
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.rows import Plan

Rule = Callable[[CpModel, Decisions], None]
Amounts = Callable[[Decisions], Sequence[tuple[IntVar, int]]]


def quick_crop(name: str = "Lettuce", **needs: Any) -> Crop:
    """Return a crop of few days: 3 or 4 in trays, straight to rafts, cut 4 to 6 days later."""
    return make_crop(name, **({"tray": (3, 1, 10_000), "board": None, "raft": (4, 2, 10_000)} | needs))


def outcome(farm: Farm, seconds: float = 0.5, seed: int = 1) -> Outcome:
    """Plan a farm in deterministic time; the plan, if there is one, has no fault in the audit."""
    found = plan_farm(farm, SolveSettings(seconds=seconds, seed=seed, deterministic=True))
    if found.plan is not None:
        assert fault_lines(audit(farm, found.plan)) == []
    return found


def solved(farm: Farm, seconds: float = 0.5) -> Plan:
    """Return the audited plan of a farm."""
    plan = outcome(farm, seconds).plan
    assert plan is not None
    return plan


def got(plan: Plan) -> dict[str, int]:
    """Return demand -> units filled."""
    return {row.demand: row.filled for row in plan.demands}


def shortage_goal(plan: Plan) -> tuple[float, str]:
    """Return the value of the first goal and whether it is proven."""
    goal = next(goal for goal in plan.goals if goal.level == 1)
    return goal.value, goal.status


def posed(farm: Farm, frame: Frame | None = None) -> tuple[CpModel, Decisions]:
    """Return a model with every variable of a farm's season and no rule yet."""
    frame = frame or season(farm)
    model = CpModel()
    chosen = Decisions(frame, list_options(frame), bundles_of(farm), {})
    decide(model, chosen)
    return model, chosen


def allows(farm: Farm, rule: Rule, amounts: Amounts, support: Iterable[Rule] = ()) -> bool:
    """Say whether one rule allows some amounts that the rules of ``support`` alone allow.

    The check without the rule keeps a test from passing because something else is in the way.
    """
    assert _feasible(farm, tuple(support), amounts), "something else than the rule is in the way"
    return _feasible(farm, (*support, rule), amounts)


def _feasible(farm: Farm, rules: Sequence[Rule], amounts: Amounts) -> bool:
    model, chosen = posed(farm)
    for rule in rules:
        rule(model, chosen)
    for variable, value in amounts(chosen):
        assert value <= chosen.most(variable), f"{variable} cannot be {value}"
        model.add(variable == value)
    return is_feasible(model)


def is_feasible(model: CpModel) -> bool:
    """Say whether a model has any answer."""
    solver = CpSolver()
    solver.parameters.num_workers = 1
    return solver.solve(model) in (OPTIMAL, FEASIBLE)


def least(model: CpModel) -> int:
    """Return the least value of a model's goal, proven."""
    solver = CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == OPTIMAL
    return round(solver.objective_value)


def pick(options: Iterable[Any], **wanted: Any) -> Any:
    """Return the only option (or key) whose attributes are as wanted."""
    found = [each for each in options if all(getattr(each, name) == value for name, value in wanted.items())]
    assert len(found) == 1, f"{len(found)} options are {wanted}"
    return found[0]


def rows(chosen: Decisions, **wanted: Any) -> IntVar:
    """Return the tray rows of one option."""
    return chosen.tray_rows[pick(chosen.tray_rows, **wanted)]


def boarded(chosen: Decisions, sown: int | None, board_day: int, day: int, **wanted: Any) -> IntVar:
    """Return the board plants of one option; ``sown`` None is what grows on boards already."""
    found = [
        out
        for out in chosen.board_plants
        if (out.source.sown if out.source else None) == sown and (out.board_day, out.day) == (board_day, day)
    ]
    return chosen.board_plants[pick(found, **wanted)]


def set_out(chosen: Decisions, day: int, **wanted: Any) -> IntVar:
    """Return the plants that one option sets on rafts on a day."""
    return chosen.raft_plants[pick(chosen.raft_plants, day=day, **wanted)]


def cut(chosen: Decisions, entered: int, day: int, number: int = 1, **wanted: Any) -> IntVar:
    """Return the plants of one raft option that are cut on a day."""
    after = wanted.pop("after", None)
    option = pick(chosen.raft_plants, day=entered, **wanted)
    step = pick(option.cuttings, number=number, day=day, after=after)
    return chosen.cut_plants[option, step]


def queue(chosen: Decisions, enters: int, leaves: int, **wanted: Any) -> IntVar:
    """Return the rafts that enter on one day and leave on another."""
    crop = wanted.pop("crop", None)
    found = [each for each in chosen.queues if crop in (None, each.raft_class.crop)]
    return chosen.queues[pick(found, enters=enters, **wanted)][leaves]
