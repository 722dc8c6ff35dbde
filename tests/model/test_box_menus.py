"""What goes into boxes: small farms are filled as by the best of all menus, and a year keeps the rules."""

import random
from itertools import product

import pytest
from boxed import box_farm, past, share, slot, wish
from farms import delivery, growing
from solving import got, outcome, quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind

NAMES = ("Lettuce", "Kale", "Cress")
PRICES = {"Lettuce": 200, "Kale": 300, "Cress": 100}


def menus_filled(ready, slots, days, most_running, limit, most_value):
    """Try every menu of two places: most units filled when so many heads of each crop are ready each day."""
    best = 0
    boxes = list(product(("", *NAMES), repeat=slots))
    boxes = [box for box in boxes if len([p for p in box if p]) == len({p for p in box if p})]
    boxes = [box for box in boxes if sum(PRICES.get(p, 0) for p in box) <= most_value]
    for menu in product(boxes, repeat=days):
        rows = [{p for p in box if p} for box in menu]
        for name in NAMES:
            holds = [name in row for row in rows]
            run = [all(holds[at : at + most_running + 1]) for at in range(days - most_running)]
            windows = [sum(holds[at : at + 3]) for at in range(max(1, days - 2))]
            if any(run) or (name == "Kale" and max(windows) > limit):
                break
        else:
            best = max(best, sum(min(2, ready[day][p]) for day, row in enumerate(rows) for p in row))
    return best


@pytest.mark.parametrize("seed", range(10))
def test_boxes_are_filled_as_well_as_by_the_best_of_all_menus(seed):
    draw = random.Random(seed)
    days, slots = draw.randint(2, 4), draw.randint(1, 2)
    ready = [{name: draw.randint(0, 3) for name in NAMES} for _ in range(days)]
    running, limit, most = draw.randint(1, 2), draw.randint(1, 2), draw.choice([300, 400, 500])
    # Rafts that stand ready on one day each: what is cut on it goes into that day's boxes or nowhere.
    rafts = [
        growing(name, StageKind.RAFT, day - 4, heads, 1, lot=f"{name} {day}", place=f"Trough {at + 1}",
                order=day + 1)
        for at, name in enumerate(NAMES)
        for day in range(days)
        if (heads := ready[day][name])
    ]  # fmt: skip
    own = share(
        *(slot(f"Place {number}") for number in range(slots)),
        most_running=running,
        most_value=most,
        max_age=0,
        wishes=(wish("Kale", "at most", times=limit, among=3),),
    )
    crops = [quick_crop(name, raft=(4, 0, 10_000), sowing=()) for name in NAMES]
    farm = box_farm(own, on=range(days), crops=crops, lanes=3, growing=rafts)
    plan = solved(farm)
    assert sum(got(plan).values()) == menus_filled(ready, slots, days, running, limit, most)


def ready(*days, heads=2):
    """Rafts of every crop that stand ready on each of some days, and crops that are sown no more."""
    crops = [quick_crop(name, raft=(4, 0, 10_000), sowing=()) for name in NAMES]
    rafts = [
        growing(name, StageKind.RAFT, day - 4, heads, 1, lot=f"{name} {day}", place=f"Trough {at + 1}",
                order=day + 1)
        for at, name in enumerate(NAMES)
        for day in days
    ]  # fmt: skip
    return {"days": 12, "crops": crops, "lanes": 3, "growing": rafts}


def test_a_restaurants_firm_order_goes_before_boxes_and_a_firm_share_before_flexible_orders():
    grows = [growing("Kale", StageKind.RAFT, -4, 4, 1)]
    crops = [quick_crop("Kale", sowing=())]
    only = {"Greens": {"Kale": 300}}
    firm = box_farm(on=[2], categories=only, crops=crops, growing=grows, demands=[delivery("Kale", 2, 4)])
    assert got(solved(firm)) == {"Kale 2": 4, "Box First 2": 0}
    other = delivery("Kale", 2, 4, firm=False, price=900)
    first = box_farm(share(firm=True), on=[2], categories=only, crops=crops, growing=grows, demands=[other])
    assert got(solved(first)) == {"Kale 2": 2, "Box First 2": 2}


def test_boxes_are_as_good_as_they_are_meant_to_be_where_that_can_be():
    wishes = (wish("Lettuce", "favourite"), wish("Cress", "dislike"))
    farm = box_farm(share(slot(), slot("Second"), least_value=500, wishes=wishes), on=[1, 3], **ready(1, 3))
    plan = solved(farm)
    assert [(row.state, row.value, row.missed, row.disliked) for row in plan.boxes] == [
        ("full", 500, "", ""),
        ("full", 500, "", ""),
    ]
    assert [goal.value for goal in plan.goals if goal.level == 2] == [0.0]


def test_kinds_too_few_weigh_in_the_flexible_goal():
    farm = box_farm(share(least_kinds=4, kinds_boxes=3), on=[1, 3, 4], **ready(1, 3, 4))
    plan = solved(farm)
    assert [row.kinds_short for row in plan.boxes] == [0, 0, 1]
    assert {row.product for row in plan.box_items} == set(NAMES)
    assert [(goal.value, goal.status) for goal in plan.goals if goal.level == 2] == [
        (50 * 2 * 1000, "proven")
    ]


def test_half_boxes_of_an_odd_number_round_up_together():
    farm = box_farm(share(slot(half_amount=500)), boxes=(2, 3), on=[9])
    assert [demand.amount for demand in farm.demands] == [4]
    assert got(solved(farm)) == {"Box First 9": 4}


def test_boxes_too_early_for_any_sowing_are_told_as_such():
    plan = solved(box_farm(on=[2, 9]))
    assert [(row.day, row.state) for row in plan.boxes] == [(2, "too early"), (9, "full")]
    assert [row.state for row in plan.demands] == ["too early", "filled"]


def test_a_split_place_gives_some_boxes_one_product_and_some_another():
    grows = [growing(name, StageKind.RAFT, -4, 2, 1, lot=name) for name in ("Kale", "Lettuce")]
    crops = [quick_crop(name, sowing=()) for name in NAMES]
    for most, filled in ((1, 2), (2, 4)):
        own = share(slot(most_products=most))
        farm = box_farm(own, on=[2], boxes=(4, 0), crops=crops, growing=grows, lanes=1)
        assert got(solved(farm)) == {"Box First 2": filled}


def test_boxes_of_a_year_keep_every_rule():
    days = tuple(range(10, 365, 7))
    crops = [quick_crop(name, raft=(3, 1, 10_000)) for name in NAMES]
    own = share(slot(), most_running=2, least_kinds=3, kinds_boxes=4, past=past("Kale", "Kale"))
    farm = box_farm(own, on=days, boxes=(3, 0), crops=crops, lane_slots=4, days=365,
                    work_days=dict.fromkeys((Work.SOW, Work.RAFT, Work.HARVEST), [0, 3]))  # fmt: skip
    found = outcome(farm, seconds=1.0).plan
    assert found is not None
    assert sum(row.state == "full" for row in found.boxes) >= len(days) - 2
