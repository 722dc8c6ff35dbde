"""Trays on the shelves never exceed the slots of the tiers, on any day."""

import pytest
from farms import EVER, delivery, growing, make_farm
from solving import allows, quick_crop, rows

from scheduler.farm.crops import StageKind
from scheduler.model.rules.space import tier_slots
from scheduler.model.rules.units import whole_units


def farm(**needs):
    demands = [delivery("Lettuce", day, 400, max_age=1) for day in range(8, 22, 2)]
    return make_farm(**({"days": 24, "crops": [quick_crop()], "demands": demands} | needs))


def allowed_on(made, **sown_to_rows):
    """Say whether rows sown on some days and moved on others are allowed: ``s1_d5=40``."""

    def amounts(chosen):
        found = []
        for key, number in sown_to_rows.items():
            sown, day = (int(part[1:]) for part in key.split("_"))
            found.append((rows(chosen, sown=sown, day=day, growing=-1), number))
        return found

    return allows(made, tier_slots, amounts, support=[whole_units])


@pytest.mark.parametrize(("number", "allowed"), [(40, True), (41, False)])
def test_8_slots_take_8_trays_of_5_rows(number, allowed):
    assert allowed is allowed_on(farm(), s1_d5=number)


@pytest.mark.parametrize(("number", "allowed"), [(20, True), (21, False)])
def test_trays_of_different_days_stand_side_by_side(number, allowed):
    assert allowed is allowed_on(farm(), s1_d5=20, s3_d7=number)


@pytest.mark.parametrize(("key", "allowed"), [("s4_d8", False), ("s5_d9", True)])
def test_a_slot_is_free_again_on_the_day_its_tray_leaves(key, allowed):
    assert allowed is allowed_on(farm(), s1_d5=40, **{key: 40})


@pytest.mark.parametrize(("number", "allowed"), [(75, True), (76, False)])
def test_all_tiers_of_one_pace_are_one_store_of_slots(number, allowed):
    assert allowed is allowed_on(farm(tiers=3, tier_slots=5), s1_d5=number)


@pytest.mark.parametrize(
    ("steps", "number", "allowed"),
    [
        (((EVER, 8), (3, 6)), 30, True),
        (((EVER, 8), (3, 6)), 31, False),
        (((EVER, 8), (5, 6)), 40, True),
        (((EVER, 8), (1, 6)), 31, False),
        (((EVER, 6), (2, 8)), 31, False),
        (((EVER, 6), (1, 8)), 40, True),
    ],
)
def test_slots_that_open_and_close_count_day_by_day(steps, number, allowed):
    assert allowed is allowed_on(farm(tier_slots=steps), s1_d5=number)


@pytest.mark.parametrize(("number", "allowed"), [(30, True), (31, False)])
def test_trays_that_grow_already_keep_their_slots_until_they_are_moved(number, allowed):
    made = farm(growing=[growing("Lettuce", StageKind.TRAY, -2, 36, 2)])

    def amounts(chosen):
        return [(rows(chosen, growing=0, day=2), 36), (rows(chosen, sown=1, day=5, growing=-1), number)]

    assert allowed is allows(made, tier_slots, amounts, support=[whole_units])
