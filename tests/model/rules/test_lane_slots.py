"""Rafts in a row never exceed its slots, on any day; one cut empty holds its slot until it leaves."""

import pytest
from farms import EVER, delivery, growing, make_farm
from solving import allows, queue, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.space import lane_slots


def farm(**needs):
    demands = [delivery("Lettuce", day, 100, max_age=1) for day in range(8, 26, 2)]
    return make_farm(**({"days": 28, "crops": [quick_crop()], "demands": demands} | needs))


def allowed_on(made, *stays, bundle="Trough 1"):
    """Say whether rafts are allowed in a row: stays are (enters, leaves, rafts)."""
    return allows(
        made, lane_slots, lambda c: [(queue(c, a, b, bundle=bundle), rafts) for a, b, rafts in stays]
    )


@pytest.mark.parametrize(("rafts", "allowed"), [(3, True), (4, False)])
def test_a_row_of_6_slots_takes_6_rafts(rafts, allowed):
    assert allowed is allowed_on(farm(), (4, 9, 3), (6, 10, rafts))


@pytest.mark.parametrize(("leaves", "allowed"), [(9, True), (10, False)])
def test_a_slot_is_free_on_the_day_the_raft_before_leaves_it(leaves, allowed):
    assert allowed is allowed_on(farm(), (4, leaves, 6), (9, 13, 1))


@pytest.mark.parametrize(
    ("steps", "rafts", "allowed"),
    [
        (((EVER, 6), (9, 2)), 6, True),
        (((EVER, 6), (8, 2)), 3, False),
        (((EVER, 6), (8, 2)), 2, True),
        (((EVER, 0), (5, 6)), 1, False),
        (((EVER, 0), (4, 6)), 6, True),
    ],
)
def test_a_row_counts_only_while_it_is_there(steps, rafts, allowed):
    assert allowed is allowed_on(farm(lane_slots=steps), (4, 9, rafts))


def test_another_row_has_slots_of_its_own():
    made = farm(lanes=2)
    assert allows(
        made,
        lane_slots,
        lambda c: [(queue(c, 4, 9, bundle="Trough 1"), 6), (queue(c, 4, 9, bundle="Trough 2"), 6)],
    )
    assert not allowed_on(made, (4, 9, 6), (5, 9, 1), bundle="Trough 2")


@pytest.mark.parametrize(("rafts", "allowed"), [(4, True), (5, False)])
def test_rafts_that_grow_already_keep_their_slots(rafts, allowed):
    made = farm(
        growing=[growing("Lettuce", StageKind.RAFT, -1, 12, 2)],
        demands=[delivery("Lettuce", 5, 12, max_age=2), delivery("Lettuce", 12, 100, max_age=4)],
    )
    assert allowed is allows(made, lane_slots, lambda c: [(queue(c, -1, 5), 2), (queue(c, 4, 9), rafts)])
