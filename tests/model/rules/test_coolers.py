"""Crates of heads that wait for their delivery never exceed the places of the coolers that suit them."""

from dataclasses import replace

import pytest
from boxed import box_farm, share
from farms import delivery, make_farm, target
from solving import allows, quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.coolers import Cooler, Crating
from scheduler.farm.farm import Substitute
from scheduler.model.rules.coolers import coolers

COLD = Crating(heads=10, coldest=0, warmest=2_00)
COOL = Crating(heads=10, coldest=8_00, warmest=12_00)


def cooler(crates, temperature=1_00, name="Cold room"):
    return Cooler(name=name, crates=crates, temperature=temperature)


def farm(rooms, demands, **crops):
    """A farm with coolers; crops are name=crating."""
    made = make_farm(
        days=20, crops=[quick_crop(name) for name in crops], demands=demands, lanes=4, lane_slots=20
    )
    kept = {name: replace(made.crops[name], crating=crating) for name, crating in crops.items()}
    return replace(made, crops=kept, coolers=tuple(rooms))


def fill(chosen, crop, cut, amount):
    """Heads of a crop cut on a day for its first delivery after that."""
    index = min(i for c, day, i in chosen.fills if c == crop and day == cut)
    return [(chosen.fills[crop, cut, index], amount)]


def held(made, *fills):
    return allows(made, coolers, lambda c: [pair for each in fills for pair in fill(c, *each)])


LETTUCE = [delivery("Lettuce", 12, 60, max_age=3)]


@pytest.mark.parametrize(("heads", "allowed"), [(20, True), (21, False)])
def test_heads_cut_before_their_delivery_fill_crates_begun_ones_too(heads, allowed):
    assert held(farm([cooler(2)], LETTUCE, Lettuce=COLD), ("Lettuce", 10, heads)) is allowed


def test_heads_cut_on_the_day_of_delivery_take_no_place():
    assert held(farm([cooler(0)], LETTUCE, Lettuce=COLD), ("Lettuce", 12, 60))


def test_heads_of_a_target_are_handed_over_as_they_are_cut():
    made = farm([cooler(0)], [target("Lettuce", 7, 30)], Lettuce=COLD)
    assert held(made, ("Lettuce", 8, 30))


def test_what_was_cut_on_two_days_stands_there_together():
    made = farm([cooler(2)], LETTUCE, Lettuce=COLD)
    assert held(made, ("Lettuce", 9, 10), ("Lettuce", 10, 10))
    assert not held(made, ("Lettuce", 9, 10), ("Lettuce", 10, 11))


def test_a_crate_holds_one_crop_and_coolers_of_one_temperature_are_one_room():
    both = [*LETTUCE, delivery("Oakleaf", 12, 60, max_age=3)]
    made = farm([cooler(1), cooler(1, name="Back room")], both, Lettuce=COLD, Oakleaf=COLD)
    assert held(made, ("Lettuce", 10, 10), ("Oakleaf", 10, 10))
    assert not held(made, ("Lettuce", 10, 11), ("Oakleaf", 10, 9))


def test_basil_never_stands_with_lettuce():
    both = [*LETTUCE, delivery("Basil", 12, 60, max_age=3)]
    made = farm([cooler(9), cooler(1, 10_00, "Pantry")], both, Lettuce=COLD, Basil=COOL)
    assert held(made, ("Lettuce", 10, 60), ("Basil", 10, 10))
    assert not held(made, ("Lettuce", 10, 60), ("Basil", 10, 11))


def test_substitutes_stand_in_the_cooler_of_their_own_crop():
    made = farm([cooler(9), cooler(1, 10_00, "Pantry")], LETTUCE, Lettuce=COLD, Basil=COOL)
    either = (Substitute(product="Basil", rank=1, price=100),)
    made = replace(made, demands=tuple(replace(demand, substitutes=either) for demand in made.demands))
    assert held(made, ("Lettuce", 10, 60), ("Basil", 10, 10))
    assert not held(made, ("Lettuce", 10, 60), ("Basil", 10, 11))


@pytest.mark.parametrize(("heads", "allowed"), [(20, True), (21, False)])
def test_heads_that_wait_for_boxes_fill_crates_as_those_for_orders_do(heads, allowed):
    made = box_farm(
        share(max_age=3),
        on=(12,),
        boxes=(60, 0),
        categories={"Greens": {"Lettuce": 200}},
        crops=[quick_crop("Lettuce", crating=COLD)],
        coolers=[cooler(2)],
        lanes=4,
        lane_slots=20,
    )
    assert held(made, ("Lettuce", 10, heads)) is allowed
    assert held(made, ("Lettuce", 12, 60))


def test_what_no_cooler_suits_is_cut_on_the_day_of_delivery():
    made = farm([cooler(9)], [delivery("Basil", 12, 60, max_age=3)], Basil=COOL)
    assert not held(made, ("Basil", 11, 1))
    assert held(made, ("Basil", 12, 60))


def test_without_coolers_or_crates_nothing_is_counted():
    assert held(farm([], LETTUCE, Lettuce=COLD), ("Lettuce", 10, 60))
    assert held(farm([cooler(0)], LETTUCE, Lettuce=None), ("Lettuce", 10, 60))


def test_a_plan_fills_as_much_as_a_small_cooler_lets_it():
    # Nothing is cut on the day of the delivery itself, so all of it stands in the cooler for a night.
    made = farm([cooler(3)], [delivery("Lettuce", 12, 40, max_age=1)], Lettuce=COLD)
    closed = replace(made.calendar, closed=made.calendar.closed | {Work.HARVEST: frozenset({12})})
    plan = solved(replace(made, calendar=closed))
    assert [row.filled for row in plan.demands] == [30]
