"""Products: a delivery gets what it asks for, or what the book lets stand in for it."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm, make_mix
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


SALAD = make_mix("Salad", 100, ("Lettuce", 40, 50, 60, 50), ("Kale", 40, 50, 60, 25))
MIXED_FARM = make_farm(
    crops=[make_crop("Lettuce"), make_crop("Kale")], mixes=[SALAD], demands=[delivery("Salad", 34, 4)]
)


def salads(lettuce, kale, filled):
    """A plan in which so many heads go into the bags, and so many bags are said to be filled."""
    fills = [("Salad 34", "LET-260302", 34, lettuce), ("Salad 34", KALE, 34, kale)]
    batches = (Batch(), Batch(crop="Kale", rafts=(6, 6)))
    plan = build(MIXED_FARM, *batches, fills=[fill for fill in fills if fill[3]])
    state = "filled" if filled == 4 else "short"
    return edit(plan, "demands", {"demand": "Salad 34"}, filled=filled, state=state)


def test_bags_that_hold_all_their_parts_are_sound():
    assert faults_of(salads(4, 8, 4), MIXED_FARM) == []
    assert faults_of(salads(4, 7, 3), MIXED_FARM) == []


def test_a_bag_that_lacks_a_part_is_told():
    told_of = faults_of(salads(5, 6, 4), MIXED_FARM)
    assert told_of[0] == (
        "products | Salad 34 | 2026-04-05: 4 units of Salad need 160 g of Kale, its heads weigh 150 g"
    )


def test_bags_too_light_for_their_shares_are_told():
    told_of = faults_of(salads(4, 7, 4), MIXED_FARM)
    assert told_of[0] == (
        "products | Salad 34 | 2026-04-05: 4 units of Salad weigh 400 g, its heads come to 375 g within "
        "their shares"
    )
    assert "said to be filled, its heads make 3" in told_of[1]


EXACT = {"rules": 2}
BUNCHES = make_farm(
    products={"Bunch": {"Lettuce": 2000}}, demands=[delivery("Bunch", 34, 3), delivery("Lettuce", 34, 2)]
)


def given(*heads, made=EXACT):
    """Bunches of two heads, three ordered, and two heads: a plan that gives so many heads to each."""
    fills = [
        (name, "LET-260302", 34, heads)
        for name, heads in zip(("Bunch 34", "Lettuce 34"), heads, strict=False)
    ]
    return replace(build(BUNCHES, Batch(), fills=fills), made=made)


@pytest.mark.parametrize("heads", [(6, 2), (4, 1), (2,)])
def test_heads_that_all_make_units_are_no_fault_nor_is_a_delivery_that_gets_less(heads):
    assert faults_of(given(*heads), BUNCHES) == []


@pytest.mark.parametrize(
    ("heads", "message"),
    [
        ((7, 2), "products | Bunch 34 | 2026-04-05: 7 heads of Lettuce are more than 3 units of Bunch take"),
        ((5, 2), "products | Bunch 34 | 2026-04-05: 5 heads of Lettuce are more than 2 units of Bunch take"),
        ((1, 2), "products | Bunch 34 | 2026-04-05: 1 heads of Lettuce are more than 0 units of Bunch take"),
        ((6, 3), "products | Lettuce 34 | 2026-04-05: 3 heads of Lettuce are more than 2 units of Lettuce "
         "take"),
    ],
)  # fmt: skip
def test_a_head_that_makes_no_unit_is_told(heads, message):
    assert faults_of(given(*heads), BUNCHES) == [message]


@pytest.mark.parametrize("made", [{}, {"rules": 1}])
def test_a_plan_made_before_that_rule_is_not_held_to_it(made):
    assert faults_of(given(7, 3, made=made), BUNCHES) == []


def test_a_head_of_a_mix_that_is_not_needed_is_told():
    """Two bags of 100 g take 100 g each of Lettuce and Kale, two heads of 50 g."""
    mix = make_mix("Salad", 100, ("Lettuce", 40, 50, 60, 50), ("Kale", 40, 50, 60, 50))
    farm = make_farm(
        crops=[make_crop("Lettuce"), make_crop("Kale")], mixes=[mix], demands=[delivery("Salad", 34, 2)]
    )
    batches = Batch(), Batch(crop="Kale", lane="Trough 1", rafts=(6,), boards=(6,))

    def mixed(kale):
        fills = [("Salad 34", "LET-260302", 34, 2), ("Salad 34", KALE, 34, kale)]
        return replace(build(farm, *batches, fills=fills), made=EXACT)

    assert faults_of(mixed(2), farm) == []
    assert faults_of(mixed(3), farm)[-1].startswith(
        "products | Salad 34 | 2026-04-05: 3 heads of Kale are more"
    )
