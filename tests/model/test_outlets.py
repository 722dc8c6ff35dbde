"""Outlets take what is worth more than it costs, never anything a delivery could have had."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm, make_mix, market
from model.test_large_books import alder_quay
from model.test_optimum import any_farm
from solving import got, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.orders.outlets import OutletWeek, Stall, Step
from scheduler.model.bounds.bound import bounds
from scheduler.model.options.frame import season
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.audit import audit
from scheduler.plan.sale_rows import OutletRow

GROWN = [growing("Lettuce", StageKind.RAFT, 0, 24, 4)]
"""24 heads that can be cut on days 4 to 6."""


def farm(*outlets, demands=(), **needs):
    made = {"days": 20, "crops": [quick_crop()], "growing": GROWN, "outlets": outlets, "lane_slots": 4}
    return make_farm(**(made | needs), demands=demands)


def sold(plan):
    return {(row.product, row.day): (row.units, row.takings) for row in plan.outlets}


def test_what_is_left_over_is_sold_at_the_best_prices_first():
    plan = solved(farm(market("Lettuce", [5], (10, 300), (10, 220), (10, 100))))
    assert sold(plan) == {("Lettuce", 5): (24, 10 * 300 + 10 * 220 + 4 * 100)}
    assert sum(row.heads for row in plan.sales) == 24


def test_nothing_is_sold_beyond_what_an_outlet_takes_in_its_week():
    plan = solved(farm(market("Lettuce", [4, 5, 6], (10, 300), (5, 200))))
    assert sum(units for units, _ in sold(plan).values()) == 15
    assert sum(takings for _, takings in sold(plan).values()) == 10 * 300 + 5 * 200


def test_a_delivery_goes_before_an_outlet_that_pays_more():
    order = delivery("Lettuce", 5, 20, price=10, priority=5, firm=False)
    plan = solved(farm(market("Lettuce", [5], (30, 900)), demands=[order]))
    assert got(plan) == {"Lettuce 5": 20}
    assert sold(plan) == {("Lettuce", 5): (4, 3600)}


def test_heads_too_old_for_the_day_of_an_outlet_are_not_sold():
    unsown = [quick_crop(sowing=((100, 200),))]
    late, fresh = (farm(market("Lettuce", [day], (30, 300), age=1), crops=unsown) for day in (8, 7))
    assert sold(solved(late)) == {}
    assert sold(solved(fresh)) == {("Lettuce", 7): (24, 7200)}


def crops_for_sale(price, **costs):
    """A farm on which nothing grows yet: heads are grown for the outlet alone."""
    return solved(farm(market("Lettuce", [10], (6, price)), growing=(), costs=costs))


def test_something_is_grown_for_an_outlet_only_where_it_brings_more_than_it_costs():
    """A raft costs 60.00 to fill; a lot, a tray, its row and so on are some 300 points, 3.00 in all."""
    assert sold(crops_for_sale(1100, raft=60_00)) == {("Lettuce", 10): (6, 6600)}
    assert sold(crops_for_sale(1020, raft=60_00)) == {}


def test_an_outlet_that_brings_nothing_sells_what_would_cost_to_waste():
    outlet = market("Lettuce", [5], (10, 0))
    assert sold(solved(farm(outlet, costs={"wasted_plant": 50, "discarded_plant": 90}))) != {}


def test_a_mix_is_sold_by_whole_bags_of_all_its_parts():
    mix = make_mix("Salad", 100, ("Lettuce", 50, 50, 50, 50), ("Kale", 50, 50, 50, 25))
    rows = [*GROWN, growing("Kale", StageKind.RAFT, 0, 9, 2, lot="K", order=2)]
    crops = [quick_crop(), quick_crop("Kale")]
    made = farm(market("Salad", [5], (30, 500)), growing=rows, crops=crops, mixes=[mix], lane_slots=6)
    assert sold(solved(made)) == {("Salad", 5): (4, 2000)}


def test_the_cost_is_told_with_what_outlets_bring_taken_off():
    plan = solved(farm(market("Lettuce", [5], (24, 300))))
    assert plan.outlets == (
        OutletRow(outlet="Market", product="Lettuce", day=5, units=24, takings=7200, reported=True),
    )
    (cost,) = [goal for goal in plan.goals if goal.goal == "cost"]
    assert cost.value == pytest.approx(-72.0)
    assert cost.bound is None or cost.bound <= cost.value


def test_outlets_are_no_part_of_what_is_short():
    plan = solved(farm(market("Lettuce", [5, 12, 19], (100, 300))))
    assert plan.demands == ()
    assert [goal.value for goal in plan.goals if goal.level < 3] == [0, 0]


def test_a_larger_book_is_planned_for_its_deliveries_first_and_sells_what_is_left_at_the_end():
    made = alder_quay(days=70)
    stalls = [Stall(name=f"Market | Leaf lettuce | {day}", day=day) for day in range(54, 70, 7)]
    steps = (Step(amount=8, price=250), Step(amount=8, price=120))
    weeks = tuple(
        OutletWeek(outlet="Market", product="Leaf lettuce", stalls=(stall,), steps=steps, max_age=2)
        for stall in stalls
    )
    phases = []
    settings = SolveSettings(seconds=0.3, deterministic=True)
    plan = plan_farm(replace(made, outlets=weeks), settings, lambda told: phases.append(told.phase)).plan
    assert plan is not None
    assert audit(replace(made, outlets=weeks), plan) == []
    selling = phases.index("selling what is left")
    assert not any(phase.startswith("filling") for phase in phases[selling:])
    assert sum(row.takings for row in plan.outlets) > 0


@pytest.mark.parametrize("seed", [201, 205, 209, 212, 213])
def test_no_plan_costs_less_than_the_limit_with_what_outlets_bring_taken_off(seed):
    made = any_farm(seed)
    weeks = tuple(
        OutletWeek(
            outlet="Market",
            product=next(iter(made.products)),
            stalls=(Stall(name=f"Market {day}", day=day),),
            steps=(Step(amount=5, price=300), Step(amount=9, price=100)),
            max_age=1,
        )
        for day in (6, 12)
    )
    made = replace(made, outlets=weeks, costs={"hour": 900, "raft": 50, "wasted_plant": 20, "tray": 40})
    plan = solved(made, seconds=1)
    frame = season(made)
    weights = {wish.name: wish.weight for wish in frame.wishes}
    short = {True: 0, False: 0}
    for row in plan.demands:
        short[row.firm] += weights[row.demand] * (row.amount - row.filled)
    limit = bounds(made, frame, (short[True], short[False]), 5, deterministic=True).cost
    (cost,) = [goal.value for goal in plan.goals if goal.level == 3]
    assert plan.outlets
    assert limit is not None
    assert limit / 100_000 <= cost + 1e-6
