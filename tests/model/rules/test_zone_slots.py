"""Boards never exceed the slots of the board zones, on any day."""

import pytest
from farms import EVER, delivery, growing, make_farm
from solving import allows, boarded, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.space import zone_slots
from scheduler.model.rules.units import whole_units


def farm(**needs):
    demands = [delivery("Lettuce", day, 400, max_age=1) for day in range(8, 24, 2)]
    crop = quick_crop(board=(3, 1, 10_000))
    return make_farm(**({"days": 26, "crops": [crop], "demands": demands} | needs))


def allowed_on(made, *moves, more=lambda chosen: []):
    """Say whether plants are allowed on boards: moves are (sown, board day, raft day, plants)."""
    return allows(
        made,
        zone_slots,
        lambda c: [
            *((boarded(c, sown, board_day, day, growing=-1), n) for sown, board_day, day, n in moves),
            *more(c),
        ],
        support=[whole_units],
    )


@pytest.mark.parametrize(("plants", "allowed"), [(96, True), (97, False)])
def test_8_slots_take_8_boards_of_12_plants(plants, allowed):
    assert allowed is allowed_on(farm(), (1, 4, 8, plants))


@pytest.mark.parametrize(("plants", "allowed"), [(48, True), (49, False)])
def test_boards_of_two_lots_stand_side_by_side(plants, allowed):
    assert allowed is allowed_on(farm(), (1, 4, 8, 48), (4, 7, 10, plants))


@pytest.mark.parametrize(("sown", "allowed"), [(4, False), (5, True)])
def test_a_slot_is_free_again_on_the_day_its_board_leaves(sown, allowed):
    assert allowed is allowed_on(farm(), (1, 4, 8, 96), (sown, sown + 3, sown + 6, 96))


@pytest.mark.parametrize(("parts", "allowed"), [((48, 48), True), ((47, 49), False)])
def test_a_board_keeps_its_slot_until_its_last_plants_leave(parts, allowed):
    # 4 boards of the lot go on day 7; with 47 plants gone a fifth one still stands behind.
    first, second = parts
    assert allowed is allowed_on(farm(), (1, 4, 7, first), (1, 4, 8, second), (4, 7, 10, 48))


@pytest.mark.parametrize(
    ("steps", "plants", "allowed"),
    [
        (((EVER, 8), (8, 2)), 96, True),
        (((EVER, 8), (7, 2)), 25, False),
        (((EVER, 8), (7, 2)), 24, True),
        (((EVER, 0), (5, 8)), 1, False),
        (((EVER, 0), (4, 8)), 96, True),
    ],
)
def test_a_zone_counts_only_while_it_is_there(steps, plants, allowed):
    assert allowed is allowed_on(farm(zone_slots=steps), (1, 4, 8, plants))


@pytest.mark.parametrize(("plants", "allowed"), [(72, True), (73, False)])
def test_boards_that_grow_already_keep_their_slots(plants, allowed):
    made = farm(growing=[growing("Lettuce", StageKind.BOARD, 0, 20, 2)])
    assert allowed is allowed_on(made, (0, 3, 7, plants), more=lambda c: [(boarded(c, None, 0, 4), 20)])
