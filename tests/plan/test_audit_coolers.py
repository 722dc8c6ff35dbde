"""The audit counts crates in coolers by itself."""

from dataclasses import replace

import pytest
from boxed import box_farm, share
from farms import delivery, make_farm
from solving import quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.coolers import Cooler, Crating
from scheduler.plan.audit import audit
from scheduler.plan.cooling import cooler_rows

COLD = Crating(heads=10, coldest=0, warmest=2_00)


@pytest.fixture(scope="module")
def early():
    """A farm and a plan in which 24 heads are cut on day 10 for day 12, since nothing is cut later."""
    made = make_farm(
        days=16, crops=[quick_crop()], demands=[delivery("Lettuce", 12, 24, max_age=2)],
        closed={Work.HARVEST: [11, 12]},
    )  # fmt: skip
    made = replace(made, crops={"Lettuce": replace(made.crops["Lettuce"], crating=COLD)})
    plan = solved(made)
    assert [row.filled for row in plan.demands] == [24]
    return made, plan


def faults(early, *rooms):
    made, plan = early
    return [str(fault) for fault in audit(replace(made, coolers=rooms), plan) if fault.rule == "coolers"]


def room(crates, temperature=1_00, name="Cold room"):
    return Cooler(name=name, crates=crates, temperature=temperature)


def test_three_crates_fit_three_places_and_not_two(early):
    assert faults(early, room(3)) == []
    assert faults(early, room(2)) == ["coolers | Cold room | 2026-03-12: 3 crates, room for 2 for 2 days"]


def test_rooms_of_one_temperature_count_together_and_warmer_ones_not_at_all(early):
    assert faults(early, room(2), room(1, name="Back room")) == []
    told = "coolers | Cold room; Back room | 2026-03-12: 3 crates, room for 2 for 2 days"
    assert faults(early, room(1), room(9, 10_00, "Pantry"), room(1, name="Back room")) == [told]


def test_heads_that_no_cooler_suits_are_told_by_the_day(early):
    assert faults(early, room(9, 10_00)) == [
        "coolers | Lettuce | 2026-03-12: 24 heads of Lettuce wait for their delivery, and no cooler suits it",
        "coolers | Lettuce | 2026-03-13: 24 heads of Lettuce wait for their delivery, and no cooler suits it",
    ]


def test_without_coolers_there_is_nothing_to_say(early):
    assert faults(early) == []


def test_heads_that_wait_for_boxes_fill_crates_too():
    made = box_farm(
        share(max_age=2),
        on=(12,),
        boxes=(21, 0),
        categories={"Greens": {"Lettuce": 200}},
        crops=[quick_crop(crating=COLD)],
        coolers=[room(3)],
        closed={Work.HARVEST: [11, 12]},
        days=16,
    )
    plan = solved(made)
    assert [(row.day, row.heads, row.crates) for row in cooler_rows(made, plan)] == [(10, 21, 3), (11, 21, 3)]
    assert faults((made, plan), room(3)) == []
    told = "coolers | Cold room | 2026-03-12: 3 crates, room for 2 for 2 days"
    assert faults((made, plan), room(2)) == [told]
