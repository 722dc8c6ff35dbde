"""A part of a plan on its own: the same answers as the whole model with everything else fixed."""

import random

import pytest
from farms import make_farm
from model.test_optimum import any_farm
from ortools.sat.python.cp_model import OPTIMAL, CpModel, CpSolver
from seeds import sample
from solving import is_feasible, least

from scheduler.model.build import build
from scheduler.model.first.start import nothing
from scheduler.model.goals import blend
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.part import Parts
from scheduler.model.search.selection import Part, Selection


def built_of(farm):
    built = build(season(farm), bundles_of(farm))
    built.model.minimize(blend(built.chosen))
    return built


def fixed(model, values, free):
    """The whole model with all variables but ``free`` at their values."""
    clone = model.clone()
    for index, value in enumerate(values):
        if index not in free:
            clone.add(clone.get_int_var_from_proto_index(index) == value)
    return clone


def objective(model, values):
    goal = model.proto.objective
    return sum(weight * values[index] for index, weight in zip(goal.vars, goal.coeffs, strict=True))


def solution(model):
    solver = CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == OPTIMAL
    return list(solver.response_proto.solution)


@pytest.mark.parametrize("seed", sample(range(600, 608), range(608, 616)))
def test_a_part_has_the_best_answer_that_the_whole_model_has_with_the_rest_fixed(seed):
    built = built_of(any_farm(seed))
    draw = random.Random(seed)
    values = nothing(built)
    parts = Parts(built.model)
    for _ in range(3):
        first = draw.randint(0, 12)
        part = Part(
            crops=frozenset(draw.choice(([], ["Lettuce"]))), first=first, last=first + draw.randint(0, 8)
        )
        free = Selection(built.chosen).variables(part)
        free -= set(draw.sample(sorted(free), len(free) // 5))
        cut = parts.cut(values, free)
        merged = cut.whole(values, solution(cut.model))
        assert parts.holds(merged)
        assert objective(built.model, merged) == least(fixed(built.model, values, free))
        values = merged


def test_the_hint_of_a_part_is_the_answer_it_was_cut_from():
    built = built_of(any_farm(601))
    values = nothing(built)
    cut = Parts(built.model).cut(values, set(range(0, len(values), 2)))
    assert cut.whole(values, cut.hint) == values


@pytest.mark.parametrize("seed", range(616, 622))
def test_an_answer_holds_exactly_when_the_solver_says_so(seed):
    built = built_of(any_farm(seed))
    parts, values, draw = Parts(built.model), nothing(built), random.Random(seed)
    verdicts = set()
    for _ in range(12):
        tried = list(values)
        for index in draw.sample(range(len(tried)), draw.randint(0, 2)):
            tried[index] = max(0, tried[index] + draw.choice((-1, 1)))
        says = parts.holds(tried)
        verdicts.add(says)
        assert says == is_feasible(fixed(built.model, tried, set()))
    assert verdicts == {True, False}


def test_a_limit_can_be_lowered_for_a_part():
    model = CpModel()
    first, second = model.new_int_var(0, 9, "first"), model.new_int_var(0, 9, "second")
    model.add(first + second <= 12)
    model.minimize(-3 * first - second)
    cut = Parts(model).cut([0, 0], {0, 1}, {0: 4})
    assert cut.whole([0, 0], solution(cut.model)) == [4, 8]


def test_a_switch_that_is_fixed_switches_its_constraint_on_or_off():
    model = CpModel()
    switch, amount = model.new_bool_var("switch"), model.new_int_var(0, 9, "amount")
    model.add(amount <= 3).only_enforce_if(switch)
    model.add(amount <= 5).only_enforce_if(~switch)
    model.minimize(-amount)
    for value, most in ((1, 3), (0, 5)):
        cut = Parts(model).cut([value, 0], {1})
        assert cut.whole([value, 0], solution(cut.model)) == [value, most]


def test_a_constraint_that_no_rule_makes_is_refused():
    model = CpModel()
    model.add_all_different([model.new_int_var(0, 3, "a"), model.new_int_var(0, 3, "b")])
    with pytest.raises(ValueError, match="neither linear nor an implication"):
        Parts(model)


def test_every_rule_makes_only_constraints_a_part_can_take():
    for rules in ({}, {"lift_out": True}, {"all_or_nothing": True, "share_rafts": True}):
        farm = make_farm(days=40, rules=rules)
        assert Parts(built_of(farm).model) is not None
