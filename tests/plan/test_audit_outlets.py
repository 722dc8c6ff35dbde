"""Outlets: sales on the right days, fresh, once, and no more than is taken; every broken plan is told."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm, market
from plans import Batch, build, edit, settle

from scheduler.plan.audit import audit
from scheduler.plan.sale_rows import OutletRow, SaleRow

LOT = "LET-260302"
WEEK = market("Lettuce", [34, 36], (5, 300), (4, 200), age=2)
FARM = make_farm(demands=[delivery("Lettuce", 34, 3)], outlets=[WEEK])
SOLD = SaleRow(outlet="Market", product="Lettuce", day=34, crop="Lettuce", lot=LOT, cut_day=34, heads=6)
LATER = replace(SOLD, day=36, heads=3)


def plan_of(*sales, farm=FARM):
    plan = build(farm, Batch(), fills=[("Lettuce 34", LOT, 34, 3)])
    return settle(farm, replace(plan, sales=sales))


def faults_of(plan, farm=FARM):
    return [str(fault) for fault in audit(farm, plan)]


def test_sales_within_what_is_taken_are_sound_and_the_best_prices_come_first():
    plan = plan_of(SOLD, LATER)
    assert faults_of(plan) == []
    assert plan.outlets == (
        OutletRow(outlet="Market", product="Lettuce", day=34, units=6, takings=1700, reported=True),
        OutletRow(outlet="Market", product="Lettuce", day=36, units=3, takings=600, reported=True),
    )


def test_one_more_than_a_week_takes_is_told():
    smaller = replace(FARM, outlets=(replace(WEEK, steps=WEEK.steps[:1]),))
    sales = (replace(SOLD, heads=4), replace(LATER, heads=2))
    assert faults_of(plan_of(*sales, farm=smaller), smaller) == [
        "outlets | Market | 2026-04-05: 6 of Lettuce are sold in the week, it takes 5"
    ]


def test_heads_sold_that_a_delivery_has_already_are_told():
    assert "whole units | LET-260302 | 2026-04-05: 13 heads delivered, 12 cut that day" in faults_of(
        plan_of(replace(SOLD, heads=7), LATER)
    )


NOT_SOLD = "sells no Lettuce that day, but 6 heads of LET-260302 are sold"
TOO_OLD = "6 heads of LET-260302, cut 2026-04-02, are 3 days old; 2 may be"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"day": 35}, f"outlets | Market | 2026-04-06: {NOT_SOLD}"),
        ({"outlet": "Stall"}, f"outlets | Stall | 2026-04-05: {NOT_SOLD}"),
        ({"cut_day": 35}, "fresh | Market | 2026-04-05: 6 heads of LET-260302 are cut only on 2026-04-06"),
        ({"cut_day": 31}, f"fresh | Market | 2026-04-05: {TOO_OLD}"),
        ({"lot": "NONE"}, "bookkeeping | sales | 2026-04-05: there is no lot NONE"),
        ({"heads": 0}, "bookkeeping | Market | 2026-04-05: 0 heads of LET-260302"),
    ],
)  # fmt: skip
def test_a_sale_that_breaks_a_rule_is_told(change, told):
    assert told in faults_of(plan_of(replace(SOLD, **change)))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"units": 5}, "5 of Lettuce said to be sold for 17.00, the rows give 6 for 17.00"),
        ({"takings": 1800}, "6 of Lettuce said to be sold for 18.00, the rows give 6 for 17.00"),
        ({"reported": False}, "reported is False"),
    ],
)
def test_a_day_summed_up_wrongly_is_told(change, told):
    changed = edit(plan_of(SOLD), "outlets", {"day": 34}, **change)
    assert faults_of(changed) == [f"bookkeeping | Market | 2026-04-05: {told}"]


def test_a_day_that_is_missing_or_too_many_is_told():
    plan = plan_of(SOLD)
    assert faults_of(replace(plan, outlets=())) == [
        "bookkeeping | Market | 2026-04-05: the row of Lettuce is missing"
    ]
    extra = replace(plan.outlets[0], day=36)
    assert faults_of(replace(plan, outlets=(*plan.outlets, extra))) == [
        "bookkeeping | Market | 2026-04-07: no Lettuce is sold that day"
    ]


def test_heads_sold_that_make_no_bunch_are_told():
    farm = replace(
        make_farm(products={"Bunch": {"Lettuce": 2000}}), outlets=(market("Bunch", [34], (5, 300), age=2),)
    )

    def sold(heads, made):
        sale = replace(SOLD, product="Bunch", heads=heads)
        return replace(settle(farm, replace(build(farm, Batch()), sales=(sale,))), made=made)

    assert faults_of(sold(4, {"rules": 2}), farm) == []
    assert faults_of(sold(5, {}), farm) == []
    assert faults_of(sold(5, {"rules": 2}), farm) == [
        "outlets | Market | 2026-04-05: 5 heads of Lettuce are more than 2 units of Bunch take"
    ]
