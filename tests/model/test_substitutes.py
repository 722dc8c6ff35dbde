"""Substitutes fill what would be short, first choice first, and never where what was ordered can be given."""

import random
from dataclasses import replace

import pytest
from farms import delivery, make_farm, target
from model.second_planner import least_shortage
from model.test_optimum import any_farm, weighted_shortage
from seeds import blocks, each_of
from solving import allows, got, outcome, quick_crop, solved

from scheduler.farm.farm import Substitute
from scheduler.model.rules.cuts import deliveries
from scheduler.plan.tally import units_given

NEVER = ((100, 200),)


def instead(*names, price=100, **ranks):
    """Substitutes in this order, or of the ranks given."""
    listed = ranks or {name: at for at, name in enumerate(names, 1)}
    return tuple(
        Substitute(product=name, rank=rank, price=price)
        for name, rank in sorted(listed.items(), key=lambda each: each[1])
    )


def farm(*demands, crops=("Lettuce", "Kale", "Chard"), unsown=(), **needs):
    made = [quick_crop(name, **({"sowing": NEVER} if name in unsown else {})) for name in crops]
    return make_farm(**({"days": 20, "crops": made} | needs), demands=demands)


def given(made, **options):
    plan = solved(made, **options)
    return units_given(made, plan)["Lettuce 9"], plan


def test_a_substitute_fills_what_would_be_missing():
    order = delivery("Lettuce", 9, 8, substitutes=instead("Kale"))
    units, plan = given(farm(order, unsown=["Lettuce"]))
    assert units == {"Kale": 8}
    (row,) = plan.demands
    assert (row.state, row.filled, row.substituted) == ("filled", 8, 8)
    assert {fill.substitute for fill in plan.fills} == {"Kale"}


def test_what_was_ordered_is_given_where_it_can_be_even_when_a_substitute_is_grown_anyway():
    """There is room for two more heads of Kale on its raft, and yet a raft of Lettuce is grown for these."""
    orders = [delivery("Lettuce", 9, 2, substitutes=instead("Kale")), delivery("Kale", 9, 4)]
    units, plan = given(farm(*orders))
    assert units == {"Lettuce": 2}
    assert {lot.crop for lot in plan.lots} == {"Lettuce", "Kale"}


def test_the_first_choice_goes_before_the_second():
    order = delivery("Lettuce", 9, 8, substitutes=instead(Kale=2, Chard=1))
    units, _ = given(farm(order, unsown=["Lettuce"]))
    assert units == {"Chard": 8}


def test_the_second_choice_is_given_where_the_first_is_used_up():
    made = farm(
        delivery("Lettuce", 9, 8, substitutes=instead("Kale", "Chard")),
        delivery("Kale", 9, 6),
        unsown=["Lettuce"],
        rafts=3,
        lane_slots=3,
    )
    units, plan = given(made)
    assert got(plan)["Kale 9"] == 6
    assert sum(units.values()) == 8
    assert sum(units.values()) + 6 <= 18


def test_no_choice_is_so_late_that_a_unit_goes_missing_instead():
    order = delivery("Lettuce", 9, 8, price=5, priority=5, firm=False, substitutes=instead(Kale=5, price=1))
    units, _ = given(farm(order, unsown=["Lettuce"]))
    assert units == {"Kale": 8}


def test_only_the_missing_part_is_a_substitute():
    order = delivery("Lettuce", 9, 8, substitutes=instead("Kale"))
    made = farm(order, crops=["Lettuce", "Kale"])
    crops = {"Lettuce": replace(made.crops["Lettuce"], lanes=frozenset(["Trough 1"]))}
    made = replace(
        farm(order, crops=["Lettuce", "Kale"], lanes=2, lane_slots=1),
        crops={
            "Lettuce": crops["Lettuce"],
            "Kale": replace(made.crops["Kale"], lanes=frozenset(["Trough 2"])),
        },
    )
    units, plan = given(made)
    assert units == {"Lettuce": 6, "Kale": 2}
    assert plan.demands[0].substituted == 2


def test_a_week_of_a_target_takes_substitutes_too():
    week = target("Lettuce", 7, 8, substitutes=instead("Kale"))
    plan = solved(farm(week, unsown=["Lettuce"]))
    assert got(plan) == {"Lettuce 7": 8}


def test_a_delivery_is_in_reach_where_a_substitute_is():
    slow = quick_crop("Lettuce", raft=(9, 2, 10_000))
    order = delivery("Lettuce", 9, 8, substitutes=instead("Kale"))
    made = make_farm(days=20, crops=[slow, quick_crop("Kale")], demands=[order, delivery("Lettuce", 8, 1)])
    plan = solved(made)
    assert {row.demand: (row.state, row.earliest) for row in plan.demands} == {
        "Lettuce 8": ("too early", 12),
        "Lettuce 9": ("filled", 7),
    }


def test_a_cheaper_substitute_costs_what_it_brings_less():
    dear, cheap = (
        delivery("Lettuce", 9, 8, price=300, substitutes=instead("Kale", price=price)) for price in (300, 180)
    )
    costs = []
    for order in (dear, cheap):
        plan = solved(farm(order, unsown=["Lettuce"]))
        costs.append(next(goal.value for goal in plan.goals if goal.goal == "cost"))
    assert costs[1] - costs[0] == pytest.approx(8 * 1.20)


@pytest.mark.parametrize(("lettuce", "kale", "short", "allowed"), [
    (3, 5, 0, True), (3, 5, 1, False), (3, 6, 0, False), (4, 3, 1, True),
])  # fmt: skip
def test_units_ordered_substitutes_and_missing_ones_are_the_amount(lettuce, kale, short, allowed):
    made = farm(delivery("Lettuce", 9, 8, substitutes=instead("Kale")))

    def amounts(chosen):
        (number,) = [at for at, parcel in enumerate(chosen.parcels) if parcel.rank]
        return [
            (chosen.units[0, "Lettuce"], lettuce),
            (chosen.units[number, "Kale"], kale),
            (chosen.short[0], short),
        ]

    assert allowed is allows(made, deliveries, amounts)


def with_substitutes(seed):
    """A farm of the other tests of the optimum, some of whose deliveries take substitutes."""
    made, draw = any_farm(seed), random.Random(seed)
    names = list(made.products)
    demands = []
    for demand in made.demands:
        others = draw.sample([name for name in names if name != demand.product], min(1, len(names) - 1))
        rank, price = draw.randint(1, 5), draw.randint(0, 3)
        found = tuple(Substitute(product=name, rank=rank, price=price) for name in others)
        demands.append(replace(demand, substitutes=found))
    return replace(made, demands=tuple(demands))


QUICK = (202, 204, 205, 208, 209, 217, 219)


@pytest.mark.parametrize("seed", QUICK)
def test_the_proven_shortage_with_substitutes_is_what_another_model_and_solver_find(seed):
    agrees(seed)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(range(300, 700)))
def test_the_proven_shortage_with_substitutes_is_what_another_model_and_solver_find_long(seeds):
    each_of(seeds, agrees)


def agrees(seed):
    made = with_substitutes(seed)
    plan = outcome(made, seconds=20).plan
    assert plan is not None
    assert next(goal for goal in plan.goals if goal.level == 1).status == "proven"
    assert weighted_shortage(plan) == least_shortage(made)
