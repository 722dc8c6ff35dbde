"""A wet raft's weight and the limit for lifting: each at its limit and one beyond."""

from dataclasses import replace
from fractions import Fraction

import pytest
from farms import make_crop, make_farm
from hypothesis import given
from hypothesis import strategies as st

from crops.library import card
from scheduler.plan.views.weights import (
    Estimate,
    Lift,
    height_share,
    lifters,
    lifting_limit,
    raft_lift,
    raft_limit,
    raft_weights,
    reach_share,
    tenths,
    travel_share,
    turn_share,
)

BEST = Lift(reach=Fraction(25), height=Fraction(75), travel=Fraction(25))
AREA = Fraction("0.74322432")
"""Square metres of 2 x 4 ft."""


def raft_of(crop):
    farm = replace(make_farm(crops=[crop]), raft_areas={"Trough": AREA})
    (weight,) = raft_weights(farm)
    return weight


@pytest.mark.parametrize(
    ("weight", "people"), [(0, 1), (7680, 1), (7681, 2), (15_360, 2), (15_361, 3), (23_040, 3)]
)
def test_one_lifts_up_to_the_limit_and_one_gram_more_takes_another(weight, people):
    assert lifters(weight, 7680) == people


def test_nobody_lifts_where_nothing_is_left_of_the_limit():
    with pytest.raises(ValueError, match="nobody"):
        lifters(1, 0)


def test_under_the_best_conditions_the_limit_is_23_kilograms():
    assert lifting_limit(BEST) == 23_000


def test_a_reach_of_60_centimetres_alone_leaves_9_kilograms_and_a_half():
    assert lifting_limit(replace(BEST, reach=Fraction(60))) == 9583


def test_each_share_is_whole_up_to_its_limit_and_nothing_beyond():
    assert [reach_share(Fraction(cm)) for cm in (0, 25, 50, 63)] == [1, 1, Fraction(1, 2), Fraction(25, 63)]
    assert reach_share(Fraction("63.01")) == 0
    assert [height_share(Fraction(cm)) for cm in (75, 0, 175)] == [1, Fraction("0.775"), Fraction("0.7")]
    assert height_share(Fraction("175.01")) == 0
    assert [travel_share(Fraction(cm)) for cm in (0, 25, 100)] == [1, 1, Fraction("0.865")]
    assert travel_share(Fraction(175)) > 0 == travel_share(Fraction("175.01"))
    assert [turn_share(Fraction(degrees)) for degrees in (0, 90, 135)] == [
        1,
        Fraction("0.712"),
        Fraction("0.568"),
    ]
    assert turn_share(Fraction("135.01")) == 0


def test_the_lift_of_a_raft_leaves_what_its_shares_say():
    lift = raft_lift()
    by_hand = 23_000 * 25 / 60 * (1 - 0.003 * 15) * (0.82 + 4.5 / 40) * 0.9
    assert raft_limit() == int(by_hand) == 7680
    assert (lift.reach, lift.height, lift.travel) == (60, 60, 40)


def test_a_raft_weighs_leaves_roots_board_and_film():
    crop = replace(make_crop("Lettuce", per_raft=18), card="lettuce_butterhead")
    found = raft_of(crop)
    plant = card("lettuce_butterhead").figures["yield_per_plant"]
    assert found.leaves == Estimate(
        low=18 * int(plant.low), typical=18 * int(plant.typical), high=18 * int(plant.high)
    )
    assert found.roots.typical == found.leaves.typical / 2
    # 0.74322432 m2 x 38 mm x 30 kg/m3 = 847.3 g, and 1 kg/m2 of water
    assert (found.board.typical, found.film.typical) == (848, 744)
    assert found.whole.typical == 18 * 142 * 3 / 2 + 848 + 744
    assert found.from_card


def test_a_crop_that_is_cut_again_keeps_as_much_as_a_cut():
    once, again = (make_crop("Basil", per_raft=10, cuts=cuts, interval=7) for cuts in (1, 2))
    assert raft_of(again).leaves.typical == 2 * raft_of(once).leaves.typical == 2 * 10 * 150


def test_a_crop_without_a_weight_on_its_card_takes_the_general_one_and_says_so():
    flower = replace(make_crop("Flower", per_raft=10), card="nasturtium")
    assert raft_of(flower).leaves == raft_of(make_crop("Own", per_raft=10)).leaves
    assert not raft_of(flower).from_card


def test_no_weight_is_told_where_the_size_of_the_raft_is_not_known():
    assert raft_weights(make_farm()) == ()


def test_the_largest_raft_a_crop_may_float_on_counts():
    farm = make_farm(lanes=2)
    other = replace(farm.places[-1], belongs_to="Pond")
    farm = replace(
        farm,
        places=(*farm.places[:-1], other),
        raft_areas={"Trough": Fraction(1), "Pond": Fraction(2), "Far": Fraction(9)},
    )
    assert [weight.area for weight in raft_weights(farm)] == [2]


@given(st.integers(1, 60), st.integers(1, 4), st.fractions(Fraction(1, 100), 4))
def test_bounds_stand_in_order_and_more_plants_never_weigh_less(plants, cuts, area):
    def weight(number):
        crop = make_crop("Any", per_raft=number, cuts=cuts, interval=7)
        (found,) = raft_weights(replace(make_farm(crops=[crop]), raft_areas={"Trough": area}))
        return found

    one, more = weight(plants), weight(plants + 1)
    assert 0 < one.whole.low <= one.whole.typical <= one.whole.high
    assert one.whole.high < more.whole.high
    assert one.lifters <= more.lifters


def test_weights_round_up_and_limits_round_down_in_the_unit_of_the_farm():
    assert (tenths(5401, "kg", up=True), tenths(5499, "kg", up=False)) == (55, 54)
    assert (tenths(5400, "kg", up=True), tenths(5400, "kg", up=False)) == (54, 54)
    # 453.59237 g are a pound
    assert (tenths(4536, "lb", up=True), tenths(4535, "lb", up=False)) == (101, 99)
