"""Programs prove limits in whole numbers, whatever the solver's prices are like."""

import random
from fractions import Fraction

import highspy
import pytest
from bench.trials.highs import new_solver

from scheduler.model.bounds.program import Limit, Program

ENOUGH = Limit(seconds=60)


def made(most, rows):
    program = Program()
    for each in most:
        program.column(each)
    for terms, limit in rows:
        program.keep(terms, limit)
    return program


def any_program(seed):
    """Return a program that the answer of all columns 0 keeps, and a goal that asks for more than that."""
    draw = random.Random(seed)
    columns = draw.randint(2, 6)
    rows = [
        ([(column, draw.randint(-3, 9)) for column in range(columns)], draw.randint(0, 40))
        for _ in range(draw.randint(1, 6))
    ]
    most = [draw.randint(1, 9) for _ in range(columns)]
    rows += [([(column, 1)], limit) for column, limit in enumerate(most)]
    return made(most, rows), {column: draw.randint(-9, 3) for column in range(columns)}


def least(program, goal):
    """Return the least goal that another solver finds."""
    solver = new_solver()
    columns = [solver.addVariable(0, most) for most in program.most]
    for terms, limit in program.rows:
        solver.addConstr(sum(weight * columns[column] for column, weight in terms) <= limit)
    solver.minimize(sum(weight * columns[column] for column, weight in goal.items()))
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return solver.getObjectiveValue()


@pytest.mark.parametrize("seed", range(20))
def test_the_limit_is_what_another_solver_finds(seed):
    program, goal = any_program(seed)
    assert float(program.least(goal, ENOUGH)) == pytest.approx(least(program, goal), abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_poor_prices_prove_no_more_than_is_true(seed):
    program, goal = any_program(seed)
    draw = random.Random(seed)
    best = least(program, goal) + 1e-6
    for scale in (0.01, 1, 100):
        prices = [scale * draw.random() for _ in program.rows]
        assert float(program.proven(goal, prices)) <= best


def test_prices_that_the_solver_did_not_quite_reach_prove_nearly_as_much():
    program = made([10, 10], [([(0, -3), (1, -1)], -12)])
    goal = {0: 3, 1: 2}
    assert program.proven(goal, [3.0]) == 12
    assert 11.9 < program.proven(goal, [2.99]) < 12
    assert 11.9 < program.proven(goal, [3.001]) < 12


def test_limits_are_exact_even_where_numbers_are_large():
    program = made([10**6], [([(0, -7)], -(10**6))])
    found = program.least({0: 3 * 10**9}, ENOUGH)
    assert found <= Fraction(3 * 10**15, 7)
    assert found > Fraction(3 * 10**15, 7) - 1


def test_weights_of_one_column_add_up():
    program = made([9], [([(0, 2), (0, 1)], 6), ([(0, 1), (0, -1)], 0)])
    assert program.rows == [(((0, 3),), 6)]


def test_what_cannot_be_kept_proves_nothing_wrong():
    program = made([2], [([(0, -1)], -5)])
    found = program.least({0: 1}, ENOUGH)
    assert found is None or found >= 0


def test_without_time_nothing_is_proven_and_without_a_goal_nothing_is_asked():
    program = made([9], [([(0, -1)], -5)])
    assert program.least({0: 1}, Limit(seconds=0)) is None
    assert program.least({}, Limit(seconds=0)) == 0


def test_the_solver_s_own_units_end_a_run_as_well():
    program, goal = any_program(3)
    assert program.least(goal, Limit(seconds=60, deterministic=True)) == program.least(goal, ENOUGH)
