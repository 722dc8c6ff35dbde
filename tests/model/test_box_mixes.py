"""A mix by weight as what a place of a box holds: grown for by weight, and under the rules of boxes."""

from dataclasses import replace
from functools import cache

import pytest
from boxed import box_farm, share, slot
from farms import make_mix
from solving import got, quick_crop, solved

from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.boxes import box_item_rows, box_rows
from scheduler.plan.tally import demand_heads

FIXED = make_mix("Salad", 150, ("Lettuce", 60, 60, 60, 90), ("Kale", 40, 40, 40, 30))
PRICES = {"Salad bag": {"Salad": 400}, "Greens": {"Cress": 100}}
CROPS = [quick_crop(name) for name in ("Lettuce", "Kale", "Cress")]


def farm_of(own=None, **needs):
    own = own or share(slot("Bag", category="Salad bag"), slot("Green"))
    needs = {"on": (9, 16), "boxes": (4, 2), "crops": CROPS, "mixes": [FIXED], "lanes": 3} | needs
    return box_farm(own, categories=PRICES, **needs)


@cache
def planned():
    """The plan of that farm; no test changes it."""
    farm = farm_of()
    return farm, solved(farm, 0.3)


def test_every_part_is_grown_for_the_bags_of_the_boxes():
    _, plan = planned()
    assert got(plan) == {f"Box {place} {day}": 5 for place in ("Bag", "Green") for day in (9, 16)}
    assert {row.product for row in plan.box_items if row.slot == "Bag"} == {"Salad"}
    heads = demand_heads(plan.fills)["Box Bag 9"]
    # 5 bags of 150 g: 90 g of lettuce, a head of it, and 60 g of kale, two of those.
    assert (heads["Lettuce"], heads["Kale"]) == (5, 10)
    assert {(row.value, row.half_value) for row in plan.boxes} == {(500, 250)}


def test_a_bag_that_lacks_a_part_is_in_no_box():
    crops = [quick_crop("Lettuce"), quick_crop("Kale", sowing=()), quick_crop("Cress")]
    plan = solved(farm_of(crops=crops), 0.3)
    assert got(plan)["Box Bag 9"] == 0
    assert got(plan)["Box Green 9"] == 5


def test_a_mix_comes_no_oftener_one_after_another_than_it_may():
    own = share(slot("Bag", category="Salad bag"), most_running=1)
    plan = solved(farm_of(own, on=(9, 16, 23)), 0.3)
    filled = [got(plan)[f"Box Bag {day}"] for day in (9, 16, 23)]
    assert filled == [5, 0, 5]


@pytest.mark.parametrize("limit", ["most_running", "most_value"])
def test_the_audit_finds_a_mix_that_comes_too_often_or_makes_a_box_too_dear(limit):
    _, plan = planned()
    own = share(
        slot("Bag", category="Salad bag"), slot("Green"), **{limit: {"most_running": 1}.get(limit, 499)}
    )
    strict = farm_of(own)
    again = replace(plan, boxes=tuple(box_rows(strict, plan)), box_items=tuple(box_item_rows(strict, plan)))
    told = "\n".join(fault_lines(audit(strict, again)))
    assert "boxes" in told
    assert ("Salad" in told) == (limit == "most_running")


def test_the_audit_finds_a_bag_that_lacks_a_part():
    farm, plan = planned()
    fills = [row for row in plan.fills if (row.demand, row.crop) != ("Box Bag 9", "Kale")]
    told = "\n".join(fault_lines(audit(farm, replace(plan, fills=tuple(fills)))))
    assert "Box Bag 9" in told
