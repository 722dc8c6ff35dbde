"""What a plan's rows come to is what the planner weighs: the goals of its model, read back, give the same."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm, make_greens, market, target
from model.test_optimum import any_farm
from seeds import sample
from solving import quick_crop, solved

from scheduler.farm.farm import Substitute
from scheduler.farm.units import MILLI
from scheduler.model.answers.read_back import values_of
from scheduler.model.build import build
from scheduler.model.goals import every_goal
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.worth import GOAL_NAMES, cost, points, unit_of

PRICES = {
    "tray": 31,
    "board": 17,
    "raft": 13,
    "hour": 1600,
    "raft_slot_day": 7,
    "board_slot_day": 5,
    "tray_slot_day": 3,
    "bed_slot_day": 2,
    "wasted_plant": 23,
    "lot": 150,
}


def agree(farm):
    """Hold the model's own goals for a plan against what its rows come to, and what the plan says."""
    farm = replace(farm, costs=PRICES)
    plan = solved(farm)
    assert fault_lines(audit(farm, plan)) == []
    built = build(season(farm), bundles_of(farm))
    values = values_of(built, plan)
    goals = {goal.level: goal for goal in every_goal(built.chosen)}
    assert {(row.level, row.goal, row.unit) for row in plan.goals} == {
        (level, GOAL_NAMES[level], unit_of(farm, level)) for level in goals
    }
    weighed = {level: sum(w * values[v.index] for w, v in goal.terms) for level, goal in goals.items()}
    # The model rounds what it weighs down to thousandths for each plant, row of cells and gram cut.
    handled = sum(row.plants for row in plan.contents) * 4 + sum(row.plants for row in plan.cuts) * 3
    handled += sum(farm.crops[row.crop].grams for row in plan.lots for cut in plan.cuts if cut.lot == row.lot)
    handled += sum(row.plants for row in plan.plantings) * (2 + len(plan.pickings))
    assert 0 <= cost(farm, plan) * MILLI - weighed[3] <= handled
    assert points(farm, plan) == weighed[5]
    assert {row.level: row.value for row in plan.goals}[5] == weighed[5]
    return plan


@pytest.mark.parametrize("seed", sample(range(1200, 1208), range(1208, 1212)))
def test_any_plan_comes_to_what_the_planner_weighs(seed):
    agree(replace(any_farm(seed), growing=()))


def test_a_plan_with_beds_comes_to_what_the_planner_weighs():
    crop = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 9_000), curve=(1500, 700), a_week=2)
    wanted = [delivery("Tomato", day, 4, max_age=1) for day in (11, 15, 18)]
    assert agree(make_farm(days=28, crops=[crop], demands=wanted, beds={"Bed": 8})).plantings


def test_a_plan_with_substitutes_and_outlets_comes_to_what_the_planner_weighs():
    kale = quick_crop("Kale", sowing=((50, 60),))
    instead = Substitute(product="Lettuce", rank=2, price=60)
    wanted = [delivery("Kale", 12, 4, substitutes=(instead,)), target("Lettuce", 7, 3)]
    sells = [market("Lettuce", (12, 13), (5, 900), (5, 40))]
    plan = agree(make_farm(days=20, crops=[quick_crop(), kale], demands=wanted, outlets=sells))
    assert sum(row.substituted for row in plan.demands) == 4
    assert plan.sales


def test_a_plan_of_what_is_cut_in_trays_comes_to_what_the_planner_weighs():
    cress = make_greens("Cress", days=5, window=2, grams=150)
    products = {"Cress": {"Cress": 60_000}}
    wanted = [delivery("Cress", 9, 4)]
    assert agree(make_farm(days=20, crops=[cress], products=products, demands=wanted, open_trays=6)).cuts
