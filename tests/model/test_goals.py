"""Goals in their order: firm, flexible, cost, simplicity; each only decides between equals."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm, target
from solving import got, quick_crop, shortage_goal, solved

from scheduler.farm.crops import StageKind
from scheduler.model.build import build
from scheduler.model.first.start import nothing
from scheduler.model.goals import CYCLE_UNIT, blend, cost, shortage, simplicity, steady_blend
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts

ONE_RAFT = {"lane_slots": 1, "days": 20}


def one_raft(*demands, crops=None, **needs):
    """A farm whose only raft can serve day 12 but once."""
    return make_farm(
        **(ONE_RAFT | {"crops": crops or [quick_crop(), quick_crop("Kale")], "demands": demands} | needs)
    )


def test_a_firm_delivery_is_served_before_a_flexible_one_at_any_price():
    farm = one_raft(
        delivery("Lettuce", 12, 6, price=1, priority=5),
        delivery("Kale", 12, 6, price=99_900, priority=1, firm=False),
    )
    assert got(solved(farm)) == {"Lettuce 12": 6, "Kale 12": 0}


def test_flexible_demand_is_served_after_all_that_is_firm():
    # Two rafts one after another give 12 heads that week.
    farm = one_raft(delivery("Lettuce", 12, 4, priority=5), target("Lettuce", 7, 9, price=99_900))
    assert got(solved(farm)) == {"Lettuce 12": 4, "Lettuce 7": 8}


@pytest.mark.parametrize(
    ("lettuce", "kale", "winner"),
    [
        ({"price": 300}, {"price": 200}, "Lettuce"),
        ({"price": 200}, {"price": 300}, "Kale"),
        ({"price": 100, "priority": 1}, {"price": 900, "priority": 2}, "Lettuce"),
        ({"price": 100, "priority": 1}, {"price": 1100, "priority": 2}, "Kale"),
        ({"price": 0, "priority": 1}, {"price": 900, "priority": 4}, "Lettuce"),
    ],
)
def test_of_two_firm_deliveries_the_one_of_more_value_and_rank_is_served(lettuce, kale, winner):
    farm = one_raft(delivery("Lettuce", 12, 6, **lettuce), delivery("Kale", 12, 6, **kale))
    plan = solved(farm)
    assert {name for name, filled in got(plan).items() if filled} == {f"{winner} 12"}
    assert shortage_goal(plan)[1] == "proven"


def test_what_is_short_is_weighed_as_price_times_rank_times_units():
    farm = one_raft(delivery("Lettuce", 12, 9, price=250, priority=3))
    assert shortage_goal(solved(farm)) == (3 * 250 * 100, "proven")


def test_of_two_plans_that_fill_everything_the_cheaper_one_is_taken():
    # Either crop fills the order; one costs a hundred times the seed.
    products = {"Head": {"Lettuce": 1000, "Kale": 1000}}
    for dear in ("Lettuce", "Kale"):
        crops = [
            quick_crop(name, handling={"seed_cost": 90_000 if name == dear else 900})
            for name in ("Lettuce", "Kale")
        ]
        plan = solved(one_raft(delivery("Head", 12, 6), crops=crops, products=products))
        assert {lot.crop for lot in plan.lots} == {"Lettuce", "Kale"} - {dear}


def test_of_two_plans_that_cost_the_same_the_simpler_one_is_taken():
    farm = make_farm(
        days=20, crops=[quick_crop()], demands=[delivery("Lettuce", 12, 12), delivery("Lettuce", 13, 12)]
    )
    assert len(solved(farm).lots) == 1


def test_nothing_is_sown_that_no_delivery_needs():
    farm = make_farm(days=30, crops=[quick_crop(), quick_crop("Kale")], demands=[delivery("Lettuce", 12, 7)])
    plan = solved(farm)
    assert [(lot.crop, lot.cells) for lot in plan.lots] == [("Lettuce", 8)]


def incumbent(farm):
    built = build(season(farm), bundles_of(farm))
    built.model.minimize(blend(built.chosen))
    return Incumbent(built, Parts(built.model), nothing(built))


def test_an_answer_is_taken_only_when_it_is_better_goal_by_goal():
    best = incumbent(
        make_farm(
            days=20,
            crops=[quick_crop()],
            demands=[delivery("Lettuce", 12, 6), delivery("Lettuce", 14, 6, firm=False)],
        )
    )
    chosen = best.built.chosen
    firm = next(v for i, v in chosen.short.items() if chosen.frame.wishes[i].level == 1)
    flexible = next(v for i, v in chosen.short.items() if chosen.frame.wishes[i].level == 2)
    lot = next(iter(chosen.lots.values()))

    def changed(**by):
        values = list(best.values)
        for variable, value in ((firm, by.get("firm")), (flexible, by.get("flexible")), (lot, by.get("lot"))):
            if value is not None:
                values[variable.index] = value
        return values

    assert not best.take(None)
    assert not best.take(changed())
    assert not best.take(changed(lot=1)), "less simple"
    assert best.take(changed(flexible=5, lot=1)), "less short, though less simple"
    assert not best.take(changed(firm=7, flexible=0, lot=0)), "firm goes before flexible"
    assert best.take(changed(firm=5, flexible=6, lot=1)), "firm goes before flexible"
    assert best.short_wishes(1) == [i for i, w in enumerate(chosen.frame.wishes) if w.level == 1]


def test_in_the_blended_goal_a_firm_unit_outweighs_a_flexible_one_and_that_all_simplicity_of_a_raft():
    farm = make_farm(
        days=20, crops=[quick_crop()], demands=[delivery("Lettuce", 12, 6), target("Lettuce", 7, 6)]
    )
    built = build(season(farm), bundles_of(farm))
    built.model.minimize(blend(built.chosen))
    goal = built.model.proto.objective
    weight = dict(zip(goal.vars, goal.coeffs, strict=True))
    levels = {
        level: min(
            weight[v.index]
            for i, v in built.chosen.short.items()
            if built.chosen.frame.wishes[i].level == level
        )
        for level in (1, 2)
    }
    assert levels[1] >= 10 * levels[2]
    assert levels[2] > sum(w for w, _ in simplicity(built.chosen).terms[:3])


def money_of(plan):
    return next(goal.value for goal in plan.goals if goal.level == 3)


def test_the_cost_is_seed_units_space_work_and_waste_at_the_book_s_prices():
    # 2 rows of 4 cells for 7 heads: 8 seeds at 500 a thousand; 1 tray 3 days or 4, 2 rafts 4 to 6 days.
    prices = {"tray": 50, "raft": 30, "lot": 200}
    crop = quick_crop(handling={"seed_cost": 500_00})
    plan = solved(make_farm(days=20, crops=[crop], costs=prices, demands=[delivery("Lettuce", 12, 7)]))
    assert money_of(plan) == pytest.approx((8 * 50 + 50 + 2 * 30 + 200) / 100)


def test_space_and_work_have_their_price():
    prices = {"tray_slot_day": 10, "raft_slot_day": 7, "hour": 60_00}
    crop = quick_crop(minutes={"sow": 20_00, "raft": 6_00, "cut": 2_00})
    plan = solved(
        make_farm(days=20, crops=[crop], costs=prices, demands=[delivery("Lettuce", 12, 6, max_age=0)])
    )
    space = 3 * 10 + 4 * 7
    minutes = 8 * 1 + 6 * 1 + 6 * 2
    assert money_of(plan) == pytest.approx((space + minutes * 100) / 100)


def test_plants_that_grow_already_are_thrown_away_only_at_their_price():
    rows = [growing("Lettuce", StageKind.TRAY, -2, 6, 1)]
    made = make_farm(days=20, crops=[quick_crop()], growing=rows, demands=[delivery("Lettuce", 8, 6)])
    new = solved(replace(made, growing=()))
    kept = solved(replace(made, costs={"discarded_plant": 500}))
    assert got(kept) == got(new) == {"Lettuce 8": 6}
    assert [lot.discarded for lot in kept.lots] == [0]


@pytest.mark.parametrize(("stage", "day"), [(StageKind.TRAY, 11), (StageKind.BOARD, 8)])
@pytest.mark.parametrize(("waste", "paid"), [(600, 30_00), (400, 24_00)])
def test_letting_plants_stand_until_they_are_thrown_away_saves_nothing(stage, day, waste, paid):
    # One of two lots is enough: six plants are thrown away at 5.00, or cut in vain where that is cheaper.
    prices = {"discarded_plant": 500, "wasted_plant": waste}
    crop = quick_crop("Kale", board=(3, 4, 10_000), tray=(3, 4, 10_000))
    rows = [growing("Kale", stage, -1, 6, 1, lot=lot, order=at) for at, lot in enumerate("GH", start=1)]
    wanted = [delivery("Kale", day, 6, max_age=2)]
    plan = solved(make_farm(days=28, crops=[crop], growing=rows, costs=prices, demands=wanted))
    assert got(plan) == {f"Kale {day}": 6}
    assert money_of(plan) == paid / 100


def test_every_goal_is_a_weighted_sum_of_variables_of_the_model():
    farm = make_farm(
        days=30,
        crops=[quick_crop(board=(3, 1, 10_000), handling={"seed_cost": 100}, minutes={"sow": 100})],
        costs=dict.fromkeys(("tray", "board", "raft", "lot", "hour", "wasted_plant", "tray_slot_day"), 5),
        demands=[delivery("Lettuce", 20, 6), target("Lettuce", 14, 6)],
    )
    built = build(season(farm), bundles_of(farm))
    size = len(built.model.proto.variables)
    for goal in (
        shortage(built.chosen, 1),
        shortage(built.chosen, 2),
        cost(built.chosen),
        simplicity(built.chosen),
    ):
        assert goal.terms
        assert all(weight and 0 <= variable.index < size for weight, variable in goal.terms)


def short_weights(*demands, goal=blend, **needs):
    """What one unit short of each demand weighs for the search."""
    farm = make_farm(**({"days": 20, "span": 40, "crops": [quick_crop()], "demands": demands} | needs))
    built = build(season(farm), bundles_of(farm))
    built.model.minimize(goal(built.chosen))
    objective = built.model.proto.objective
    weight = dict(zip(objective.vars, objective.coeffs, strict=True))
    return {built.chosen.frame.wishes[i].name: weight[v.index] for i, v in built.chosen.short.items()}


@pytest.mark.parametrize("firm", [True, False])
def test_what_lies_past_the_last_reported_day_does_not_make_all_else_look_alike(firm):
    past = delivery("Lettuce", 30, 6, priority=1, reported=False, firm=firm)
    dear, cheap = (delivery("Lettuce", day, 6, priority=rank, firm=firm) for day, rank in ((12, 1), (14, 3)))
    weights = short_weights(dear, cheap, past)
    assert weights["Lettuce 12"] == 100 * weights["Lettuce 14"]
    assert 0 < weights["Lettuce 30"] < weights["Lettuce 14"]


def test_in_a_steady_cycle_ten_times_the_weight_counts_once_more():
    weights = short_weights(
        delivery("Lettuce", 12, 6, priority=1),
        delivery("Lettuce", 14, 6, priority=2),
        delivery("Lettuce", 16, 6, priority=3),
        goal=steady_blend,
    )
    assert [weights[f"Lettuce {day}"] for day in (16, 14, 12)] == [CYCLE_UNIT, 2 * CYCLE_UNIT, 3 * CYCLE_UNIT]
