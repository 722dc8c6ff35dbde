"""Products: a delivery gets what it asks for, or what the book lets stand in for it."""

import pytest
from farms import delivery, make_crop, make_farm
from plans import Batch, build, edit, told

from scheduler.farm.farm import Substitute
from scheduler.plan.audit import audit
from scheduler.plan.tally import units_given

KALE = "KAL-260302"
FARM = make_farm(
    crops=[make_crop("Lettuce"), make_crop("Kale"), make_crop("Chard")],
    demands=[
        delivery("Lettuce", 34, 10, substitutes=(Substitute(product="Kale", rank=1, price=80),), price=100)
    ],
)
PLAN = build(
    FARM, Batch(), Batch(crop="Kale", lane="Trough 1", rafts=(6,), boards=(6,)),
    fills=[("Lettuce 34", "LET-260302", 34, 4), ("Lettuce 34", KALE, 34, 5, "Kale")],
)  # fmt: skip


def faults_of(plan, farm=FARM):
    return [str(fault) for fault in audit(farm, plan)]


def test_a_substitute_the_book_allows_counts_as_filled():
    assert faults_of(PLAN) == []
    assert units_given(FARM, PLAN) == {"Lettuce 34": {"Lettuce": 4, "Kale": 5}}
    (row,) = PLAN.demands
    assert (row.filled, row.substituted, row.state) == (9, 5, "short")


def test_what_stands_in_without_the_book_allowing_it_is_told():
    changed = edit(PLAN, "fills", {"lot": KALE}, substitute="Chard")
    assert told(FARM, changed) == [
        "products | Lettuce 34 | 2026-04-05: Chard stands in for Lettuce, which the book does not allow"
    ]


def test_a_crop_that_the_substitute_is_not_made_of_is_told():
    changed = edit(PLAN, "fills", {"lot": "LET-260302"}, substitute="Kale")
    assert told(FARM, changed) == [
        "products | Lettuce 34 | 2026-04-05: 4 heads of Lettuce, which Kale is not made of"
    ]


def test_a_substitute_that_is_not_said_to_be_one_is_told():
    changed = edit(PLAN, "fills", {"lot": KALE}, substitute="")
    assert told(FARM, changed) == [
        "products | Lettuce 34 | 2026-04-05: 5 heads of Kale, which Lettuce is not made of"
    ]


@pytest.mark.parametrize("number", [4, 6])
def test_another_number_of_substitutes_than_the_heads_make_is_told(number):
    changed = edit(PLAN, "demands", {"demand": "Lettuce 34"}, substituted=number)
    assert faults_of(changed) == [
        f"bookkeeping | Lettuce 34 | 2026-04-05: {number} units said to be of substitutes, they are 5"
    ]


def test_more_substitutes_than_are_missing_do_not_count():
    changed = edit(PLAN, "fills", {"lot": "LET-260302"}, heads=8)
    assert units_given(FARM, changed) == {"Lettuce 34": {"Lettuce": 8, "Kale": 2}}
