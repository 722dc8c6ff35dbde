import pytest
from bench.trials.books import farm_of
from bench.trials.bounds import bounds_for
from bench.trials.contenders import CONTENDERS
from bench.trials.families import FAMILIES, Case
from bench.trials.judge import judged
from farms import delivery, make_crop, make_farm, target
from seeds import sample
from solving import quick_crop, solved

from scheduler.model.settings import SolveSettings

COSTS = {
    "hour": 1600,
    "tray": 60,
    "board": 20,
    "raft": 20,
    "raft_slot_day": 14,
    "board_slot_day": 10,
    "tray_slot_day": 8,
    "wasted_plant": 20,
    "lot": 25,
}


def planned(**needs):
    farm = make_farm(**({"days": 40, "costs": COSTS} | needs))
    score = judged(farm, solved(farm, seconds=0.15))
    return score, bounds_for(farm, score, 30)


def test_what_rows_cannot_hold_is_short_in_every_plan():
    # one slot of 6 plants, needed from day 4 to 12 by the one and from 6 to 12 by the other
    slow, fast = quick_crop("Slow", raft=(8, 0, 10_000)), quick_crop("Fast", raft=(6, 0, 10_000))
    wanted = [delivery("Slow", 12, 6, max_age=0), delivery("Fast", 12, 6, max_age=0)]
    score, bounds = planned(crops=[slow, fast], lane_slots=1, demands=wanted)
    assert score.short_firm == 6
    assert bounds.firm == pytest.approx(6)


def test_flexible_demand_is_short_by_what_firm_demand_leaves_no_room_for():
    crop = quick_crop(raft=(6, 0, 10_000))
    wanted = [delivery("Lettuce", 12, 4, max_age=0), target("Lettuce", 12, 6, last=12, name="Market")]
    score, bounds = planned(crops=[crop], lane_slots=1, demands=wanted)
    assert (score.short_firm, score.short_flexible) == (0, 4)
    assert bounds.firm == pytest.approx(0)
    assert bounds.flexible == pytest.approx(4)


def test_heads_lost_on_the_raft_are_counted():
    crop = quick_crop(raft=(6, 0, 5_000))
    score, bounds = planned(crops=[crop], lane_slots=1, demands=[delivery("Lettuce", 12, 5, max_age=0)])
    assert score.short_firm == 2
    assert bounds.firm == pytest.approx(2)


@pytest.mark.parametrize("amount_and_wash", sample([(6, 0), (20, 2)], [(6, 2), (12, 0), (12, 2), (20, 0)]))
def test_no_plan_is_cheaper_or_less_short_than_the_bounds(amount_and_wash):
    amount, wash_days = amount_and_wash
    minutes = {"sow": 600, "board": 700, "raft": 400, "cut": 60, "wash": 200}
    crops = [
        make_crop("Lettuce", minutes=minutes, handling={"seed_cost": 1400, "seeds_per_cell": 2}),
        make_crop("Basil", board=None, cuts=2, interval=7, minutes=minutes),
    ]
    wanted = [delivery("Lettuce", 36, amount), delivery("Basil", 30, 5), delivery("Basil", 37, 4)]
    score, bounds = planned(crops=crops, demands=wanted, wash_days=wash_days, lane_slots=3)
    assert bounds.firm <= score.short_firm + 1e-6
    assert score.cost / 4 < bounds.cost < score.cost


def test_with_full_trays_boards_and_rafts_a_plan_costs_as_much_as_its_bound_and_the_lot():
    crop = make_crop("Lettuce", per_tray=20, per_board=20, per_raft=20, minutes={"cut": 60, "sow": 600})
    farm_costs = COSTS | {"lot": 300}
    score, bounds = planned(crops=[crop], demands=[delivery("Lettuce", 36, 20)], costs=farm_costs)
    assert score.short_firm == 0
    assert score.cost == pytest.approx(bounds.cost + 3.00)


def test_the_bounds_of_an_invented_farm_hold_for_its_plan_by_hand():
    farm = farm_of(Case(family=FAMILIES["micro"], load=110, orders="steady", seed=1))
    plan = CONTENDERS["hand"](farm, SolveSettings()).plan
    assert plan is not None
    score = judged(farm, plan)
    bounds = bounds_for(farm, score, 60)
    assert 0 < bounds.firm + bounds.flexible < score.short_firm
    assert 0 < bounds.cost < score.cost


def test_what_the_planner_counts_as_cost_and_the_judge_agree():
    minutes = {"sow": 600, "raft": 400, "cut": 60, "wash": 200}
    crops = [quick_crop("Lettuce", minutes=minutes, handling={"seed_cost": 1400}, saleable=9_000)]
    farm = make_farm(days=30, crops=crops, costs=COSTS, demands=[delivery("Lettuce", 20, 13)], wash_days=1)
    plan = solved(farm)
    goal = next(goal for goal in plan.goals if goal.level == 3)
    assert judged(farm, plan).cost == pytest.approx(goal.value, abs=0.02)
