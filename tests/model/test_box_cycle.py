"""Boxes in the steady cycle: shares that take turns hold something else in each of two weeks."""

from dataclasses import replace

import pytest
from boxed import box_farm, share, slot, wish
from model.steady import built_of, faults_of, units_short

from scheduler.model.first.box_cycle import CycleBoxes, steady_frame, takes_turns
from scheduler.model.first.laying import laid
from scheduler.model.first.longer import CycleSearch, short_of
from scheduler.model.first.start import idle
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine

WEEKS = 8
THURSDAYS = range(17, 7 * WEEKS, 7)
TURNS = share(slot("First"), most_running=1)


def farm_of(own=TURNS, **needs):
    return box_farm(own, **({"on": THURSDAYS, "boxes": (5, 0), "days": 7 * WEEKS, "lanes": 2} | needs))


def searched(farm, seconds=0.3):
    engine = Engine(SolveSettings(seconds=30, deterministic=True))
    return CycleSearch(engine, season(farm), bundles_of(farm)).find(seconds)


def picked(cycle):
    """Box of the cycle -> products in it."""
    found = {}
    for ((_, number, _), product), pick in cycle.built.chosen.picks.items():
        if cycle.values[pick.index]:
            found.setdefault(number, set()).add(product)
    return found


@pytest.mark.parametrize(
    ("own", "turns"),
    [
        (share(), False),
        (share(most_value=300, least_value=100), False),
        (share(most_running=2), True),
        (share(least_kinds=2), True),
        (share(wishes=(wish("Kale", "at most", times=1, among=3),)), True),
        (share(wishes=(wish("Kale", "never"), wish("Cress", "dislike"))), False),
    ],
)
def test_shares_take_turns_where_a_rule_looks_at_several_boxes(own, turns):
    assert takes_turns(farm_of(own)) == turns


def test_a_single_week_has_boxes_only_where_they_can_be_the_same_every_week():
    assert not steady_frame(season(farm_of()), 7).farm.boxes
    (box,) = steady_frame(season(farm_of(share(), boxes=(3, 4))), 7).farm.boxes.boxes
    assert (box.number, [(day.boxes, day.halves) for day in box.days]) == (0, [(3, 4)])


def test_boxes_of_two_weeks_follow_upon_each_other_round_and_round():
    boxes = steady_frame(season(farm_of()), 14).farm.boxes
    assert isinstance(boxes, CycleBoxes)
    assert [box.number for box in boxes.boxes] == [0, 1]
    assert boxes.boxes[1].days[0].day == boxes.boxes[0].days[0].day + 7
    found = [[box.number for box in stretch.boxes] for stretch in boxes.stretches("Box", 3)]
    assert found == [[0, 1, 0], [1, 0, 1]]


def test_a_box_of_the_cycle_is_that_of_a_calendar_week_on_whatever_day_the_cycle_begins():
    tuesdays = range(15, 7 * WEEKS, 7)
    farm = farm_of(on=[(day, day + 2) for day in tuesdays], today=2)
    frame = steady_frame(season(farm), 14)
    assert (frame.start - farm.calendar.week_start(frame.start)) == 2
    boxes = frame.farm.boxes.boxes
    assert [len(box.days) for box in boxes] == [2, 2]
    weeks = [{farm.calendar.week_start(day.day) // 7 % 2 for day in box.days} for box in boxes]
    assert sorted(weeks, key=min) == [{0}, {1}]


def test_a_share_with_one_box_in_the_cycle_says_nothing_of_boxes_one_after_another():
    boxes = steady_frame(season(farm_of(on=range(17, 7 * WEEKS, 14))), 14).farm.boxes
    assert len(boxes.boxes) == 1
    assert boxes.stretches("Box", 2) == []


def test_a_steady_week_puts_one_product_in_a_place_where_the_share_takes_no_turns():
    cycle = searched(farm_of(share(slot("First"))))
    assert cycle.built.chosen.frame.period == 7
    assert short_of(cycle) == 0
    assert [len(products) for products in picked(cycle).values()] == [1]


def test_two_weeks_hold_different_products_where_the_share_takes_turns():
    cycle = searched(farm_of())
    assert cycle.built.chosen.frame.period == 14
    assert short_of(cycle) == 0
    first, second = picked(cycle)[0], picked(cycle)[1]
    assert len(first) == len(second) == 1
    assert not first & second


def test_kinds_and_value_are_looked_at_in_the_cycle_as_well():
    own = share(slot("First"), slot("Second"), least_kinds=3, kinds_boxes=2, most_value=400)
    cycle = searched(farm_of(own))
    both = picked(cycle)
    assert short_of(cycle) == 0
    assert both[0] | both[1] == {"Lettuce", "Kale", "Cress"}
    prices = {"Lettuce": 200, "Kale": 300, "Cress": 100}
    assert all(sum(prices[product] for product in products) <= 400 for products in both.values())


def test_the_cycle_laid_over_the_season_fills_boxes_in_turn():
    farm = farm_of()
    engine = Engine(SolveSettings(seconds=30, deterministic=True))
    frame, bundles = replace(season(farm), sources=1), bundles_of(farm)
    cycle = CycleSearch(engine, frame, bundles).find(0.3)
    built = built_of(frame, bundles, cycle.homes)
    parts = Parts(built.model)
    best = Incumbent(built, parts, idle(engine, built, parts, 1.0))
    best.take(laid(engine, best, cycle))
    assert units_short(best) == 0
    assert faults_of(farm, best) == []


@pytest.mark.parametrize(("own", "cycles"), [(TURNS, 1), (share(slot("First")), 2)])
def test_where_boxes_take_turns_one_cycle_has_all_workers(own, cycles):
    farm = farm_of(own)
    engine = Engine(SolveSettings(seconds=30, workers=2))
    used = CycleSearch(engine, season(farm), bundles_of(farm)).engines
    assert len(used) == cycles
    assert (engine in used) == (cycles == 1)
