"""What counts as a shortage that the exit code tells of."""

import pytest
from samples import demand, small_plan

from scheduler.plan.shortage import is_short


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
