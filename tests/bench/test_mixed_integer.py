from functools import cache

import pytest
from bench.trials.highs import new_solver
from bench.trials.mixed_integer import Limits, by_highs, by_scip, converted
from bench.trials.model_side import plan_of, whole_model
from farms import delivery, make_farm
from ortools.sat.python import cp_model
from solving import quick_crop

from scheduler.model.search.part import Parts
from scheduler.plan.audit import audit, fault_lines

LIMITS = Limits(seconds=60, gap=0.0)


def two_crops_in_a_row(**needs):
    """Two crops of unlike days that share one short row, so that the order of rafts matters."""
    crops = [quick_crop("Slow", raft=(9, 1, 9_000)), quick_crop("Fast", saleable=9_500)]
    wanted = [
        delivery("Slow", 14, 5, price=300, max_age=0),
        delivery("Fast", 11, 9, max_age=0),
        delivery("Fast", 13, 4, price=150),
        delivery("Slow", 16, 6, firm=False),
    ]
    return make_farm(**({"days": 18, "lane_slots": 2, "crops": crops, "demands": wanted} | needs))


def cut_again(**needs):
    basil = quick_crop("Basil", cuts=3, interval=4)
    wanted = [delivery("Basil", day, 5 + day % 3, max_age=0) for day in (8, 12, 16)]
    return make_farm(**({"days": 18, "lane_slots": 1, "crops": [basil], "demands": wanted} | needs))


FARMS = {
    "two crops in a row": two_crops_in_a_row,
    "the same, rafts lifted out": lambda: two_crops_in_a_row(rules={"lift_out": True}),
    "the same, all or nothing": lambda: two_crops_in_a_row(rules={"all_or_nothing": True}),
    "a crop cut again": cut_again,
}


@cache
def proven(name):
    """A farm, its model and the value of its optimum."""
    farm = FARMS[name]()
    built = whole_model(farm)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(built.model) == cp_model.OPTIMAL
    return farm, built, solver.objective_value


@pytest.mark.parametrize("name", FARMS)
@pytest.mark.parametrize("solve", [by_highs, by_scip])
def test_without_conditions_a_model_has_the_same_optimum(name, solve):
    farm, built, optimum = proven(name)
    heard = []
    found = solve(converted(built), LIMITS, lambda _, values: heard.append(values))
    assert found.proven
    assert found.values is not None
    assert Parts(built.model).holds(found.values)
    goal = built.model.proto.objective
    reached = sum(w * found.values[v] for v, w in zip(goal.vars, goal.coeffs, strict=True))
    assert reached == pytest.approx(optimum)
    assert reached > 0
    assert fault_lines(audit(farm, plan_of(farm, built, found.values))) == []
    assert solve is by_scip or heard[-1] == found.values


def test_a_model_without_conditions_allows_what_the_other_does_and_nothing_else():
    built = whole_model(two_crops_in_a_row())
    mixed = converted(built)
    parts = Parts(built.model)
    found = by_highs(mixed, LIMITS, lambda *_: None).values
    assert found is not None
    conditions = [row for row in mixed.rows if len(row.terms) > 1]

    def kept(values):
        return all(row.low <= sum(w * values[v] for v, w in row.terms) <= row.high for row in conditions)

    assert kept(found)
    for index, (low, high) in enumerate(mixed.limits):
        for value in {low, high}:
            changed = [*found[:index], value, *found[index + 1 :]]
            assert kept(changed) == parts.holds(changed)


def test_a_solver_answers_whatever_number_of_threads_the_one_before_had():
    for threads in (2, 1, 2):
        solver = new_solver(threads)
        each = solver.addVariable(0, 5)
        solver.addConstr(2 * each <= 9)
        solver.maximize(each)
        assert solver.getObjectiveValue() == pytest.approx(4.5)
