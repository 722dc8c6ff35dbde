"""Plans of one farm on another: kept where they keep every rule there, and never worse than what is known."""

from dataclasses import replace
from math import ceil

import pytest
from compared import SECONDS, farm
from farms import chore, delivery, make_farm, make_greens
from solving import got, quick_crop, solved

from scheduler.farm.loops.fish import FishTank
from scheduler.farm.loops.water import Band, Water
from scheduler.plan.audit import audit
from scheduler.plan.carried import Kept, best_of_all, carried, least_short, score, weighted_shortage


@pytest.fixture(scope="module")
def small():
    of = farm()
    return of, solved(of, SECONDS)


@pytest.fixture(scope="module")
def large():
    of = farm(lanes=2)
    return of, solved(of, SECONDS)


def test_a_larger_farm_can_do_what_the_smaller_one_does(small):
    of, plan = small
    more = farm(lanes=2, tier_slots=20, boards=60, rafts=70)
    found = carried(more, plan)
    assert found is not None
    assert audit(more, found) == []
    assert got(found) == got(plan)
    assert {row.place for row in found.use} == {place.name for place in more.places}


def test_what_a_plan_needs_and_a_farm_lacks_is_not_carried(small, large):
    assert carried(small[0], large[1]) is None
    assert carried(farm(lane_slots=1), small[1]) is None
    assert carried(farm(rafts=1), small[1]) is None
    assert carried(farm(crops=[quick_crop("Basil")], demands=[]), small[1]) is None


def test_higher_orders_count_what_is_cut_for_them_and_gone_ones_drop_it(small):
    of, plan = small
    higher = replace(of, demands=tuple(replace(each, amount=each.amount + 2) for each in of.demands))
    found = carried(higher, plan)
    assert found is not None
    assert {row.amount for row in found.demands} == {20}
    assert sum(got(found).values()) == sum(got(plan).values())
    fewer = replace(of, demands=of.demands[:2])
    found = carried(fewer, plan)
    assert found is not None
    assert set(got(found)) == {"D10", "D17"}


@pytest.mark.parametrize(("bound", "open_"), [(None, 36.0), (0.0, 36.0), (20.5, 15.5), (36.0, 0.0)])
def test_what_must_be_short_is_told_by_the_goals_of_the_own_plan_alone(small, bound, open_):
    of, plan = small
    short = weighted_shortage(of, plan)[0]
    goal = replace(plan.goals[0], value=36.0, bound=bound)
    assert (goal.level, goal.value < short) == (1, True)
    # what no sowing can reach is in no goal and is short in every plan
    assert least_short(of, replace(plan, goals=(goal,))) == short - ceil(open_)
    assert least_short(of, replace(plan, goals=())) is None


def test_what_is_short_past_the_last_reported_day_is_left_out_where_only_what_is_reported_counts(small):
    of, plan = small
    past = replace(of, demands=tuple(replace(each, reported=False) for each in of.demands))
    assert weighted_shortage(of, plan) == weighted_shortage(of, plan, reported=True)
    assert weighted_shortage(past, plan)[0] > 0
    assert weighted_shortage(past, plan, reported=True) == (0, 0)


def test_a_plan_is_worse_by_what_is_short_before_anything_it_costs(small, large):
    assert score(small[0], small[1])[0] > score(large[0], large[1])[0]
    cheaper = replace(small[0], costs={})
    assert score(cheaper, small[1])[2] == 0 < score(*small)[2]


def test_the_first_goal_of_a_plan_is_its_score(small):
    of, plan = small
    (goal,) = [goal.value for goal in plan.goals if goal.level == 1]
    assert score(of, plan)[0] == goal


def test_the_cost_in_a_score_is_that_of_the_goals_to_the_next_hundredth(small):
    cress = make_greens("Cress", days=5, window=2, grams=150)
    orders = [delivery("Cress", 8, 100)]
    of = make_farm(
        days=20, crops=[cress], open_trays=9, demands=orders, costs={"wasted_plant": 30, "tray": 50}
    )
    # Of one tray of 150 g a third is left over.
    for on, plan, cents in ((of, solved(of, SECONDS), 50 + 10), (*small, None)):
        (money,) = [goal.value for goal in plan.goals if goal.level == 3]
        assert score(on, plan)[2] == ceil(round(money * 100, 6))
        assert cents in (None, score(on, plan)[2])


def test_every_farm_keeps_the_best_plan_there_is_for_it(small, large):
    idle = carried(large[0], small[1])
    farms = {"small": small[0], "large": large[0]}
    kept = best_of_all(farms, {"small": small[1], "large": large[1]})
    assert (kept["small"].of, kept["large"].of) == ("small", "large")
    kept = best_of_all(farms, {"small": small[1], "large": nothing(large[1])})
    assert kept["large"].of == "small"
    assert got(kept["large"].plan) == got(idle)


def nothing(plan):
    """Return a plan in which nothing is sown."""
    bare = replace(
        plan, lots=(), units=(), contents=(), positions=(), cuts=(), fills=(), chains=(), seed=(), tasks=()
    )
    return replace(bare, use=(), equipment=(), hours=())


def test_of_equal_plans_a_farm_keeps_its_own_and_the_order_of_farms_does_not_matter(small):
    of, plan = small
    farms, plans = {"b": of, "a": of, "c": of}, {"b": plan, "a": plan, "c": nothing(plan)}
    kept = best_of_all(farms, plans)
    assert {name: each.of for name, each in kept.items()} == {"a": "a", "b": "b", "c": "a"}
    turned = best_of_all(dict(reversed(farms.items())), dict(reversed(plans.items())))
    assert turned == kept
    assert isinstance(turned["c"], Kept)


def test_a_delivery_past_the_last_day_weighs_a_thousandth():
    late = delivery("Lettuce", 40, 6, reported=False)
    of = farm(demands=[late])
    plan = solved(farm(demands=[]), SECONDS)
    assert score(of, plan)[0] == 6 * 100 * 10**3 // 1000


def test_a_farm_without_a_plan_of_its_own_takes_the_best_of_others_or_has_none(small):
    of, plan = small
    kept = best_of_all({"own": of, "none": farm(lanes=2), "tight": farm(lane_slots=1)}, {"own": plan})
    assert {name: each.of for name, each in kept.items()} == {"own": "own", "none": "own"}


def test_chores_and_fish_are_those_of_the_farm_it_is_carried_to(small):
    _, plan = small
    fish = FishTank(name="Tank", species="Carp", stocked=0, until=999, yearly=365_000 * 90, ratio=1000)
    bands = {"leafy": Band(low=40, high=50), "fruiting": Band(low=50, high=80)}
    with_both = replace(
        farm(),
        chores=(chore(2, 0),),
        water=Water(tanks=(fish,), parts=("Tank", "Trough"), bands=bands),
    )
    found = carried(with_both, plan)
    assert found is not None
    assert [task.key for task in found.tasks] == ["chore Flush the filter 2026-03-04"]
    assert {row.eaten for row in found.water} == {90}


def test_smaller_orders_take_no_more_than_they_ask_for_and_the_rest_is_left_over(small):
    of, plan = small
    smaller = replace(of, demands=tuple(replace(each, amount=each.amount - 9) for each in of.demands))
    found = carried(smaller, plan)
    assert found is not None
    assert audit(smaller, found) == []
    heads = {name: sum(row.heads for row in found.fills if row.demand == name) for name in got(found)}
    assert heads == got(found)
    assert sum(row.heads for row in found.chains) == sum(heads.values()) < sum(got(plan).values())
    assert {row.heads for row in found.cuts} == {row.heads for row in plan.cuts}
