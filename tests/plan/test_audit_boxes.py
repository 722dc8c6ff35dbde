"""Boxes: what they hold is read from the fills alone; a plan at every limit passes, one beyond is told."""

from dataclasses import replace

import pytest
from boxed import box_farm, past, share, slot, wish
from plans import Batch, build, edit, settle
from solving import quick_crop

from scheduler.farm.supplies import Supply
from scheduler.plan.audit import audit
from scheduler.plan.boxes import box_item_rows, box_rows
from scheduler.plan.layout.demands import demand_rows
from scheduler.plan.supplies import supply_rows

TWO = (slot("First"), slot("Second"))
DAYS = (9, 16, 23)
LOTS = {"Lettuce": "LET", "Kale": "KAL", "Cress": "CRE"}


def boxed(farm, *given):
    """A sound plan but for what goes into boxes: (name of a demand, product), one head each."""
    batches, fills = [], []
    for crop, code in LOTS.items():
        for day in DAYS:
            sown = farm.date_of(day - 7)
            own = [name for name, product in given if product == crop and day_of(name) == day]
            if own:
                raft = Batch(crop=crop, sown=day - 7, rows=2, board_day=None, raft_day=day - 4,
                             rafts=(6,), cuts=((day, 6),))  # fmt: skip
                batches.append(raft)
                fills += [(name, f"{code}-{sown:%y%m%d}", day, 1) for name in own]
    batches.sort(key=lambda batch: batch.sown)
    return with_boxes(farm, build(farm, *batches, fills=fills))


def day_of(name):
    return int(name.rsplit(" ", 1)[1])


def with_boxes(farm, plan):
    plan = settle(farm, plan)
    return replace(plan, boxes=tuple(box_rows(farm, plan)), box_items=tuple(box_item_rows(farm, plan)))


def told(farm, *given):
    return [str(fault) for fault in audit(farm, boxed(farm, *given))]


def weekly(product, *days):
    return [(f"Box First {day}", product) for day in days]


def box(*shares, **more):
    return box_farm(*shares, on=DAYS, crops=[quick_crop(name) for name in LOTS], lanes=3, **more)


def test_boxes_that_keep_every_rule_have_no_fault():
    farm = box(share(*TWO, most_running=2, most_value=500))
    assert told(farm, *weekly("Kale", 9, 16), ("Box Second 16", "Lettuce")) == []
    assert told(farm, *weekly("Lettuce", 23), ("Box Second 23", "Kale")) == []


def test_two_products_in_a_place_of_one():
    given = [("Box First 9", "Kale"), ("Box First 9", "Lettuce")]
    assert told(box(share(slot(most_products=2))), *given) == []
    assert told(box(), *given) == [
        "boxes | Box | 2026-03-11: First holds Kale, Lettuce; 1 of them may be in it"
    ]


def on_two_days_of_a_week(place, *given):
    """What the audit says of the boxes where all crops are given away on days 9 and 10, of one week."""
    farm = box_farm(
        share(place), on=[(9, 10), (16,), (23,)], crops=[quick_crop(name) for name in LOTS], lanes=3
    )
    own = [("Box First 9", "Kale"), ("Box First 16", "Lettuce"), ("Box First 23", "Cress")]
    plan = boxed(farm, *own[: len(given)])
    for (before, _), day in zip(own, given, strict=False):
        plan = edit(plan, "fills", {"demand": before}, demand=f"Box First {day}", cut_day=9)
    return [str(fault) for fault in audit(farm, with_boxes(farm, plan)) if fault.rule == "boxes"]


def test_days_of_a_week_that_hold_different_things():
    assert on_two_days_of_a_week(slot(), 9, 10) == [
        "boxes | Box | 2026-03-11: First holds Kale, Lettuce; 1 of them may be in it"
    ]


def test_a_place_that_may_be_split_is_split_over_all_days_of_the_week():
    assert on_two_days_of_a_week(slot(most_products=2), 9, 10) == []
    assert on_two_days_of_a_week(slot(most_products=2), 9, 10, 10) == [
        "boxes | Box | 2026-03-11: First holds Cress, Kale, Lettuce; 2 of them may be in it"
    ]


def test_a_day_without_the_product_of_its_week_leaves_the_place_empty():
    assert on_two_days_of_a_week(slot(), 10) == []


def test_a_product_twice_in_a_box():
    assert told(box(share(*TWO)), ("Box First 9", "Kale"), ("Box Second 9", "Kale")) == [
        "boxes | Box | 2026-03-11: Kale in First and in Second"
    ]


def test_a_product_in_too_many_boxes_one_after_another():
    farm = box(share(most_running=2))
    assert told(farm, *weekly("Kale", 9, 16, 23)) == [
        "boxes | Box | 2026-03-25: Kale in 3 boxes one after another; 2 it may be"
    ]
    after = box(share(most_running=2, past=past("Kale", "Kale")))
    assert told(after, *weekly("Kale", 16, 23)) == []
    assert told(after, *weekly("Kale", 9)) == [
        "boxes | Box | 2026-03-11: Kale in 3 boxes one after another; 2 it may be"
    ]


def test_a_product_oftener_than_its_own_limit():
    limit = wish("Kale", "at most", times=1, among=3)
    assert told(box(share(wishes=(limit,))), *weekly("Kale", 9, 23)) == [
        "boxes | Box | 2026-03-25: Kale in 2 of 3 boxes; 1 it may be"
    ]
    assert told(box(share(wishes=(replace(limit, among=2),))), *weekly("Kale", 9, 23)) == []
    later = replace(limit, first=14)
    assert told(box(share(wishes=(later,), past=past("Kale"))), *weekly("Kale", 9, 23)) == []
    assert told(box(share(wishes=(limit,), past=past("Kale"))), *weekly("Kale", 9)) == [
        "boxes | Box | 2026-03-11: Kale in 2 of 3 boxes; 1 it may be"
    ]


def test_what_is_never_to_come():
    farm = box(share(wishes=(wish("Kale", "never", 10, 20),)))
    assert told(farm, *weekly("Kale", 9, 23)) == []
    assert told(farm, *weekly("Kale", 16)) == [
        "boxes | Box | 2026-03-18: Kale in First, which is never to come that week"
    ]


def test_a_week_that_was_begun_with_something_else():
    farm = box(begun=["Kale"])
    assert told(farm, *weekly("Kale", 9)) == []
    assert told(farm, *weekly("Lettuce", 9)) == [
        "boxes | Box | 2026-03-11: Lettuce in First; boxes of that week held Kale before"
    ]


@pytest.mark.parametrize(("most", "faults"), [(500, 0), (499, 1)])
def test_a_box_that_is_worth_too_much(most, faults):
    found = told(box(share(*TWO, most_value=most)), ("Box First 9", "Kale"), ("Box Second 9", "Lettuce"))
    assert len(found) == faults
    if faults:
        assert found == ["boxes | Box | 2026-03-11: a full box is worth 5.00; 4.99 it may be"]


def test_boxes_are_told_as_the_fills_have_them():
    farm = box(share(*TWO, least_kinds=2, kinds_boxes=2, least_value=400))
    plan = boxed(farm, *weekly("Kale", 9, 16), ("Box Second 16", "Cress"))
    assert [(row.day, row.state, row.value, row.below, row.short) for row in plan.boxes] == [
        (9, "short", 300, 100, 3),
        (16, "short", 400, 0, 2),
        (23, "short", 0, 400, 4),
    ]
    assert [(row.products, row.repeats, row.kinds, row.kinds_short) for row in plan.boxes] == [
        (1, 0, 1, 0),
        (2, 1, 2, 0),
        (0, 0, 2, 0),
    ]
    items = [(row.day, row.slot, row.product, row.wanted, row.filled, row.running) for row in plan.box_items]
    assert items[:4] == [
        (9, "First", "Kale", 2, 1, 1),
        (9, "Second", "", 2, 0, 0),
        (16, "First", "Kale", 2, 1, 2),
        (16, "Second", "Cress", 2, 1, 1),
    ]


@pytest.mark.parametrize(
    ("table", "where", "new", "message"),
    [
        ("boxes", {"day": 9}, {"value": 700}, "boxes | 2026-03-11: Box: value is 7.00, the rows give 3.00"),
        (
            "boxes",
            {"day": 9},
            {"state": "full"},
            "boxes | 2026-03-11: Box: state is full, the rows give short",
        ),
        (
            "box_items",
            {"day": 9},
            {"running": 4},
            "box_items | 2026-03-11: Box, First, Kale: running is 4, the rows give 1",
        ),
    ],
)
def test_a_number_that_the_fills_do_not_give_is_told(table, where, new, message):
    farm = box()
    plan = edit(boxed(farm, *weekly("Kale", 9)), table, where, **new)
    assert [str(fault) for fault in audit(farm, plan)] == [f"bookkeeping | {message}"]


def test_packaging_is_ordered_for_the_products_in_boxes():
    bag = Supply(item="Bag", kind="packaging", products=("Kale",), pack_size=5, lead_days=2)
    farm = replace(box(), supplies=(bag,))
    plan = boxed(farm, *weekly("Kale", 9), *weekly("Lettuce", 16))
    plan = replace(plan, supplies=tuple(supply_rows(farm, plan)))
    assert [(row.item, row.arrive_by, row.needed, row.packs) for row in plan.supplies] == [("Bag", 9, 1, 1)]
    assert [str(fault) for fault in audit(farm, plan)] == []
    none = [str(fault) for fault in audit(farm, replace(plan, supplies=()))]
    assert len(none) == 1
    assert none[0].startswith("bookkeeping | Bag | 2026-03-11: ")


def test_an_empty_place_says_what_the_rules_of_the_share_keep_out():
    free = box(share(most_running=2))
    told = {row.demand: row.reason for row in demand_rows(free, boxed(free, *weekly("Kale", 9)))}
    assert told["Box First 23"].startswith("no place was full")
    tight = box(share(most_running=1, wishes=(wish("Lettuce", "never"),), most_value=250))
    told = {row.demand: row.reason for row in demand_rows(tight, boxed(tight, *weekly("Cress", 9, 23)))}
    assert told["Box First 16"] == (
        "the rules of the share leave nothing: Kale would make the box worth too much (most_value); "
        "Cress would come in 2 of 2 boxes (most_running 1)"
    )
    limit = wish("Cress", "at most", times=1, among=2)
    own = box(share(wishes=(wish("Lettuce", "never"), wish("Kale", "never"), limit)))
    told = {row.demand: row.reason for row in demand_rows(own, boxed(own, *weekly("Cress", 9, 23)))}
    assert told["Box First 16"].endswith(": Cress would come in 2 of 2 boxes (at most 1 in box_wishes)")
    twice = box(share(*TWO, wishes=(wish("Lettuce", "never"), wish("Cress", "never"))))
    told = {row.demand: row.reason for row in demand_rows(twice, boxed(twice, *weekly("Kale", 9)))}
    assert told["Box Second 9"] == "the rules of the share leave nothing: Kale is in the box already"


def test_a_row_that_is_missing_or_too_much_is_told():
    farm = box()
    plan = boxed(farm, *weekly("Kale", 9))
    faults = [str(fault) for fault in audit(farm, replace(plan, boxes=plan.boxes[1:]))]
    assert faults == ["bookkeeping | boxes | 2026-03-11: the row of Box is missing"]
    none = replace(farm, boxes=replace(farm.boxes, boxes=(), places={}, shares={}))
    stray = [str(fault) for fault in audit(none, plan) if fault.where == "boxes"]
    assert stray[0] == "bookkeeping | boxes | 2026-03-11: there is nothing of Box that day"


@pytest.mark.parametrize(("counts_from", "kinds", "short"), [(0, 2, 0), (50, 2, 0), (51, 0, 2)])
def test_what_is_too_little_to_count_is_no_kind(counts_from, kinds, short):
    farm = box(share(slot(most_products=2, counts_from=counts_from), least_kinds=2, kinds_boxes=1))
    plan = boxed(farm, ("Box First 9", "Kale"), ("Box First 9", "Cress"))
    row = plan.boxes[0]
    assert (row.products, row.kinds, row.kinds_short) == (2, kinds, short)
    assert audit(farm, plan) == []
