"""Limits are found beside the search, end up with the plan, and end the search for what cannot be had."""

import threading
from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm, target
from model.any_season import any_season
from seeds import sample
from solving import outcome, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.model import solve
from scheduler.model.bounds.bound import Bounds, bounds
from scheduler.model.bounds.proof import Proof
from scheduler.model.options.frame import season
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.solver.engine import Engine

COSTS = {"hour": 1600, "tray": 60, "raft": 20, "raft_slot_day": 14, "tray_slot_day": 8}


def narrow(**needs):
    """A farm with two rafts, of which deliveries of 10 on every seventh day want three each: 12 fit."""
    orders = [delivery("Lettuce", day, 18, max_age=0) for day in range(14, 60, 7)]
    return make_farm(**({"days": 63, "crops": [quick_crop()], "lane_slots": 2, "demands": orders} | needs))


def goals_of(plan):
    return {goal.level: goal for goal in plan.goals}


def proof_of(farm, stop=None, **settings):
    engine = Engine(SolveSettings(**({"seconds": 60, "deterministic": True} | settings)), stop)
    return Proof(engine, season(farm))


@pytest.fixture
def as_large(monkeypatch):
    """Plan every book as if it were a large one."""
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)


@pytest.mark.parametrize("seed", sample(range(530, 537), range(537, 545)))
def test_the_plan_tells_limits_of_all_three_goals_that_it_does_not_pass(seed):
    goals = goals_of(outcome(any_season(seed), seconds=10).plan)
    for level in (1, 2, 3):
        assert goals[level].bound is None or goals[level].bound <= goals[level].value
    assert goals[1].bound is not None
    assert goals[2].bound is not None


@pytest.mark.parametrize("seed", sample((545, 547), (546, *range(548, 551))))
def test_a_plan_of_a_large_book_has_limits_as_well(as_large, seed):
    farm = any_season(seed)
    goals = goals_of(outcome(farm, seconds=1).plan)
    for level in (1, 2, 3):
        assert goals[level].bound is None or goals[level].bound <= goals[level].value
    assert goals[1].bound is not None


def test_what_no_plan_can_fill_is_proven_and_the_search_goes_on_to_cost(as_large):
    told = []
    farm = narrow(costs=COSTS)
    found = plan_farm(farm, SolveSettings(seconds=0.3, deterministic=True), told.append)
    goal = goals_of(found.plan)[1]
    assert (goal.value, goal.status) == (goal.bound, "proven")
    assert goal.value == 7 * 6 * season(farm).wishes[0].weight
    phases = [progress.phase for progress in told]
    assert "saving seed, work and space" in phases
    assert not any(phase.startswith("filling shortages, round 2") for phase in phases)


def test_the_progress_tells_the_limit(as_large):
    told = []
    plan_farm(narrow(), SolveSettings(seconds=0.3, deterministic=True), told.append)
    assert told[-1].value == told[-1].bound > 0


def test_what_is_out_of_reach_counts_neither_as_short_nor_in_the_limit():
    farm = narrow(days=20, demands=[delivery("Lettuce", 2, 6), delivery("Lettuce", 16, 18, max_age=0)])
    told = []
    found = plan_farm(farm, SolveSettings(seconds=1, deterministic=True), told.append)
    goal = goals_of(found.plan)[1]
    weight = season(farm).wishes[0].weight
    assert goal.value == goal.bound == 6 * weight
    assert told[-1].bound == 6 * weight


def test_the_better_of_two_limits_counts():
    proof = proof_of(narrow())
    for firm, flexible in ((5, 7), (4, 9)):
        proof.add(1, firm, 6)
        proof.add(2, flexible, 6)
    assert proof.least(1, (6, 9, 0)) == 5
    assert proof.least(2, (6, 9, 0)) == 9


def test_a_limit_that_a_plan_passes_is_not_believed():
    proof = proof_of(narrow())
    proof.add(1, 5, 3)
    proof.add(2, 9, 3)
    assert proof.least(1, (3, 0, 0)) == 0
    assert proof.least(2, (3, 8, 0)) == 0
    assert not proof.settled(1, (3, 0, 0))


def test_a_limit_of_plans_less_short_says_nothing_of_one_that_is_shorter():
    orders = [delivery("Lettuce", 14, 8, max_age=0), target("Lettuce", 14, 10, last=14)]
    farm = narrow(demands=orders, costs=COSTS, days=21)
    weight = season(farm).wishes[0].weight
    proof = proof_of(farm)
    proof.prove((0, 10 * weight, 0))
    assert proof.least(2, (0, 10 * weight, 0)) == 6 * weight
    assert proof.least(2, (weight, 10 * weight, 0)) == 0
    cost = bounds(farm, season(farm), (0, 10 * weight), 60).cost
    assert cost > 0
    assert proof.least_cost((0, 7 * weight, 5)) == cost
    assert proof.least_cost((weight, 10 * weight, 5)) is None
    assert proof.least_cost((0, 11 * weight, 5)) is None


def test_beside_the_search_the_same_is_found_as_in_between():
    farm = any_season(512)
    score = (10**9, 10**9, 0)
    apart, beside = proof_of(farm), proof_of(farm, deterministic=False)
    for proof in (apart, beside):
        proof.look(score)
        proof.prove(score)
    for level in (1, 2):
        assert apart.least(level, score) == beside.least(level, score)
    assert apart.least_cost(score) == beside.least_cost(score)


@pytest.mark.parametrize("deterministic", [True, False])
def test_once_asked_to_stop_nothing_more_is_looked_for(deterministic):
    stop = threading.Event()
    proof = proof_of(narrow(), stop, deterministic=deterministic)
    stop.set()
    proof.look((10**9, 0, 0), shortages_done=True)
    proof.prove((10**9, 0, 0))
    assert proof.least(1, (10**9, 0, 0)) == 0
    assert proof.least_cost((10**9, 0, 0)) is None


def test_a_wish_to_stop_reaches_a_relaxation_that_is_being_written(monkeypatch):
    stop, begun = threading.Event(), threading.Event()
    proof = proof_of(narrow(), stop, deterministic=False, seconds=10_000)

    def endless(_farm, _wishes, _last, pulse, _whole):
        begun.set()
        while True:
            pulse()

    monkeypatch.setattr("scheduler.model.bounds.bound.relaxed", endless)
    proof.look((10**9, 0, 0))
    assert begun.wait(60)
    stop.set()
    proof.prove((10**9, 0, 0))
    assert not any(thread.name.startswith("limits") for thread in threading.enumerate())


def test_without_time_there_are_no_limits_but_what_needs_none():
    proof = proof_of(narrow(), seconds=0.0, deterministic=False)
    proof.look((10**9, 0, 0))
    proof.prove((10**9, 0, 0))
    assert proof.least(1, (10**9, 0, 0)) == 0
    assert bounds(narrow(), season(narrow()), None, 0.0) == Bounds()


def test_there_is_a_limit_of_cost_where_what_stands_on_the_first_day_is_kept():
    rows = [growing("Kale", StageKind.BOARD, -1, 6, 1)]
    crops = [quick_crop(), quick_crop("Kale", board=(3, 4, 10_000))]
    orders = [delivery("Kale", 8, 6, max_age=2), delivery("Lettuce", 20, 6)]
    farm = narrow(crops=crops, growing=rows, demands=orders, costs={"discarded_plant": 500, "tray": 20})
    money = goals_of(solved(farm))[3]
    assert money.bound is not None
    assert 0 < money.bound <= money.value == 0.20


def test_a_limit_that_costs_less_than_nothing_is_not_told():
    farm = replace(narrow(), costs={"discarded_plant": 500})
    proof = proof_of(farm)
    proof.prove((10**12, 0, 0))
    least = proof.least_cost((0, 0, 0))
    assert least is None or least >= 0
