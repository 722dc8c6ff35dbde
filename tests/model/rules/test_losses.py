"""Plants that go on are what losses leave, rounded down, stage by stage."""

import pytest
from farms import delivery, growing, make_farm
from solving import allows, boarded, quick_crop, rows, set_out

from scheduler.farm.crops import StageKind
from scheduler.model.rules.losses import losses


def farm(demand_day=9, **needs):
    crop = quick_crop(**needs.pop("crop", {}))
    return make_farm(days=20, crops=[crop], demands=[delivery("Lettuce", demand_day, 200)], **needs)


@pytest.mark.parametrize(
    ("sown", "plants", "allowed"), [(1, 3, True), (1, 4, False), (10, 36, True), (10, 37, False)]
)
def test_plants_set_out_are_at_most_the_share_of_the_cells_rounded_down(sown, plants, allowed):
    # 4 cells a row at 90 percent: 3.6 of one row, 36 of ten.
    made = farm(crop={"tray": (3, 1, 9000)})
    assert allowed is allows(
        made, losses, lambda c: [(rows(c, sown=1, day=4), sown), (out_of(c, 1, 4), plants)]
    )


def out_of(chosen, sown, day):
    found = [option for option in chosen.raft_plants if option.source.sown == sown and option.day == day]
    assert len(found) == 1
    return chosen.raft_plants[found[0]]


@pytest.mark.parametrize(("plants", "allowed"), [(11, True), (12, False)])
def test_plants_set_out_from_boards_are_at_most_the_share_of_those_on_them(plants, allowed):
    # 12 plants at 95 percent: 11.4.
    made = farm(demand_day=11, crop={"board": (3, 0, 9500), "tray": (3, 0, 10_000)})
    assert allowed is allows(made, losses, lambda c: [(boarded(c, 1, 4, 7), 12), (set_out(c, 7), plants)])


@pytest.mark.parametrize(("moved", "allowed"), [(10, True), (11, False)])
def test_seedlings_that_grow_already_lose_nothing_more_and_are_never_more_than_there_are(moved, allowed):
    made = farm(
        crop={"tray": (3, 1, 5000)}, growing=[growing("Lettuce", StageKind.TRAY, 0, 10, 1)], demand_day=8
    )
    split = {3: 6, 4: moved - 6}
    assert allowed is allows(
        made, losses, lambda c: [(rows(c, growing=0, day=day), plants) for day, plants in split.items()]
    )
    assert not allows(
        made, losses, lambda c: [(rows(c, growing=0, day=4), 10), (set_out(c, 4, growing=0), 11)]
    )


@pytest.mark.parametrize(("moved", "allowed"), [(10, True), (11, False)])
def test_board_plants_that_grow_already_are_never_more_than_there_are(moved, allowed):
    made = farm(
        crop={"board": (3, 1, 10_000)}, growing=[growing("Lettuce", StageKind.BOARD, 0, 10, 1)], demand_day=8
    )
    split = {3: 6, 4: moved - 6}
    assert allowed is allows(
        made, losses, lambda c: [(boarded(c, None, 0, day), plants) for day, plants in split.items()]
    )


@pytest.mark.parametrize(("plants", "allowed"), [(11, False), (12, True)])
def test_rafts_that_grow_already_hold_all_their_plants(plants, allowed):
    made = farm(growing=[growing("Lettuce", StageKind.RAFT, 0, 12, 2)], demand_day=4)
    assert allowed is allows(made, losses, lambda c: [(set_out(c, 0), plants)])


@pytest.mark.parametrize(("lot", "allowed"), [(1, True), (0, False)])
def test_a_lot_counts_as_soon_as_one_row_is_sown(lot, allowed):
    made = farm()
    assert allowed is allows(
        made, losses, lambda c: [(rows(c, sown=1, day=4), 1), (c.lots["Lettuce", 1], lot)]
    )
