"""No plan is better than its bounds, and where whole units do not matter the bounds are what is best."""

import random
from dataclasses import replace
from datetime import date

import pytest
from farms import EVER, delivery, growing, make_crop, make_farm, target
from model.any_season import any_season
from model.second_planner import least_shortage
from model.test_brute_force import most_delivered
from model.test_optimum import any_farm
from seeds import blocks, each_of
from solving import outcome, quick_crop

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Substitute
from scheduler.model.bounds.bound import Bounds, bounds
from scheduler.model.options.frame import Frame, season

SAMPLE, LONG = range(700, 715), [*range(715, 730), *range(1200, 3200)]
SEASONS, LONG_SEASONS = [353, *range(500, 515)], [*range(515, 530), *range(600, 2600)]
OTHERS, LONG_OTHERS = range(3300, 3310), [*range(3310, 3320), *range(3400, 4400)]
SECONDS = 60


def bounds_of(farm, reached=None):
    return bounds(farm, season(farm), reached, SECONDS)


def units_short(farm):
    """Return the bound in units, for farms whose deliveries all weigh alike."""
    weights = {wish.weight for wish in season(farm).wishes}
    assert len(weights) == 1
    return bounds_of(farm).firm / weights.pop()


# --- never above a plan ---


def not_above(seed):
    farm = any_farm(seed)
    assert bounds_of(farm).firm <= least_shortage(farm)


@pytest.mark.parametrize("seed", SAMPLE)
def test_no_plan_of_a_tiny_farm_is_less_short_than_the_bound(seed):
    not_above(seed)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG))
def test_no_plan_of_a_tiny_farm_is_less_short_than_the_bound_long(seeds):
    each_of(seeds, not_above)


@pytest.mark.parametrize("seed", SEASONS)
def test_an_audited_plan_is_no_better_than_its_bounds_in_any_goal(seed):
    no_better(any_season(seed))


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG_SEASONS))
def test_an_audited_plan_is_no_better_than_its_bounds_in_any_goal_long(seeds):
    each_of(seeds, lambda seed: no_better(any_season(seed)))


@pytest.mark.parametrize("seed", OTHERS)
def test_substitutes_plugs_and_a_pace_that_changes_are_known_to_the_bounds(seed):
    no_better(any_other(seed))


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG_OTHERS))
def test_substitutes_plugs_and_a_pace_that_changes_are_known_to_the_bounds_long(seeds):
    each_of(seeds, lambda seed: no_better(any_other(seed)))


def any_other(seed):
    """A farm of ``any_season`` where products stand in for others, crops are bought in, and pace changes."""
    draw, farm = random.Random(seed), any_season(seed)
    names = sorted(farm.products)
    demands = []
    for demand in farm.demands:
        others = [name for name in names if name != demand.product and draw.random() < 0.5]
        made = tuple(
            Substitute(product=name, rank=rank, price=draw.choice((50, 100, 200)))
            for rank, name in enumerate(others, start=1)
        )
        demands.append(replace(demand, substitutes=made))
    crops = {}
    for name, crop in farm.crops.items():
        bought = draw.random() < 0.3 and not farm.growing
        tray = replace(crop.tray, days=0, wait=0) if bought else crop.tray
        crops[name] = replace(crop, route=(tray, *crop.route[1:]), bought=bought)
    owners = {place.belongs_to for place in farm.places}
    months = {
        owner: {month: draw.choice((600, 1000, 1400)) for month in range(1, 13)} for owner in sorted(owners)
    }
    pace = replace(farm.pace, months=months, first_day=date(2026, 3, 25))
    calendar = replace(farm.calendar, first_day=date(2026, 3, 25))
    return replace(farm, demands=tuple(demands), crops=crops, pace=pace, calendar=calendar)


def no_better(farm, seconds=10):
    plan = outcome(farm, seconds=seconds).plan
    assert plan is not None
    reached = short_of(farm, plan)
    cost = round(next(goal.value for goal in plan.goals if goal.level == 3) * 100_000)
    found = bounds_of(farm, reached)
    assert (found.firm <= reached[0], found.flexible <= reached[1], found.cost <= cost) == (True,) * 3


def short_of(farm, plan):
    """Return the weighted shortage of a plan: firm, flexible."""
    weights = {wish.name: wish.weight for wish in season(farm).wishes}
    short = {True: 0, False: 0}
    for row in plan.demands:
        short[row.firm] += weights.get(row.demand, 0) * (row.amount - row.filled)
    return short[True], short[False]


@pytest.mark.parametrize("seed", range(8))
def test_the_bound_is_no_more_than_what_every_plan_leaves_short(seed):
    draw = random.Random(seed)
    amounts = [draw.randint(1, 14) for _ in range(4)]
    slots, trays, age = draw.randint(1, 5), draw.randint(1, 2), draw.randint(0, 1)
    crop = make_crop("Lettuce", tray=(2, 0, 10_000), board=None, raft=(3, 0, 10_000))
    orders = [delivery("Lettuce", day + 5, n, max_age=age) for day, n in enumerate(amounts)]
    farm = make_farm(days=12, crops=[crop], lane_slots=slots, trays=trays, demands=orders)
    assert units_short(farm) <= sum(amounts) - most_delivered(amounts, slots, trays, age)


# --- what is known by arithmetic ---


def test_a_row_of_two_rafts_gives_twelve_heads_at_once():
    orders = [delivery("Lettuce", day, 20, max_age=0) for day in (10, 11)]
    farm = make_farm(days=20, crops=[quick_crop()], lane_slots=2, demands=orders)
    assert units_short(farm) == 40 - 12


def test_rafts_that_were_cut_make_room_for_others():
    orders = [delivery("Lettuce", day, 20, max_age=0) for day in (8, 12, 16)]
    farm = make_farm(days=20, crops=[quick_crop()], lane_slots=2, demands=orders)
    assert units_short(farm) == 60 - 3 * 12


def test_washing_keeps_rafts_from_going_out_again_the_same_day():
    orders = [delivery("Lettuce", day, 20, max_age=0) for day in (7, 11)]
    crop = quick_crop(raft=(4, 0, 10_000))
    farm = make_farm(days=20, crops=[crop], lane_slots=9, rafts=3, demands=orders)
    assert units_short(farm) == 40 - 2 * 18
    washed = make_farm(days=20, crops=[crop], lane_slots=9, rafts=3, wash_days=1, demands=orders)
    assert units_short(washed) == 40 - 18


def test_rafts_that_are_cut_again_are_not_washed_in_between():
    crop = quick_crop(raft=(4, 0, 10_000), cuts=2, interval=3)
    orders = [delivery("Lettuce", day, 12, max_age=0) for day in (7, 10)]
    farm = make_farm(days=20, crops=[crop], lane_slots=9, rafts=2, wash_days=2, demands=orders)
    assert units_short(farm) == 0


def test_a_crop_is_not_cut_more_often_than_it_grows_again():
    crop = quick_crop(raft=(4, 0, 10_000), cuts=2, interval=3, sowing=((0, 0),))
    orders = [delivery("Lettuce", day, 12, max_age=0) for day in (7, 10, 13)]
    farm = make_farm(days=20, crops=[crop], lane_slots=1, demands=orders)
    assert units_short(farm) == 36 - 2 * 6


def test_trays_that_are_owned_limit_what_is_sown():
    crop = quick_crop(tray=(3, 0, 10_000))
    farm = make_farm(days=9, crops=[crop], trays=1, demands=[delivery("Lettuce", 8, 50, max_age=0)])
    # trays of 20 cells are sown on day 0 and on day 1, but there is one
    assert units_short(farm) == 30


def test_tiers_limit_what_is_sown():
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 0, 10_000))
    order = delivery("Lettuce", 8, 50, max_age=0)
    farm = make_farm(days=9, crops=[crop], tiers=2, tier_slots=1, lane_slots=20, demands=[order])
    assert units_short(farm) == 10


def test_boards_limit_what_goes_onto_rafts():
    crop = make_crop("Lettuce", tray=(3, 0, 10_000), board=(3, 0, 10_000), raft=(4, 0, 10_000))
    order = delivery("Lettuce", 12, 50, max_age=0)
    needs = {"days": 14, "crops": [crop], "lane_slots": 20, "demands": [order]}
    assert units_short(make_farm(zone_slots=3, **needs)) == 50 - 36
    assert units_short(make_farm(boards=2, **needs)) == 50 - 24


def test_domes_limit_what_is_sown():
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 0, 10_000), handling={"dome_days": 2})
    order = delivery("Lettuce", 8, 50, max_age=0)
    farm = make_farm(days=9, crops=[crop], lane_slots=20, domes=1, demands=[order])
    assert units_short(farm) == 30


def test_hours_limit_what_is_cut():
    crop = quick_crop(minutes={"cut": 2_00})
    order = delivery("Lettuce", 10, 30, max_age=1)
    farm = make_farm(days=12, crops=[crop], lane_slots=9, crew=20_00, demands=[order])
    assert units_short(farm) == 30 - 2 * 10


def test_losses_are_taken_at_each_stage():
    crop = make_crop("Lettuce", tray=(3, 0, 5_000), board=(3, 0, 8_000), raft=(4, 0, 7_500), saleable=5_000)
    order = delivery("Lettuce", 12, 50, max_age=0)
    farm = make_farm(days=14, crops=[crop], trays=4, lane_slots=20, demands=[order])
    # 80 cells give 40 seedlings, 32 plants on rafts and 12 heads
    assert units_short(farm) == 50 - 12


def test_a_closed_day_loses_the_delivery_that_needs_it():
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 0, 10_000))
    orders = [delivery("Lettuce", day, 6, max_age=0) for day in (10, 11)]
    farm = make_farm(days=14, crops=[crop], closed={Work.HARVEST: [10]}, demands=orders)
    assert units_short(farm) == 6


def test_slots_that_close_are_not_used():
    crop = quick_crop(raft=(4, 0, 10_000))
    order = delivery("Lettuce", 12, 30, max_age=0)
    farm = make_farm(days=14, crops=[crop], lane_slots=((EVER, 5), (9, 2)), demands=[order])
    assert units_short(farm) == 30 - 12


def test_a_crop_has_no_more_room_than_the_rows_it_may_use():
    crops = [quick_crop("Kale", lanes=["Trough 1"]), quick_crop("Chard", lanes=["Trough 1"]), quick_crop()]
    orders = [delivery(crop.name, 10, 12, max_age=0) for crop in crops]
    farm = make_farm(days=14, crops=crops, lanes=3, lane_slots=1, demands=orders)
    assert units_short(farm) == 36 - 18
    apart = replace(farm, demands=tuple(order for order in farm.demands if order.product != "Lettuce"))
    assert units_short(apart) == 24 - 6


def test_what_grows_is_cut_once_and_its_raft_makes_room():
    rows = [growing("Lettuce", StageKind.RAFT, -4, 6, 1)]
    orders = [delivery("Lettuce", day, 10, max_age=0) for day in (1, 9)]
    farm = make_farm(days=12, crops=[quick_crop()], lane_slots=1, growing=rows, demands=orders)
    assert units_short(farm) == 20 - 12


def test_what_grows_in_trays_and_on_boards_is_set_out_without_being_sown():
    crop = make_crop("Lettuce", tray=(3, 0, 10_000), board=(3, 0, 8_000), raft=(4, 0, 10_000))
    order = delivery("Lettuce", 7, 30, max_age=0)
    needs = {"days": 9, "crops": [crop], "demands": [order]}
    trays = [growing("Lettuce", StageKind.TRAY, -3, 15, 1)]
    assert units_short(make_farm(growing=trays, **needs)) == 30 - 12
    boards = [growing("Lettuce", StageKind.BOARD, 0, 10, 1)]
    assert units_short(make_farm(growing=boards, **needs)) == 30 - 8


def test_what_is_overdue_may_still_be_cut_for_a_week():
    rows = [growing("Lettuce", StageKind.RAFT, -30, 6, 1)]
    orders = [delivery("Lettuce", day, 6, max_age=0) for day in (6, 7, 8)]
    farm = make_farm(days=9, crops=[quick_crop(sowing=())], growing=rows, demands=orders)
    assert units_short(farm) == 12


def test_trays_moved_between_shelves_may_grow_at_any_pace_between_theirs():
    crop = quick_crop(tray=(4, 0, 10_000), raft=(4, 0, 10_000), sowing=((0, 0),))
    farm = make_farm(days=20, crops=[crop], tiers=2, demands=[delivery("Lettuce", 9, 6, max_age=0)])
    fast, slow = (dict.fromkeys(range(1, 13), pace) for pace in (1000, 500))
    far = tuple(
        replace(place, belongs_to="Far") if place.name == "Shelf 2" else place for place in farm.places
    )
    moved = replace(farm, places=far, pace=replace(farm.pace, months={"Shelf": fast, "Far": slow}))
    # ready for rafts on day 4 on one shelf, on day 8 on the other, on day 5 by two days there
    assert units_short(farm) == 6
    assert units_short(moved) == 0


def test_heads_lost_to_rounding_on_one_day_may_be_counted_on_the_next():
    crop = quick_crop(raft=(4, 1, 5_000))
    rows = [growing("Lettuce", StageKind.RAFT, -4, 2, 1)]
    late = delivery("Lettuce", 1, 1, max_age=0)
    # one plant cut today gives half a head, and the one cut tomorrow makes it whole
    assert units_short(make_farm(days=9, crops=[crop], growing=rows, demands=[late])) == 0
    two = replace(late, amount=2)
    assert units_short(make_farm(days=9, crops=[crop], growing=rows, demands=[two])) == 1


# --- the three goals ---


def test_flexible_deliveries_get_what_firm_ones_leave():
    orders = [
        delivery("Lettuce", 10, 8, max_age=0),
        target("Lettuce", 10, 10, last=10),
    ]
    farm = make_farm(days=14, crops=[quick_crop()], lane_slots=2, demands=orders)
    weight = season(farm).wishes[0].weight
    assert bounds_of(farm) == Bounds(firm=0, flexible=0, cost=None)
    assert bounds_of(farm, (0, 18 * weight)).flexible == (8 + 10 - 12) * weight
    assert bounds_of(farm, (8 * weight, 18 * weight)).flexible == 0


def test_the_cost_is_that_of_what_must_be_grown():
    costs = {"raft": 50, "raft_slot_day": 7, "tray": 20, "tray_slot_day": 3, "hour": 60}
    crop = quick_crop(raft=(4, 0, 10_000), minutes={"cut": 1_00}, handling={"seed_cost": 500})
    order = delivery("Lettuce", 10, 40, max_age=0)
    farm = make_farm(days=14, crops=[crop], lane_slots=9, costs=costs, demands=[order])
    found = bounds_of(farm, (0, 0)).cost
    # two trays for three days, 40 seeds, rafts for four days, 40 minutes of cutting
    exact = 2 * (20 + 3 * 3) + 40 * 0.5 + 40 / 6 * (50 + 4 * 7) + 40
    assert exact * 1000 - 40 * 8 <= found <= exact * 1000


def test_a_plan_that_is_short_may_cost_less():
    order = delivery("Lettuce", 10, 6, max_age=0)
    farm = make_farm(days=14, crops=[quick_crop()], costs={"raft": 60}, demands=[order])
    weight = season(farm).wishes[0].weight
    costs = [bounds_of(farm, (short * weight, 0)).cost for short in (0, 3, 6)]
    assert costs == [60_000, 30_000, 0]


def test_shortages_are_whole_units_and_whole_deliveries_where_those_count():
    crop = quick_crop(saleable=9_000)
    order = delivery("Lettuce", 10, 12, max_age=0)
    farm = make_farm(days=14, crops=[crop], lane_slots=2, demands=[order])
    assert units_short(farm) == 2  # 10.8 heads are cut
    whole = replace(farm, rules=replace(farm.rules, all_or_nothing=True))
    assert units_short(whole) == 12


# --- manners ---


def test_what_no_time_is_left_for_is_not_known():
    order = delivery("Lettuce", 10, 20)
    farm = make_farm(days=14, crops=[quick_crop()], lane_slots=2, costs={"raft": 60}, demands=[order])
    frame = season(farm)
    assert bounds(farm, frame, (10**9, 10**9), 0.0) == Bounds(firm=0, flexible=0, cost=None)
    assert bounds(farm, frame, (10**9, 10**9), 0.0, deterministic=True) == Bounds()


def test_what_nothing_can_reach_is_short_without_any_time():
    farm = make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 2, 20)])
    weight = season(farm).wishes[0].weight
    assert bounds(farm, season(farm), None, 0.0).firm == 20 * weight


def test_a_goal_that_is_reached_in_full_asks_for_nothing():
    farm = make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6)])
    found = bounds_of(farm, (0, 0))
    assert (found.firm, found.flexible) == (0, 0)


def test_the_same_farm_has_the_same_bounds():
    farm = any_season(512)
    reached = (10**9, 10**9)
    frame = season(farm)
    both = [bounds(farm, frame, reached, SECONDS, deterministic=True) for _ in range(2)]
    assert both[0] == both[1] == bounds_of(farm, reached)


def test_a_steady_week_has_no_bounds():
    farm = make_farm(days=14)
    week = Frame(farm=farm, wishes=(), start=0, end=20, period=7)
    with pytest.raises(ValueError, match="steady cycle"):
        bounds(farm, week, None, SECONDS)
