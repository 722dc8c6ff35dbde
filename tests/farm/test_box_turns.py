"""Boxes filled by hand, one after another: whose turn it is, within the rules."""

import pytest
from boxed import box_farm, past, share, slot, wish

from scheduler.farm.orders.box_turns import BoxTurns


def turns(own, number=0, before=(), **needs):
    """What may come into the first place of a box after others that were filled."""
    farm = box_farm(own, **({"on": (9, 16, 23, 30), "days": 40} | needs))
    made = BoxTurns(farm.boxes)
    for at, products in enumerate(before):
        for place, product in zip(own.slots, products, strict=False):
            made.put(farm.boxes.boxes[at], place, product)
    return made.next_for(farm.boxes.boxes[number], own.slots[0])


def test_at_first_the_dearest_comes():
    assert turns(share()) == ["Kale", "Lettuce", "Cress"]


def test_then_what_has_not_come_for_longest():
    assert turns(share(), 2, [["Cress"], ["Kale"]]) == ["Lettuce", "Cress", "Kale"]


def test_what_came_before_the_plan_has_had_its_turn():
    assert turns(share(past=past("Kale", "Lettuce"))) == ["Cress", "Kale", "Lettuce"]


def test_favourites_come_first_and_dislikes_last():
    wishes = (wish("Cress", "favourite"), wish("Kale", "dislike"))
    assert turns(share(wishes=wishes)) == ["Cress", "Lettuce", "Kale"]


def test_what_is_never_wanted_does_not_come():
    assert turns(share(wishes=(wish("Kale", "never"),))) == ["Lettuce", "Cress"]


def test_nothing_comes_twice_in_a_box():
    own = share(slot("First"), slot("Second"))
    farm = box_farm(own)
    made = BoxTurns(farm.boxes)
    made.put(farm.boxes.boxes[0], own.slots[1], "Kale")
    assert made.next_for(farm.boxes.boxes[0], own.slots[0]) == ["Lettuce", "Cress"]


@pytest.mark.parametrize(("times", "may"), [(1, False), (2, True)])
def test_nothing_comes_oftener_one_after_another_than_it_may(times, may):
    found = turns(share(most_running=times), 1, [["Kale"]])
    assert ("Kale" in found) == may


@pytest.mark.parametrize(("number", "may"), [(1, False), (2, False), (3, True)])
def test_nothing_comes_oftener_than_it_may_among_so_many(number, may):
    own = share(wishes=(wish("Kale", "at most", times=1, among=3),))
    assert ("Kale" in turns(own, number, [["Kale"]])) == may


def test_boxes_before_the_plan_count():
    assert "Kale" not in turns(share(most_running=2, past=past("Kale", "Kale")))
    assert "Kale" in turns(share(most_running=2, past=past("Kale", "Cress")))


@pytest.mark.parametrize(("most", "may"), [(399, False), (400, True)])
def test_a_box_is_not_worth_more_than_it_may_be(most, may):
    # The other place holds at least cress, at 100.
    found = turns(share(slot("First"), slot("Second"), most_value=most))
    assert ("Kale" in found) == may


def test_a_place_holds_no_more_products_than_it_may():
    own = share(slot(most_products=2))
    farm = box_farm(own)
    made, box = BoxTurns(farm.boxes), farm.boxes.boxes[0]
    made.put(box, own.slots[0], "Kale")
    assert made.next_for(box, own.slots[0]) == ["Lettuce", "Cress"]
    made.put(box, own.slots[0], "Cress")
    assert made.held(box, own.slots[0]) == ["Kale", "Cress"]
    assert made.next_for(box, own.slots[0]) == []
