"""Farms of many rows: crops lined up along them, and a first plan made delivery by delivery."""

from dataclasses import replace
from functools import cache

import pytest
from boxed import box_farm, share, slot
from farms import delivery, growing, make_farm, market, target
from model.any_season import any_season
from seeds import sample
from solving import outcome, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.farm.places import PlaceKind
from scheduler.model import solve
from scheduler.model.build import build
from scheduler.model.first import line_up as lining
from scheduler.model.first.by_date import by_date
from scheduler.model.first.line_up import line_up, lined_up
from scheduler.model.first.sharing import in_order, share_out
from scheduler.model.first.start import idle
from scheduler.model.goals import blend
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.begun import plan_from
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.plan.audit import audit, fault_lines

STAYS = {"Cress": 10, "Kale": 20, "Chard": 30}


@pytest.fixture
def many(monkeypatch):
    """Plan every farm as one of many rows."""
    monkeypatch.setattr(lining, "MANY_ROWS", 0)
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)


def rows_of(count, troughs=1):
    farm = make_farm(lanes=count)
    lanes = farm.places_of(PlaceKind.LANE)
    return [
        replace(lane, belongs_to=f"Trough {number * troughs // count}") for number, lane in enumerate(lanes)
    ]


def lined(count, slots, troughs=1):
    found = lined_up(rows_of(count, troughs), slots, STAYS.__getitem__)
    return [(len(lanes), sorted(crops)) for lanes, crops in found]


# --- the line-up ---


def test_crops_stand_along_the_rows_by_their_days_each_as_wide_as_its_slots():
    assert lined(6, {"Chard": 30, "Cress": 10, "Kale": 20}) == [(1, ["Cress"]), (2, ["Kale"]), (3, ["Chard"])]


def test_a_row_in_which_two_crops_meet_is_shared_by_both():
    found = lined(4, {"Cress": 15, "Kale": 25})
    assert found == [(1, ["Cress"]), (1, ["Cress", "Kale"]), (2, ["Kale"])]


def test_crops_that_take_little_share_a_row():
    assert lined(1, {"Cress": 1, "Kale": 2, "Chard": 3}) == [(1, ["Chard", "Cress", "Kale"])]


def test_rows_of_two_troughs_are_never_one_bundle():
    assert lined(4, {"Kale": 1}, troughs=2) == [(2, ["Kale"]), (2, ["Kale"])]


def test_every_row_is_in_one_bundle_and_every_crop_has_rows_it_may_use():
    crops = [quick_crop("Kale", lanes=["Trough 1", "Trough 2"]), quick_crop("Chard"), quick_crop("Mint")]
    orders = [delivery(name, day, 6) for name in ("Kale", "Chard") for day in range(10, 60, 7)]
    farm = make_farm(days=63, crops=crops, lanes=6, lane_slots=2, demands=orders)
    line = line_up(season(farm), lambda: None)
    rows = [place.name for bundle in line.bundles for place in bundle.places]
    assert sorted(rows) == sorted(place.name for place in farm.places_of(PlaceKind.LANE))
    names = {bundle.name: {place.name for place in bundle.places} for bundle in line.bundles}
    for crop in ("Kale", "Chard", "Mint"):
        stands = set().union(*(names[name] for name in line.homes[crop]))
        assert stands
        assert stands & farm.crops[crop].lanes


def test_where_nothing_is_wanted_there_is_no_line_up():
    assert line_up(season(make_farm(days=30)), lambda: None) is None


# --- the first plan ---


def first_plan(farm):
    """Return the built model, and the first plan as an answer that keeps every rule."""
    frame = season(farm)
    line = line_up(frame, lambda: None)
    built = build(frame, line.bundles, line.homes)
    built.model.minimize(blend(built.chosen))
    engine = Engine(SolveSettings(seconds=5, deterministic=True))
    parts = Parts(built.model)
    best = Incumbent(built, parts, idle(engine, built, parts, 1))
    values = by_date(engine, best)
    assert parts.holds(values)
    return built, values


def short_in(built, values):
    return {
        wish.name: values[built.chosen.short[number].index]
        for number, wish in enumerate(built.chosen.frame.wishes)
    }


def test_deliveries_are_planned_one_by_one():
    orders = [delivery("Lettuce", day, 12, max_age=0) for day in (10, 17, 24)]
    farm = make_farm(days=28, crops=[quick_crop()], lanes=2, lane_slots=2, demands=orders)
    assert set(short_in(*first_plan(farm)).values()) == {0}


def test_what_a_raft_brings_more_than_is_wanted_serves_a_later_delivery():
    orders = [delivery("Lettuce", day, 3, max_age=2) for day in (10, 12)]
    farm = make_farm(days=14, crops=[quick_crop()], lane_slots=1, demands=orders)
    built, values = first_plan(farm)
    assert set(short_in(built, values).values()) == {0}
    assert sum(values[v.index] for v in built.chosen.raft_plants.values()) == 6


def test_a_raft_that_is_cut_again_serves_several_deliveries():
    basil = quick_crop("Basil", cuts=3, interval=7)
    orders = [delivery("Basil", day, 6, max_age=0) for day in (10, 17, 24)]
    farm = make_farm(days=28, crops=[basil], lane_slots=1, demands=orders)
    built, values = first_plan(farm)
    assert set(short_in(built, values).values()) == {0}
    assert sum(values[v.index] for v in built.chosen.raft_plants.values()) == 6


def test_what_the_rows_cannot_hold_stays_short():
    farm = make_farm(
        days=14, crops=[quick_crop()], lane_slots=2, demands=[delivery("Lettuce", 10, 20, max_age=0)]
    )
    assert short_in(*first_plan(farm)) == {"Lettuce 10": 8}


def test_hours_the_sheet_does_not_know_are_kept_all_the_same():
    crop = quick_crop(minutes={"cut": 2_00})
    orders = [delivery("Lettuce", day, 12, max_age=0) for day in (10, 11)]
    farm = make_farm(days=14, crops=[crop], lane_slots=9, crew=13_00, demands=orders)
    built, values = first_plan(farm)
    assert sum(short_in(built, values).values()) == 24


def test_a_delivery_that_wants_all_or_nothing_is_not_given_a_part():
    order = delivery("Lettuce", 10, 20, max_age=0)
    farm = make_farm(days=14, crops=[quick_crop()], lane_slots=2, demands=[order])
    farm = replace(farm, rules=replace(farm.rules, all_or_nothing=True))
    assert short_in(*first_plan(farm)) == {"Lettuce 10": 20}


def test_heads_go_to_the_earlier_delivery_and_among_those_of_a_day_to_the_firm_one():
    orders = [
        delivery("Lettuce", 11, 4, max_age=1),
        delivery("Lettuce", 10, 4, max_age=0),
        target("Lettuce", 10, 9, last=10, name="Market"),
    ]
    farm = make_farm(days=14, crops=[quick_crop()], lane_slots=1, demands=orders)
    built, values = first_plan(farm)
    again = list(values)
    for table in (built.chosen.fills, built.chosen.heads, built.chosen.units):
        for variable in table.values():
            again[variable.index] = 0
    share_out(built.chosen, again, built.chosen.options.raft_sets, in_order(built.chosen), {})
    found = short_in(built, again)
    assert found["Lettuce 10"] == 0
    assert Parts(built.model).holds(again)


def test_a_head_that_makes_no_bunch_of_an_earlier_delivery_serves_a_later_one():
    orders = [delivery("Bunch", 10, 4, max_age=0), delivery("Lettuce", 11, 6, max_age=1)]
    bunch = {"Bunch": {"Lettuce": 2000}}
    of = make_farm(
        days=14,
        crops=[quick_crop()],
        lane_slots=1,
        products=bunch,
        growing=[growing("Lettuce", StageKind.RAFT, 4, 5, 1)],
        demands=orders,
    )
    built = build(season(of), bundles_of(of))
    chosen, values = built.chosen, [0] * len(built.model.proto.variables)
    (option,) = [each for each in chosen.options.raft_sets if each.source is None]
    step = next(step for step in option.cuttings if step.day == 10)
    values[chosen.cut_plants[option, step].index] = 5
    share_out(chosen, values, [option], in_order(chosen), {})
    given = {number: values[fill.index] for (_, day, number), fill in chosen.fills.items() if day == 10}
    assert given == {0: 4, 1: 1}
    assert values[chosen.heads[chosen.raft_lots[option], step.number, 10].index] == 5


def test_once_asked_to_stop_no_first_plan_is_made():
    order = delivery("Lettuce", 10, 6)
    farm = make_farm(days=14, crops=[quick_crop()], demands=[order])
    frame = season(farm)
    built = build(frame, line_up(frame, lambda: None).bundles)
    parts = Parts(built.model)
    engine = Engine(SolveSettings(seconds=0.0))
    best = Incumbent(built, parts, idle(engine, built, parts, 1))
    with pytest.raises(Stopped):
        by_date(engine, best)


# --- whole plans, judged by the audit ---


@pytest.mark.parametrize("seed", sample((560, 562, 563, *range(565, 572)), (561, 564, *range(572, 590))))
def test_plans_of_farms_with_lined_up_rows_keep_every_rule(many, seed):
    outcome(any_season(seed), seconds=0.1)


def test_what_grows_is_cut_where_it_stands(many):
    rows = [growing("Lettuce", StageKind.RAFT, -4, 6, 1)]
    orders = [delivery("Lettuce", day, 6, max_age=0) for day in (1, 9)]
    farm = make_farm(days=12, crops=[quick_crop()], lanes=3, lane_slots=1, growing=rows, demands=orders)
    plan = outcome(farm, seconds=1).plan
    assert {row.demand: row.filled for row in plan.demands} == {"Lettuce 1": 6, "Lettuce 9": 6}


@cache
def two_crops():
    """A farm of four rows, and its plan as one of many rows; no test changes it."""
    crops = [quick_crop("Lettuce", raft=(6, 1, 10_000)), quick_crop("Cress")]
    orders = [delivery(name, day, 9) for name in ("Lettuce", "Cress") for day in range(12, 28, 5)]
    farm = make_farm(days=30, crops=crops, lanes=4, lane_slots=3, demands=orders)
    return farm, outcome(farm, seconds=0.05).plan


def test_the_search_goes_on_from_the_first_plan(many):
    _, plan = two_crops()
    assert all(row.filled == row.amount for row in plan.demands)


def test_a_search_begins_from_a_plan_of_many_rows(many):
    farm, plan = two_crops()
    more = replace(farm, demands=(*farm.demands, delivery("Cress", 24, 6)))
    better = plan_from(more, plan, SolveSettings(seconds=0.05, deterministic=True))
    assert fault_lines(audit(more, better)) == []
    assert {row.demand: row.filled for row in better.demands}["Cress 24"] == 6


def test_outlets_are_left_to_the_repair(many):
    orders = [delivery("Lettuce", day, 6, max_age=0) for day in (10, 17, 24)]
    stall = market("Lettuce", [10, 15], (10, 300))
    farm = make_farm(days=28, crops=[quick_crop()], lanes=3, lane_slots=2, demands=orders, outlets=(stall,))
    built, values = first_plan(farm)
    assert sum(values[v.index] for v in built.chosen.raft_plants.values()) == 18
    plan = outcome(farm, seconds=0.2).plan
    assert all(row.filled == row.amount for row in plan.demands)


# --- boxes ---


def contents(built, values):
    """Number of the box -> products in it."""
    found = {}
    for ((_, number, _), product), pick in built.chosen.picks.items():
        if values[pick.index]:
            found.setdefault(number, []).append(product)
    return found


def test_boxes_are_filled_one_by_one_with_products_in_turn(many):
    own = share(slot("First"), slot("Second"), most_running=2, max_age=0)
    farm = box_farm(own, on=range(9, 44, 7), days=49, boxes=(5, 0), lanes=4)
    built, values = first_plan(farm)
    assert set(short_in(built, values).values()) == {0}
    both = contents(built, values)
    assert all(len(set(products)) == 2 for products in both.values())
    assert set(both[0]) != set(both[1])
    outcome(farm, seconds=0.2)


def test_a_line_up_knows_no_aims_of_boxes(many):
    own = share(slot("First"), slot("Second"), least_kinds=3, kinds_boxes=2, least_value=400)
    farm = box_farm(own, on=range(9, 30, 7), days=35, boxes=(5, 0), lanes=4)
    built, values = first_plan(farm)
    assert set(short_in(built, values).values()) == {0}
    assert sum(values[mark.index] for key, mark in built.chosen.box_marks.items() if key[0] == "lack") == 0


def test_boxes_of_several_days_of_a_week_hold_the_same(many):
    farm = box_farm(share(slot()), on=[(9, 11), (16, 18)], boxes=(5, 0), lanes=4)
    built, values = first_plan(farm)
    assert set(short_in(built, values).values()) == {0}
    assert [len(products) for products in contents(built, values).values()] == [1, 1]


def test_a_place_whose_product_cannot_be_had_gets_another(many):
    # It is kale's turn, the dearest, but it is no longer sown.
    crops = [quick_crop("Lettuce"), quick_crop("Kale", sowing=()), quick_crop("Cress")]
    farm = box_farm(share(slot()), on=(9,), boxes=(5, 0), crops=crops, lanes=4)
    built, values = first_plan(farm)
    assert contents(built, values) == {0: ["Lettuce"]}


def test_a_place_that_may_be_split_takes_a_second_product_where_there_is_little_of_one(many):
    crops = [quick_crop("Lettuce"), quick_crop("Kale", lanes=["Trough 1"]), quick_crop("Cress")]
    only = box_farm(share(slot()), on=(9,), boxes=(9, 0), crops=crops, lanes=4, lane_slots=1)
    both = box_farm(share(slot(most_products=2)), on=(9,), boxes=(9, 0), crops=crops, lanes=4, lane_slots=1)
    assert sum(short_in(*first_plan(only)).values()) == 3
    assert sum(short_in(*first_plan(both)).values()) == 0
