"""Deliveries: heads go out fresh, in whole units, all or nothing where the book says so."""

import pytest
from farms import delivery, growing, make_farm, target
from solving import allows, posed, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.cuts import deliveries

RAFTS = [growing("Lettuce", StageKind.RAFT, 0, 20, 4)]


def farm(*demands, **needs):
    crops = [quick_crop(), quick_crop("Kale")]
    return make_farm(**({"days": 20, "crops": crops, "growing": RAFTS} | needs), demands=demands)


def cut_days(chosen, wish, crop="Lettuce"):
    return {day for name, day, index in chosen.fills if (name, index) == (crop, wish)}


@pytest.mark.parametrize(("age", "days"), [(0, {6}), (1, {5, 6}), (2, {4, 5, 6})])
def test_a_delivery_takes_heads_cut_at_most_its_greatest_age_before(age, days):
    _, chosen = posed(farm(delivery("Lettuce", 6, 5, max_age=age), delivery("Lettuce", 4, 5, max_age=0)))
    wish = next(i for i, wish in enumerate(chosen.frame.wishes) if wish.first == 6)
    assert cut_days(chosen, wish) == days


def test_a_target_takes_heads_cut_on_any_day_of_its_week_and_no_other():
    _, chosen = posed(farm(target("Lettuce", 5, 5), delivery("Lettuce", 4, 1)))
    wish = next(i for i, wish in enumerate(chosen.frame.wishes) if wish.first == 5)
    days = cut_days(chosen, wish)
    assert {5, 6, 7, 11} <= days
    assert max(days) == 11
    assert 4 not in days


def taken(chosen, day):
    return next(v for (lot, _, d), v in chosen.heads.items() if lot.growing >= 0 and d == day)


def others(chosen, day):
    return [(v, 0) for (lot, _, d), v in chosen.heads.items() if d == day and lot.growing < 0]


@pytest.mark.parametrize(("heads", "allowed"), [(9, True), (8, False), (10, False)])
def test_heads_taken_on_a_day_all_go_into_deliveries(heads, allowed):
    made = farm(delivery("Lettuce", 4, 5, max_age=0), delivery("Lettuce", 5, 5, max_age=1))
    assert allowed is allows(
        made,
        deliveries,
        lambda c: [
            (taken(c, 4), heads),
            *others(c, 4),
            (c.fills["Lettuce", 4, 0], 5),
            (c.fills["Lettuce", 4, 1], 4),
        ],
    )


@pytest.mark.parametrize(
    ("heads", "units", "allowed"), [(3, 2, True), (2, 1, True), (2, 2, False), (5, 3, True), (5, 4, False)]
)
def test_units_of_one_and_a_half_heads_round_down(heads, units, allowed):
    made = farm(delivery("Bag", 4, 8, max_age=0), products={"Bag": {"Lettuce": 1500}})
    assert allowed is allows(
        made, deliveries, lambda c: [(c.fills["Lettuce", 4, 0], heads), (c.units[0, "Lettuce"], units)]
    )


@pytest.mark.parametrize(("short", "allowed"), [(3, True), (2, False), (4, False)])
def test_a_delivery_is_filled_from_all_crops_of_its_product_and_the_rest_is_short(short, allowed):
    grown = [*RAFTS, growing("Kale", StageKind.RAFT, 0, 6, 1, lot="K", order=2)]
    made = farm(
        delivery("Mix", 4, 8, max_age=0), products={"Mix": {"Lettuce": 1000, "Kale": 2000}}, growing=grown
    )
    assert allowed is allows(
        made,
        deliveries,
        lambda c: [
            (c.fills["Lettuce", 4, 0], 2),
            (c.units[0, "Lettuce"], 2),
            (c.fills["Kale", 4, 0], 6),
            (c.units[0, "Kale"], 3),
            (c.short[0], short),
        ],
    )


@pytest.mark.parametrize(("filled", "allowed"), [(0, True), (7, False), (8, True)])
def test_a_delivery_is_made_whole_or_not_at_all_where_the_book_says_so(filled, allowed):
    made = farm(delivery("Lettuce", 4, 8, max_age=0), rules={"all_or_nothing": True})
    assert allowed is allows(made, deliveries, lambda c: [(c.units[0, "Lettuce"], filled)])


def test_a_target_may_be_met_in_part_even_where_deliveries_may_not():
    made = farm(target("Lettuce", 4, 8), rules={"all_or_nothing": True})
    assert allows(made, deliveries, lambda c: [(c.units[0, "Lettuce"], 7)])
