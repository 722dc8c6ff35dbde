"""What is short is filled by solving the whole model at once, firm deliveries never for flexible ones."""

import pytest
from model.test_optimum import any_farm
from model.test_part import built_of

from scheduler.model.first.start import nothing
from scheduler.model.goals import shortage
from scheduler.model.search.goal_by_goal import fill_as_one
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine

PLENTY = 30.0


def nothing_sown(seed):
    built = built_of(any_farm(seed))
    return Incumbent(built, Parts(built.model), nothing(built))


def engine_of(units):
    return Engine(SolveSettings(seconds=units, deterministic=True))


def least(best, level, firm=None):
    """The least shortage of a level, of the second with the first no more than ``firm``."""
    model, chosen = best.built.model.clone(), best.built.chosen
    if firm is not None:
        model.add(sum(weight * v for weight, v in shortage(chosen, 1).terms) <= firm)
    model.minimize(sum(weight * v for weight, v in shortage(chosen, level).terms))
    answer = engine_of(PLENTY).run(model, PLENTY)
    assert answer.proven
    return round(answer.objective)


@pytest.mark.parametrize("seed", [601, 604, 607, 611, 613])
def test_all_that_can_be_filled_is(seed):
    best = nothing_sown(seed)
    begun = best.score
    assert fill_as_one(engine_of(PLENTY), best, (), PLENTY)
    firm = least(best, 1)
    assert best.score[:2] == (firm, least(best, 2, firm))
    assert best.score <= begun
    assert best.parts.holds(best.values)


def test_what_is_out_of_reach_is_no_reason_to_search():
    best = nothing_sown(601)
    begun = list(best.values)
    fill_as_one(engine_of(PLENTY), best, range(len(best.built.chosen.frame.wishes)), PLENTY)
    assert best.values == begun


def test_nothing_is_searched_when_the_time_is_up():
    best = nothing_sown(601)
    begun = list(best.values)
    assert not fill_as_one(engine_of(PLENTY), best, (), 0.0)
    assert best.values == begun
