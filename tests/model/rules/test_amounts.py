"""No more heads than units take: in deliveries, places of boxes, at outlets, and of each part of a mix."""

import pytest
from boxed import box_farm, share, slot
from farms import delivery, growing, make_farm, make_mix, market
from solving import allows, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.amounts import amounts
from scheduler.model.variables.decisions import MIXED

GROWN = [growing("Lettuce", StageKind.RAFT, 0, 24, 4)]


def farm(**needs):
    return make_farm(**({"days": 20, "crops": [quick_crop(), quick_crop("Kale")], "growing": GROWN} | needs))


def with_heads(made, units, heads):
    """Say whether some heads of lettuce, cut on day 5, may go into some units of the first wish."""

    def given(chosen):
        key = (0, MIXED) if (0, MIXED) in chosen.units else (0, "Lettuce")
        others = [(fill, 0) for (_, day, _), fill in chosen.fills.items() if day != 5]
        return [(chosen.units[key], units), (chosen.fills["Lettuce", 5, 0], heads), *others]

    return allows(made, amounts, given)


@pytest.mark.parametrize(("heads", "allowed"), [(4, True), (5, False)])
@pytest.mark.parametrize("where", ["delivery", "outlet"])
def test_two_bunches_of_two_heads_take_four_and_no_fifth(heads, allowed, where):
    to = {
        "delivery": {"demands": [delivery("Bunch", 5, 10)]},
        "outlet": {"outlets": [market("Bunch", [5], (10, 300))]},
    }
    made = farm(products={"Bunch": {"Lettuce": 2000}}, **to[where])
    assert with_heads(made, 2, heads) is allowed


@pytest.mark.parametrize(("each", "units", "heads"), [(1500, 1, 2), (1500, 2, 3), (500, 1, 1), (500, 3, 2)])
def test_parts_of_a_head_round_up_to_the_head_they_are_cut_from(each, units, heads):
    made = farm(products={"Bunch": {"Lettuce": each}}, demands=[delivery("Bunch", 5, 10)])
    assert with_heads(made, units, heads) is True
    assert with_heads(made, units, heads + 1) is False


@pytest.mark.parametrize(("heads", "allowed"), [(2, True), (3, True), (4, False)])
def test_no_more_of_a_part_of_a_mix_goes_in_than_its_greatest_share(heads, allowed):
    """Two bags of 100 g hold at most 120 g of Lettuce, of which a head gives 50 g."""
    mix = make_mix("Salad", 100, ("Lettuce", 40, 50, 60, 50), ("Kale", 40, 50, 60, 50))
    assert with_heads(farm(mixes=[mix], demands=[delivery("Salad", 5, 10)]), 2, heads) is allowed


def test_a_place_of_a_box_that_is_split_holds_together_what_it_asks_for_and_not_that_of_each_product():
    split = box_farm(share(slot(most_products=2)), on=[9], boxes=(6, 0))

    def given(lettuce, kale):
        def heads(chosen):
            units = [(chosen.units[0, "Lettuce"], 4), (chosen.units[0, "Kale"], 2)]
            into = {("Lettuce", 9, 0): lettuce, ("Kale", 9, 0): kale}
            return [*units, *((fill, into.get(key, 0)) for key, fill in chosen.fills.items())]

        return allows(split, amounts, heads)

    assert given(4, 2) is True
    assert given(5, 2) is False
    assert given(4, 3) is False
