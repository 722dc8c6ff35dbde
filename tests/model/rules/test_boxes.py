"""Boxes: a week's boxes alike, nothing twice or too often, and what they lack of what they should have."""

import pytest
from boxed import box_farm, past, share, slot, wish
from farms import growing
from solving import allows, posed

from scheduler.farm.crops import StageKind
from scheduler.model.build import build
from scheduler.model.options.frame import season
from scheduler.model.rules.boxes import boxes
from scheduler.model.variables.box_picks import set_marks

TWO = (slot("First"), slot("Second"))


def units(farm, *given):
    """Amounts of (name of a demand, crop): one unit of each given, nothing else into any box."""

    def amounts(chosen):
        index = {wish.name: at for at, wish in enumerate(chosen.frame.wishes)}
        wanted = {(index[name], crop) for name, crop in given}
        return [(v, int(key in wanted)) for key, v in chosen.units.items()]

    return amounts


def may(farm, *given):
    return allows(farm, boxes, units(farm, *given))


def test_a_place_takes_one_product_unless_it_may_be_split():
    given = [("Box First 9", "Lettuce"), ("Box First 9", "Kale")]
    assert may(box_farm(share(slot())), given[0]) is True
    assert may(box_farm(share(slot())), *given) is False
    assert may(box_farm(share(slot(most_products=2))), *given) is True
    three = [*given, ("Box First 9", "Cress")]
    assert may(box_farm(share(slot(amount=2000, most_products=2))), *three) is False


def test_all_boxes_of_a_week_hold_the_same():
    farm = box_farm(on=[(8, 11), (15, 18)])
    assert may(farm, ("Box First 8", "Kale"), ("Box First 11", "Kale")) is True
    assert may(farm, ("Box First 8", "Kale"), ("Box First 11", "Lettuce")) is False
    assert may(farm, ("Box First 11", "Kale")) is True
    assert may(farm, ("Box First 11", "Kale"), ("Box First 15", "Lettuce")) is True


def test_a_place_that_may_be_split_is_split_over_all_days_of_the_week():
    farm = box_farm(share(slot(amount=2000, most_products=2)), on=[(8, 11), (15, 18)])
    given = [("Box First 8", "Kale"), ("Box First 11", "Lettuce")]
    assert may(farm, *given) is True
    assert may(farm, *given, ("Box First 11", "Cress")) is False


def test_no_product_stands_twice_in_a_box():
    farm = box_farm(share(*TWO))
    assert may(farm, ("Box First 9", "Kale"), ("Box Second 9", "Lettuce")) is True
    assert may(farm, ("Box First 9", "Kale"), ("Box Second 9", "Kale")) is False


def weekly(product, *days):
    return [(f"Box First {day}", product) for day in days]


def test_a_product_comes_in_so_many_boxes_one_after_another_and_no_more():
    farm = box_farm(share(most_running=2), on=[9, 16, 23, 29])
    assert may(farm, *weekly("Kale", 9, 16)) is True
    assert may(farm, *weekly("Kale", 9, 16, 29)) is True
    assert may(farm, *weekly("Kale", 9, 16, 23)) is False


@pytest.mark.parametrize(("before", "allowed"), [(("Kale", "Kale"), False), (("Kale", ""), True), ((), True)])
def test_boxes_before_the_plan_count(before, allowed):
    farm = box_farm(share(most_running=2, past=past(*before)))
    assert may(farm, *weekly("Kale", 9)) is allowed
    assert may(farm, *weekly("Lettuce", 9)) is True


def test_two_boxes_before_and_one_more_than_may_be_later_on():
    farm = box_farm(share(most_running=2, past=past("Lettuce", "Kale")))
    assert may(farm, *weekly("Kale", 9)) is True
    assert may(farm, *weekly("Kale", 9, 16)) is False


def test_a_limit_holds_among_so_many_boxes():
    farm = box_farm(share(wishes=(wish("Kale", "at most", times=1, among=3),)), on=[9, 16, 23, 29])
    assert may(farm, *weekly("Kale", 9, 29)) is True
    assert may(farm, *weekly("Kale", 9, 23)) is False
    assert may(farm, *weekly("Lettuce", 9, 23)) is True


def test_a_limit_holds_between_its_days():
    limit = wish("Kale", "at most", 10, 25, times=1, among=3)
    farm = box_farm(share(wishes=(limit,), past=past("Kale")), on=[9, 16, 23])
    assert may(farm, *weekly("Kale", 9, 16)) is True
    assert may(farm, *weekly("Kale", 16, 23)) is False


def test_what_is_never_to_come_does_not_come_in_those_weeks():
    farm = box_farm(share(wishes=(wish("Kale", "never", 10, 20),)))
    assert may(farm, *weekly("Kale", 9, 23)) is True
    assert may(farm, *weekly("Kale", 16)) is False


def test_a_week_that_was_begun_goes_on_with_what_it_held():
    farm = box_farm(share(*TWO), begun=["Kale", "Cress"])
    assert may(farm, ("Box First 9", "Kale"), ("Box Second 9", "Cress")) is True
    assert may(farm, ("Box First 9", "Lettuce")) is False
    assert may(farm, ("Box First 16", "Lettuce")) is True


@pytest.mark.parametrize(("most", "allowed"), [(500, True), (499, False)])
def test_a_box_is_worth_no_more_than_it_may_be(most, allowed):
    farm = box_farm(share(*TWO, most_value=most))
    assert may(farm, ("Box First 9", "Kale"), ("Box Second 9", "Lettuce")) is allowed


@pytest.mark.parametrize(("most", "allowed"), [(450, True), (449, False)])
def test_a_split_place_counts_with_the_dearest_product_and_its_exact_amount(most, allowed):
    farm = box_farm(share(slot(amount=1500, most_products=2), most_value=most))
    assert may(farm, ("Box First 9", "Kale"), ("Box First 9", "Cress")) is allowed


def test_nothing_that_is_not_picked_goes_in_and_what_is_picked_does():
    farm = box_farm()

    def pick(chosen, units):
        at = next(at for at, wish in enumerate(chosen.frame.wishes) if wish.name == "Box First 9")
        return [(chosen.picks[("Box", 0, "First"), "Kale"], 1), (chosen.units[at, "Kale"], units)]

    assert allows(farm, boxes, lambda chosen: pick(chosen, 2)) is True
    assert allows(farm, boxes, lambda chosen: pick(chosen, 0)) is False

    def heads(chosen, picked):
        fills = [v for (crop, _, _), v in chosen.fills.items() if crop == "Kale"]
        return [(chosen.picks[("Box", 0, "First"), "Kale"], picked), (fills[0], 1)]

    assert allows(farm, boxes, lambda chosen: heads(chosen, 1)) is True
    assert allows(farm, boxes, lambda chosen: heads(chosen, 0)) is False


def lacking(farm, kind, lack, *given):
    """Say whether boxes may lack so much of their one aim of a kind for the first box it is about."""
    _, posed_chosen = posed(farm)
    number = next(at for at, aim in enumerate(posed_chosen.box_aims) if aim.kind == kind)
    amounts = units(farm, *given)
    return allows(farm, boxes, lambda c: [*amounts(c), (c.box_marks["lack", number], lack)])


@pytest.mark.parametrize(("lack", "allowed"), [(150, True), (149, False)])
def test_a_box_lacks_what_it_is_worth_less_than_it_is_meant_to_be(lack, allowed):
    farm = box_farm(share(*TWO, least_value=450))
    assert lacking(farm, "value", lack, ("Box First 9", "Kale")) is allowed
    both = [("Box First 9", "Kale"), ("Box Second 9", "Lettuce")]
    assert lacking(farm, "value", 0, *both) is True


@pytest.mark.parametrize(("lack", "allowed"), [(100, True), (99, False)])
def test_a_split_place_is_worth_its_cheapest_product(lack, allowed):
    farm = box_farm(share(slot(most_products=2), least_value=200))
    given = [("Box First 9", "Kale"), ("Box First 9", "Cress")]
    assert lacking(farm, "value", lack, *given) is allowed


@pytest.mark.parametrize(("lack", "allowed"), [(1, True), (0, False)])
def test_boxes_lack_kinds_that_are_too_few(lack, allowed):
    farm = box_farm(share(least_kinds=3, kinds_boxes=3))
    two = [*weekly("Kale", 9, 23), *weekly("Lettuce", 16)]
    assert lacking(farm, "kinds", lack, *two) is allowed
    three = [*weekly("Kale", 9), *weekly("Cress", 23), *weekly("Lettuce", 16)]
    assert lacking(farm, "kinds", 0, *three) is True


def test_kinds_of_boxes_before_the_plan_count():
    farm = box_farm(share(least_kinds=2, kinds_boxes=2, past=past("Cress")))
    assert lacking(farm, "kinds", 0, *weekly("Kale", 9)) is True
    assert lacking(farm, "kinds", 0, *weekly("Cress", 9)) is False


@pytest.mark.parametrize(
    ("product", "lack", "allowed"), [("Kale", 0, True), ("Cress", 0, False), ("Cress", 1, True)]
)
def test_a_box_lacks_its_favourite(product, lack, allowed):
    farm = box_farm(share(wishes=(wish("Kale", "favourite", 8, 10),)))
    assert lacking(farm, "favourite", lack, *weekly(product, 9)) is allowed


def test_a_dislike_counts_while_it_is_in_the_box_and_only_then():
    _, chosen = posed(box_farm(share(wishes=(wish("Kale", "dislike", 14, 20),), priority=4)))
    assert [(weight, variable.name) for weight, variable in chosen.box_terms] == [
        (50 * 2 * 10, "pick_('Box', 1, 'First')_Kale")
    ]


def test_boxes_that_no_sowing_reaches_lack_nothing():
    farm = box_farm(share(least_value=100), on=[2, 9])
    _, chosen = posed(farm)
    assert [aim.box.number for aim in chosen.box_aims] == [1]
    grows = box_farm(
        share(least_value=100),
        on=[2, 9],
        growing=[growing("Kale", StageKind.RAFT, -4, 6, 1)],
    )
    assert may(grows, ("Box First 2", "Kale")) is True


def test_two_shares_draw_on_one_category_each_by_its_own_rules():
    farm = box_farm(share(most_running=1), share(name="Small"), on=[9, 16])
    small = [("Small First 9", "Kale"), ("Small First 16", "Kale")]
    assert may(farm, ("Box First 9", "Kale"), *small) is True
    assert may(farm, *weekly("Kale", 9, 16), *small) is False


def four_boxes(kale, lack, kind, counts_from=50, **wanted):
    """Say whether four boxes may lack so much of an aim, with so many units of kale beside lettuce."""
    split = slot(most_products=2, counts_from=counts_from)
    farm = box_farm(share(split, **wanted), on=[9], boxes=(4, 0))
    _, chosen = posed(farm)
    number = next(at for at, aim in enumerate(chosen.box_aims) if aim.kind == kind)

    def amounts(chosen):
        into = {(0, "Lettuce"): 4 - kale, (0, "Kale"): kale}
        units = [(v, into.get(key, 0)) for key, v in chosen.units.items()]
        return [*units, (chosen.box_marks["lack", number], lack)]

    return allows(farm, boxes, amounts)


@pytest.mark.parametrize(("kale", "lack", "allowed"), [(2, 0, True), (1, 0, False), (1, 1, True)])
def test_a_little_of_a_product_in_a_split_place_is_no_kind_and_no_favourite(kale, lack, allowed):
    liked = (wish("Kale", "favourite"),)
    assert four_boxes(kale, lack, "favourite", wishes=liked) is allowed
    assert four_boxes(kale, lack, "kinds", least_kinds=2, kinds_boxes=1) is allowed


def test_without_a_limit_one_unit_of_a_product_counts():
    assert four_boxes(1, 0, "kinds", counts_from=0, least_kinds=2, kinds_boxes=1) is True


def test_counted_products_follow_from_the_units_of_an_answer():
    split = slot(most_products=2, counts_from=50)
    made = share(split, least_kinds=2, kinds_boxes=1, wishes=(wish("Kale", "favourite"),))
    for kale in (1, 2):
        built = build(season(box_farm(made, on=[9], boxes=(4, 0))), ())
        chosen, values = built.chosen, [0] * len(built.model.proto.variables)
        values[chosen.units[0, "Lettuce"].index] = 4 - kale
        values[chosen.units[0, "Kale"].index] = kale
        set_marks(chosen, values)
        lacks = [values[chosen.box_marks["lack", at].index] for at, aim in enumerate(chosen.box_aims)]
        assert lacks == [2 - kale, 2 - kale]
