"""Mixes are planned by weight: every part is grown for a bag, or the bag is short."""

import random
from dataclasses import replace

import pytest
from farms import delivery, make_farm, make_mix
from model.second_planner import least_shortage
from model.test_optimum import any_farm, weighted_shortage
from seeds import blocks, each_of
from solving import allows, got, outcome, quick_crop, solved

from scheduler.farm.farm import Substitute
from scheduler.farm.orders.reach import earliest_reach
from scheduler.model.rules.cuts import deliveries
from scheduler.model.variables.decisions import MIXED
from scheduler.plan.tally import demand_heads, units_given

NEVER = ((100, 200),)
FIXED = make_mix("Salad", 150, ("Lettuce", 60, 60, 60, 90), ("Kale", 40, 40, 40, 30))
LOOSE = make_mix("Salad", 150, ("Lettuce", 40, 60, 100, 75), ("Kale", 0, 40, 60, 30))


def farm(mix, *demands, unsown=(), **needs):
    crops = [
        quick_crop(name, **({"sowing": NEVER} if name in unsown else {})) for name in ("Lettuce", "Kale")
    ]
    return make_farm(**({"days": 20, "crops": crops, "mixes": [mix]} | needs), demands=demands)


def test_both_parts_are_grown_for_every_bag():
    made = farm(FIXED, delivery("Salad", 9, 6))
    plan = solved(made)
    assert got(plan) == {"Salad 9": 6}
    heads = demand_heads(plan.fills)["Salad 9"]
    assert heads["Lettuce"] >= 6
    assert heads["Kale"] >= 12


def test_a_mix_that_lacks_a_part_is_short_and_nothing_is_grown_for_it():
    plan = solved(farm(FIXED, delivery("Salad", 9, 6), unsown=["Kale"]))
    assert got(plan) == {"Salad 9": 0}
    assert plan.lots == ()


def test_a_part_that_may_be_left_out_gives_way_to_the_other():
    made = farm(LOOSE, delivery("Salad", 9, 6), unsown=["Kale"])
    plan = solved(made)
    assert got(plan) == {"Salad 9": 6}
    assert demand_heads(plan.fills)["Salad 9"] == {"Lettuce": 12}


def test_a_mix_is_in_reach_once_all_it_needs_is():
    slow = quick_crop("Kale", raft=(9, 2, 10_000))
    days = [
        earliest_reach(make_farm(days=20, crops=[quick_crop(), slow], mixes=[mix]))["Salad"]
        for mix in (FIXED, LOOSE)
    ]
    assert days == [12, 7]


def test_a_plain_product_stands_in_for_a_mix_though_it_shares_a_crop():
    order = delivery("Salad", 9, 6, substitutes=(Substitute(product="Lettuce", rank=1, price=90),))
    made = farm(FIXED, order, unsown=["Kale"])
    assert units_given(made, solved(made)) == {"Salad 9": {"Lettuce": 6}}


@pytest.mark.parametrize(
    ("lettuce", "kale", "bags", "allowed"),
    [(4, 8, 4, True), (4, 8, 5, False), (4, 7, 4, False), (3, 8, 4, False), (5, 9, 4, True)],
)
def test_bags_are_no_more_than_the_parts_make(lettuce, kale, bags, allowed):
    made = farm(FIXED, delivery("Salad", 9, 8, max_age=0))

    def amounts(chosen):
        return [
            (chosen.fills["Lettuce", 9, 0], lettuce),
            (chosen.fills["Kale", 9, 0], kale),
            (chosen.units[0, MIXED], bags),
        ]

    assert allowed is allows(made, deliveries, amounts)


@pytest.mark.parametrize(
    ("kale", "bags", "allowed"),
    [(0, 2, True), (0, 3, False), (4, 3, False), (5, 3, True), (20, 5, True), (20, 6, False), (14, 5, False)],
)
def test_shares_move_within_their_bounds(kale, bags, allowed):
    """Four heads of Lettuce are 300 g: two bags alone, three with 150 g of Kale, five with 450 g."""
    made = farm(LOOSE, delivery("Salad", 9, 8, max_age=0))

    def amounts(chosen):
        return [
            (chosen.fills["Lettuce", 9, 0], 4),
            (chosen.fills["Kale", 9, 0], kale),
            (chosen.units[0, MIXED], bags),
        ]

    assert allowed is allows(made, deliveries, amounts)


def with_mixes(seed):
    """A farm of the other tests of the optimum, in which a mix of its two crops is ordered as well."""
    made, draw = any_farm(seed), random.Random(seed)
    usual = draw.choice((30, 50, 70))
    least, most = draw.choice(((usual, usual), (usual - 20, usual + 20), (0, 100)))
    mix = make_mix(
        "Salad",
        draw.choice((50, 100)),
        ("Lettuce", least, usual, most, draw.randint(20, 60)),
        ("Kale", 100 - most, 100 - usual, 100 - least, draw.randint(20, 60)),
    )
    demands = tuple(
        replace(demand, product="Salad") if draw.random() < 0.6 else demand for demand in made.demands
    )
    return replace(made, products={**made.products, "Salad": mix}, demands=demands)


def agrees(seed):
    made = with_mixes(seed)
    plan = outcome(made, seconds=20).plan
    assert plan is not None
    assert next(goal for goal in plan.goals if goal.level == 1).status == "proven"
    assert weighted_shortage(plan) == least_shortage(made)


TWO_CROPS = [seed for seed in range(200, 230) if len(any_farm(seed).crops) > 1]


@pytest.mark.parametrize("seed", TWO_CROPS[:8])
def test_the_proven_shortage_of_mixes_is_what_another_model_and_solver_find(seed):
    agrees(seed)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(range(300, 700)))
def test_the_proven_shortage_of_mixes_is_what_another_model_and_solver_find_long(seeds):
    each_of([seed for seed in seeds if len(any_farm(seed).crops) > 1], agrees)
