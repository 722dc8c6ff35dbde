"""Orders of seed and packaging: placed when stock would run out, for so many weeks, in whole packs."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm, target
from plans import Batch, build
from samples import small_farm, small_plan

from scheduler.farm.supplies import Supply
from scheduler.plan.rows import SeedRow
from scheduler.plan.supplies import supply_rows

MONDAY = frozenset({0})


def seed(**changes):
    """Seed in packs of 100 that comes after 7 days; nothing in stock."""
    given = {"item": "Seed", "kind": "seed", "crop": "Lettuce", "pack_size": 100, "lead_days": 7}
    return Supply(**(given | changes))


def orders(supply, sown, *, weeks=2, today=0, days=98, **crop):
    """The orders of a plan that sows (day -> seeds), eight weeks cut down to two."""
    farm = make_farm(
        days=days, span=120, today=today, rules={"supply_weeks": weeks}, crops=[make_crop("Lettuce", **crop)]
    )
    rows = tuple(
        SeedRow(crop="Lettuce", variety="", day=day, cells=seeds, seeds=seeds, cost=0)
        for day, seeds in sown.items()
    )
    return supply_rows(replace(farm, supplies=(supply,)), small_plan(seed=rows, fills=()))


def brief(rows):
    return [(row.order_by, row.arrive_by, row.covers_until, row.needed, row.packs) for row in rows]


def test_stock_that_lasts_needs_no_order_and_one_seed_less_needs_one():
    sown = {20: 60, 30: 60}
    assert orders(seed(in_stock=120), sown) == []
    assert brief(orders(seed(in_stock=119), sown)) == [(23, 30, 43, 1, 1)]


def test_an_order_covers_its_weeks_and_not_a_day_more():
    sown = {20: 60, 33: 70, 34: 80}
    assert brief(orders(seed(), sown)) == [(13, 20, 33, 130, 2), (27, 34, 47, 10, 1)]


def test_what_packs_hold_too_much_goes_into_stock():
    sown = {20: 10, 40: 90, 60: 1}
    assert brief(orders(seed(), sown)) == [(13, 20, 33, 10, 1), (53, 60, 73, 1, 1)]


def test_part_of_a_day_from_stock_counts_less_for_the_order():
    assert brief(orders(seed(in_stock=30), {20: 130})) == [(13, 20, 33, 100, 1)]
    assert brief(orders(seed(in_stock=29), {20: 130})) == [(13, 20, 33, 101, 2)]


def test_the_fewest_packs_of_the_supplier_are_ordered_and_paid():
    (row,) = orders(seed(least_packs=3, price=1250), {20: 10, 50: 290})
    assert (row.packs, row.amount, row.cost) == (3, 300, 3750)


def test_spare_is_used_up_like_the_rest():
    sown = {20: 95, 22: 5}
    assert brief(orders(seed(), sown)) == [(13, 20, 33, 100, 1)]
    # 95 and 5 with ten percent on top are 105 and 6
    assert brief(orders(seed(spare=1000), sown)) == [(13, 20, 33, 111, 2)]


def test_it_is_ordered_on_an_order_day():
    assert [row.order_by for row in orders(seed(order_days=MONDAY), {20: 1, 21: 200})] == [7]
    assert [row.order_by for row in orders(seed(order_days=MONDAY), {21: 200})] == [14]


@pytest.mark.parametrize(("day", "late"), [(7, False), (6, True)])
def test_an_order_is_late_when_its_day_has_passed(day, late):
    (row,) = orders(seed(), {day: 10})
    assert (row.order_by, row.late) == (day - 7, late)


def test_days_count_from_today():
    (row,) = orders(seed(), {20: 10}, today=14)
    assert (row.order_by, row.late) == (13, True)


def test_seed_that_soaks_overnight_is_needed_the_day_before():
    assert orders(seed(), {20: 10}, handling={"soak_hours": 1200})[0].arrive_by == 20
    assert orders(seed(), {20: 10}, handling={"soak_hours": 1201})[0].arrive_by == 19
    assert orders(seed(), {5: 10}, today=5, handling={"soak_hours": 1201})[0].arrive_by == 5


def test_what_is_used_after_the_last_reported_day_is_not_ordered():
    assert orders(seed(), {98: 50}) == []
    assert brief(orders(seed(), {97: 50, 98: 70})) == [(90, 97, 97, 50, 1)]


def test_orders_of_all_items_stand_by_day():
    farm = replace(
        make_farm(rules={"supply_weeks": 1}, crops=[make_crop("Lettuce"), make_crop("Basil")]),
        supplies=(seed(item="A"), seed(item="B", crop="Basil")),
    )
    rows = tuple(
        SeedRow(crop=crop, variety="", day=day, cells=100, seeds=100, cost=0)
        for day, crop in ((10, "Lettuce"), (15, "Basil"), (20, "Lettuce"))
    )
    made = supply_rows(farm, small_plan(seed=rows, fills=()))
    assert [(row.item, row.crop_or_product, row.arrive_by) for row in made] == [
        ("A", "Lettuce", 10),
        ("B", "Basil", 15),
        ("A", "Lettuce", 20),
    ]


LOT = "LET-260302"


def packed(demands, fills, *, rules=None, products=("Lettuce",), **changes):
    """The orders of packaging, five pieces in a pack, for deliveries of one lot."""
    given = {"item": "Bag", "kind": "packaging", "products": products, "pack_size": 5, "lead_days": 4}
    farm = make_farm(demands=demands, rules=rules or {})
    plan = build(farm, Batch(cuts=[(34, 3), (36, 3)]), fills=fills)
    return supply_rows(replace(farm, supplies=(Supply(**(given | changes)),)), plan)


def test_packaging_is_needed_on_the_day_the_first_heads_are_cut():
    rows = packed([delivery("Lettuce", 37, 10)], [("Lettuce 37", LOT, 36, 6)])
    assert [(row.order_by, row.arrive_by, row.needed, row.packs) for row in rows] == [(32, 36, 6, 2)]
    both = packed([delivery("Lettuce", 37, 10)], [("Lettuce 37", LOT, 36, 3), ("Lettuce 37", LOT, 34, 3)])
    assert [(row.arrive_by, row.needed) for row in both] == [(34, 6)]


def test_pieces_of_each_delivery_round_up():
    two = [delivery("Lettuce", 36, 3), delivery("Lettuce", 37, 3)]
    fills = [("Lettuce 36", LOT, 36, 3), ("Lettuce 37", LOT, 36, 3)]
    assert [row.needed for row in packed(two, fills, per_unit=500)] == [4]
    one = packed([delivery("Lettuce", 36, 6)], [("Lettuce 36", LOT, 36, 6)], per_unit=500)
    assert [row.needed for row in one] == [3]


def test_only_filled_units_are_packed():
    assert packed([delivery("Lettuce", 36, 10)], []) == []
    rules = {"all_or_nothing": True}
    assert packed([delivery("Lettuce", 36, 10)], [("Lettuce 36", LOT, 36, 6)], rules=rules) == []
    assert len(packed([delivery("Lettuce", 36, 6)], [("Lettuce 36", LOT, 36, 6)], rules=rules)) == 1


def test_what_was_cut_before_the_first_day_is_packed_already():
    rows = packed([delivery("Lettuce", 37, 10, in_hand=4)], [("Lettuce 37", LOT, 36, 6)])
    assert [(row.arrive_by, row.needed) for row in rows] == [(36, 6)]
    assert packed([delivery("Lettuce", 37, 4, in_hand=4)], []) == []


def test_weeks_of_targets_are_packed_too_and_other_products_are_not():
    demands = [target("Lettuce", 35, 6)]
    fills = [("Lettuce 35", LOT, 36, 6)]
    assert [row.arrive_by for row in packed(demands, fills)] == [36]
    assert packed(demands, fills, products=("Basil",)) == []


def test_a_farm_without_supplies_orders_nothing():
    assert supply_rows(small_farm(), small_plan()) == []
