"""A row is first in, first out, unless rafts may be lifted out of it."""

import pytest
from farms import delivery, growing, make_farm
from solving import allows, queue, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.lane_order import lane_order


def farm(**needs):
    demands = [delivery(name, day, 60, max_age=1) for name in ("Lettuce", "Kale") for day in range(8, 26, 2)]
    crops = [quick_crop(), quick_crop("Kale", raft=(9, 2, 10_000))]
    return make_farm(**({"days": 28, "crops": crops, "demands": demands} | needs))


def allowed_on(made, *stays):
    """Say whether stays (crop, enters, leaves) in the first row are allowed together."""
    return allows(
        made,
        lane_order,
        lambda c: [(queue(c, a, b, crop=crop, bundle="Trough 1"), 1) for crop, a, b in stays],
    )


@pytest.mark.parametrize(("leaves", "allowed"), [(13, False), (14, True), (15, True)])
def test_a_raft_leaves_no_earlier_than_one_that_entered_before_it(leaves, allowed):
    # Kale of day 4 stays until day 14; lettuce of day 8 could leave from day 12 on.
    assert allowed is allowed_on(farm(), ("Kale", 4, 14), ("Lettuce", 8, leaves))


@pytest.mark.parametrize(("leaves", "allowed"), [(17, False), (18, True)])
def test_a_raft_waits_for_all_before_it_and_not_only_for_the_last(leaves, allowed):
    stays = [("Kale", 7, 18), ("Lettuce", 8, 18), ("Lettuce", 11, leaves)]
    assert allowed is allowed_on(farm(), *stays)
    assert not allowed_on(farm(), ("Kale", 7, 18), ("Lettuce", 11, 17))


def test_rafts_that_enter_on_one_day_may_leave_in_any_order():
    assert allowed_on(farm(), ("Kale", 5, 14), ("Lettuce", 5, 9))


def test_rafts_of_one_entry_may_leave_one_after_another_and_the_next_entry_after_the_last():
    assert allowed_on(farm(), ("Lettuce", 5, 9), ("Lettuce", 5, 11), ("Lettuce", 6, 11))
    assert not allowed_on(farm(), ("Lettuce", 5, 9), ("Lettuce", 5, 11), ("Lettuce", 6, 10))


def test_rows_do_not_wait_for_one_another():
    assert allows(
        farm(lanes=2),
        lane_order,
        lambda c: [
            (queue(c, 4, 14, crop="Kale", bundle="Trough 1"), 1),
            (queue(c, 8, 12, crop="Lettuce", bundle="Trough 2"), 1),
        ],
    )


def test_rafts_that_may_be_lifted_out_leave_in_any_order():
    made = farm(rules={"lift_out": True})
    assert allowed_on(made, ("Kale", 4, 14), ("Lettuce", 8, 12))


GROWING = [
    growing("Kale", StageKind.RAFT, -1, 6, 1, lot="K", order=1),
    growing("Lettuce", StageKind.RAFT, -1, 6, 1, lot="L", order=2),
]


@pytest.mark.parametrize(("leaves", "allowed"), [(7, False), (8, True)])
def test_rafts_that_grow_already_keep_the_order_they_stand_in(leaves, allowed):
    assert allowed is allows(
        farm(growing=GROWING),
        lane_order,
        lambda c: [(queue(c, -1, 8, crop="Kale"), 1), (growing_queue(c, 1)[leaves], 1)],
    )


def growing_queue(chosen, index):
    return next(days for queue, days in chosen.queues.items() if queue.raft_class.growing == index)


@pytest.mark.parametrize(("leaves", "allowed"), [(7, False), (8, True)])
def test_new_rafts_wait_behind_those_that_grow_already(leaves, allowed):
    rows = [growing("Kale", StageKind.RAFT, -1, 6, 1)]
    made = farm(
        growing=rows, crops=[quick_crop(raft=(3, 2, 10_000)), quick_crop("Kale", raft=(9, 2, 10_000))]
    )
    assert allowed is allows(
        made,
        lane_order,
        lambda c: [(queue(c, -1, 8, crop="Kale"), 1), (queue(c, 4, leaves, crop="Lettuce"), 1)],
    )
