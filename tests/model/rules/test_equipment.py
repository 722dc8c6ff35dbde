"""Trays, boards, rafts and domes in use or being washed never exceed those owned, on any day."""

import pytest
from farms import delivery, growing, make_farm
from solving import allows, boarded, queue, quick_crop, rows

from scheduler.farm.crops import StageKind
from scheduler.model.rules.equipment import equipment
from scheduler.model.rules.units import whole_units

ROOM = {"tier_slots": 100, "zone_slots": 100, "lane_slots": 100}
EARLY = [delivery("Lettuce", day, 400, max_age=1) for day in range(2, 24, 2)]


def farm(**needs):
    crop = quick_crop(**needs.pop("crop", {}))
    demands = [delivery("Lettuce", day, 400, max_age=1) for day in range(8, 24, 2)]
    return make_farm(**(ROOM | {"days": 26, "crops": [crop], "demands": demands} | needs))


def sown_allowed(made, *sowings):
    return allows(
        made,
        equipment,
        lambda c: [(rows(c, sown=sown, day=day, growing=-1), number) for sown, day, number in sowings],
        support=[whole_units],
    )


@pytest.mark.parametrize(("number", "allowed"), [(15, True), (16, False)])
def test_trays_sown_at_once_are_at_most_those_owned(number, allowed):
    assert allowed is sown_allowed(farm(trays=3), (1, 5, number))


@pytest.mark.parametrize(
    ("wash", "sown", "allowed"), [(0, 5, True), (0, 4, False), (2, 7, True), (2, 6, False)]
)
def test_a_tray_is_used_again_when_it_is_empty_and_washed(wash, sown, allowed):
    made = farm(trays=3, wash_days=wash)
    assert allowed is sown_allowed(made, (1, 5, 15), (sown, sown + 4, 1))


@pytest.mark.parametrize(("number", "allowed"), [(5, True), (6, False)])
def test_trays_of_a_lot_that_are_emptied_early_are_washed_while_the_rest_grow(number, allowed):
    # Three trays of the lot of day 1: two are emptied on day 4, washed through day 5; one on day 5.
    made = farm(trays=4, wash_days=2)
    assert allowed is sown_allowed(made, (1, 4, 10), (1, 5, 5), (4, 8, number))


@pytest.mark.parametrize("day", [0, 1])
@pytest.mark.parametrize(("number", "allowed"), [(5, True), (6, False)])
def test_trays_emptied_on_the_day_they_come_are_washed_like_all(day, number, allowed):
    # Plugs: two trays go onto rafts at once and are washed, the others wait a day.
    made = farm(trays=3, wash_days=2, crop={"tray": (0, 3, 10_000)}, demands=EARLY)
    assert allowed is sown_allowed(made, (day, day, 10), (day, day + 1, number))


@pytest.mark.parametrize(("sown", "allowed"), [(1, False), (2, True)])
def test_growing_trays_emptied_on_the_first_day_are_washed_before_they_are_used_again(sown, allowed):
    found = growing("Lettuce", StageKind.TRAY, since=-4, plants=60, units=3)
    made = farm(trays=3, wash_days=2, growing=[found], demands=EARLY)
    assert allowed is allows(
        made,
        equipment,
        lambda c: [(rows(c, day=0, growing=0), 60), (rows(c, sown=sown, day=sown + 4, growing=-1), 5)],
        support=[whole_units],
    )


@pytest.mark.parametrize(("plants", "allowed"), [(36, True), (37, False)])
def test_boards_are_at_most_those_owned(plants, allowed):
    made = farm(boards=3, crop={"board": (3, 1, 10_000)})
    assert allowed is allows(
        made, equipment, lambda c: [(boarded(c, 1, 4, 8), plants)], support=[whole_units]
    )


@pytest.mark.parametrize(
    ("wash", "sown", "allowed"), [(0, 5, True), (0, 4, False), (1, 6, True), (1, 5, False)]
)
def test_a_board_is_used_again_when_it_is_empty_and_washed(wash, sown, allowed):
    made = farm(boards=3, wash_days=wash, crop={"board": (3, 1, 10_000)})
    assert allowed is allows(
        made,
        equipment,
        lambda c: [(boarded(c, 1, 4, 8), 36), (boarded(c, sown, sown + 3, sown + 6), 1)],
        support=[whole_units],
    )


@pytest.mark.parametrize(("rafts", "allowed"), [(3, True), (4, False)])
def test_rafts_of_all_rows_are_at_most_those_owned(rafts, allowed):
    made = farm(rafts=5, lanes=2)
    assert allowed is allows(
        made,
        equipment,
        lambda c: [(queue(c, 4, 9, bundle="Trough 1"), 2), (queue(c, 5, 9, bundle="Trough 2"), rafts)],
    )


@pytest.mark.parametrize(
    ("wash", "enters", "allowed"), [(0, 9, True), (0, 8, False), (3, 12, True), (3, 11, False)]
)
def test_a_raft_is_used_again_when_it_has_left_its_slot_and_is_washed(wash, enters, allowed):
    made = farm(rafts=5, wash_days=wash)
    assert allowed is allows(
        made, equipment, lambda c: [(queue(c, 4, 9), 5), (queue(c, enters, enters + 4), 1)]
    )


@pytest.mark.parametrize(("number", "allowed"), [(10, True), (11, False)])
def test_trays_that_grow_already_are_among_those_owned(number, allowed):
    made = farm(trays=3, growing=[growing("Lettuce", StageKind.TRAY, -2, 18, 1)])
    assert allowed is allows(
        made,
        equipment,
        lambda c: [(rows(c, growing=0, day=2), 18), (rows(c, sown=1, day=4, growing=-1), number)],
        support=[whole_units],
    )


@pytest.mark.parametrize(
    ("number", "sown", "allowed"), [(10, 1, True), (11, 1, False), (5, 2, False), (10, 3, True)]
)
def test_trays_under_a_dome_are_at_most_the_domes(number, sown, allowed):
    # Two domes, two days each: those of day 1 are free again on day 3.
    made = farm(domes=2, crop={"handling": {"dome_days": 2}})
    sowings = [(1, 5, number)] if sown == 1 else [(1, 5, 10), (sown, sown + 4, number)]
    assert allowed is sown_allowed(made, *sowings)


@pytest.mark.parametrize(("sown", "allowed"), [(5, True), (4, False)])
def test_a_dome_is_free_again_once_its_tray_is_empty(sown, allowed):
    # Nine days under the dome, of which the tray stands four at most.
    made = farm(domes=1, crop={"handling": {"dome_days": 9}})
    assert allowed is sown_allowed(made, (1, 5, 5), (sown, sown + 4, 5))


def test_a_farm_without_domes_in_its_book_is_not_limited_by_them():
    assert sown_allowed(farm(crop={"handling": {"dome_days": 2}}), (1, 5, 200))


@pytest.mark.parametrize(("sown", "allowed"), [(2, False), (3, True)])
def test_a_dome_taken_off_before_the_first_day_is_washed_first(sown, allowed):
    # Under its dome through day -2, which is washed for four days: free again on day 3.
    made = farm(
        domes=1,
        wash_days=4,
        crop={"handling": {"dome_days": 2}},
        growing=[growing("Lettuce", StageKind.TRAY, -3, 18, 1)],
    )
    kept = lambda c: [(rows(c, growing=0, day=1), 18)]  # noqa: E731
    assert allows(made, equipment, kept, support=[whole_units])
    both = lambda c: [*kept(c), (rows(c, sown=sown, day=sown + 4, growing=-1), 5)]  # noqa: E731
    assert allowed is allows(made, equipment, both, support=[whole_units])


@pytest.mark.parametrize(("sown", "allowed"), [(3, False), (4, True)])
def test_the_dome_of_a_tray_thrown_away_is_washed_first(sown, allowed):
    made = farm(
        domes=1,
        wash_days=4,
        crop={"handling": {"dome_days": 5}},
        growing=[growing("Lettuce", StageKind.TRAY, -3, 18, 1)],
    )
    sowing = lambda c: [(rows(c, growing=0, day=1), 0), (rows(c, sown=sown, day=sown + 4, growing=-1), 5)]  # noqa: E731
    assert allowed is allows(made, equipment, sowing, support=[whole_units])
