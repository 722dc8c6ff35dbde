"""What counts as a shortage that the exit code tells of."""

import pytest
from farms import delivery, make_crop, make_farm
from plan.layout.amounts import NOTHING, laid
from samples import demand, small_plan

from scheduler.farm.calendar import Work
from scheduler.plan.shortage import fillable, is_short, is_short_in_reach


def test_a_firm_delivery_that_is_short_is_a_shortage_among_others_that_are_filled():
    rows = (demand("a", 20), demand("b", 21, state="short", filled=3))
    assert is_short(small_plan(demands=rows))


@pytest.mark.parametrize(
    "change",
    [
        {"state": "filled"},
        {"state": "too early"},
        {"state": "out of reach"},
        {"firm": False},
        {"target": True},
        {"reported": False},
    ],
)
def test_what_is_filled_cannot_be_reached_is_not_firm_or_not_reported_is_none(change):
    assert not is_short(small_plan(demands=(demand("a", 20, **{"state": "short", **change}),)))


@pytest.mark.parametrize(("days", "could", "short"), [((43,), [], False), ((42, 43), [42], True)])
def test_what_no_batch_can_be_cut_fresh_for_is_no_shortage_that_the_exit_code_tells(days, could, short):
    # sown on Mondays and cut 34 days later to the day: on days 34, 41 and 48, good for one day more
    stages = {"tray": (10, 0, 10_000), "board": (10, 0, 10_000), "raft": (14, 0, 10_000)}
    farm = make_farm(
        crops=[make_crop("Lettuce", **stages)],
        demands=[delivery("Lettuce", day, 5) for day in days],
        work_days={Work.SOW: {0}},
    )
    plan = laid(farm, more=NOTHING)
    assert is_short(plan)
    assert [row.day for row in fillable(farm, plan)] == could
    assert is_short_in_reach(farm, plan) is short
