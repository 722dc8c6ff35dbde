"""Trays that are cut on the shelf in the model: each rule to its limit and one beyond."""

import pytest
from farms import delivery, growing, make_crop, make_farm, make_greens
from solving import allows, got, pick, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.places import Keeps
from scheduler.model.rules.cuts import heads
from scheduler.model.rules.equipment import equipment
from scheduler.model.rules.hours import hours
from scheduler.model.rules.losses import losses
from scheduler.model.rules.space import tier_slots
from scheduler.model.rules.units import whole_units


def greens_farm(**needs):
    given = {
        "crops": [make_greens("Cress", days=6, window=1, grams=200, saleable=9_000)],
        "products": {"Cress": {"Cress": 100_000}},
        "demands": [delivery("Cress", 7, 9, max_age=0), delivery("Cress", 6, 9, max_age=0)],
        "days": 12,
        "open_trays": 9,
        "work_days": {Work.SOW: [0]},
    }
    return make_farm(**(given | needs))


def sown(chosen, day):
    return chosen.tray_rows[pick(chosen.tray_rows, sown=0, cuts=(day,))]


def grams(chosen, day):
    return chosen.heads[pick(chosen.tray_cuts, sown=0), 1, day]


@pytest.mark.parametrize(
    ("trays", "taken", "allowed"),
    [
        ((3, 0), (540, 0), True),
        ((3, 0), (541, 0), False),
        ((1, 1), (180, 180), True),
        ((1, 1), (180, 181), False),
    ],
)
def test_grams_are_at_most_what_the_trays_of_each_day_give(trays, taken, allowed):
    def amounts(c):
        for day, rows, heads_taken in zip((6, 7), trays, taken, strict=True):
            yield sown(c, day), rows
            yield grams(c, day), heads_taken

    assert allowed is allows(greens_farm(), heads, lambda c: list(amounts(c)))


@pytest.mark.parametrize(("part", "taken", "allowed"), [(200, 180, True), (199, 180, False)])
def test_grams_that_rounding_left_over_before_the_first_day_count_with_trays_that_stand(part, taken, allowed):
    # a tray of 200 g gives 179.98 g to sell
    crop = make_greens("Cress", days=6, window=1, grams=200, saleable=8_999)
    left = growing("Cress", StageKind.TRAY, -5, 1, 1, part_heads=part)
    farm = greens_farm(crops=[crop], growing=[left], demands=[delivery("Cress", 1, 9, max_age=0)])

    def amounts(c):
        out = pick(c.tray_rows, growing=0, cuts=(1,))
        return [(c.tray_rows[out], 1), (c.heads[pick(c.tray_cuts, growing=0), 1, 1], taken)]

    assert allowed is allows(farm, heads, amounts)


@pytest.mark.parametrize(("trays", "allowed"), [(5, True), (6, False)])
def test_they_share_the_tiers(trays, allowed):
    assert allowed is allows(
        greens_farm(tier_slots=5), tier_slots, lambda c: [(sown(c, 6), trays)], [whole_units]
    )


@pytest.mark.parametrize(("trays", "allowed"), [(4, True), (5, False)])
def test_they_are_no_more_than_owned(trays, allowed):
    assert allowed is allows(
        greens_farm(open_trays=4), equipment, lambda c: [(sown(c, 6), trays)], [whole_units]
    )


@pytest.mark.parametrize(("trays", "allowed"), [(4, True), (5, False)])
def test_sowing_cutting_and_washing_take_hours(trays, allowed):
    crop = make_greens("Cress", days=6, window=1, grams=200, minutes={"sow": 5_00, "cut": 3_00})
    farm = greens_farm(crops=[crop], crew=20_00)
    assert allowed is allows(farm, hours, lambda c: [(sown(c, 6), trays)])
    slow = make_greens("Cress", days=6, window=1, grams=200, minutes={"sow": 1_00, "cut": 4_00, "wash": 1_00})
    farm = greens_farm(crops=[slow], crew=20_00, wash_days=1)
    assert allowed is allows(farm, hours, lambda c: [(sown(c, 7), trays)])


def test_a_lot_that_is_sown_is_counted_as_one():
    farm = greens_farm()
    assert not allows(farm, losses, lambda c: [(sown(c, 6), 1), (c.lots["Cress", 0], 0)])
    assert allows(farm, losses, lambda c: [(sown(c, 6), 1), (c.lots["Cress", 0], 1)])


@pytest.mark.parametrize(
    ("keeps", "filled"), [([], 3), ([Keeps.NURSERY], 1), ([Keeps.GREENS], 3), ([Keeps.NURSERY] * 2, 0)]
)
def test_tiers_kept_for_the_nursery_are_not_used(keeps, filled):
    farm = greens_farm(tiers=2, tier_slots=1, keeps=keeps, demands=[delivery("Cress", 6, 3, max_age=0)])
    assert got(solved(farm))["Cress 6"] == filled


def test_the_nursery_keeps_off_tiers_kept_for_greens():
    lettuce = make_crop("Lettuce", tray=(3, 0, 10_000), board=None, raft=(4, 0, 10_000))
    farm = make_farm(
        days=12,
        crops=[lettuce],
        tiers=2,
        tier_slots=1,
        keeps=[Keeps.GREENS],
        demands=[delivery("Lettuce", 7, 30, max_age=0)],
        work_days={Work.SOW: [0]},
    )
    assert got(solved(farm)) == {"Lettuce 7": 20}


def test_pots_are_sold_by_the_cell_and_leave_row_by_row():
    pots = make_greens("Thyme", days=6, window=3)
    farm = make_farm(
        days=14,
        crops=[pots],
        tier_slots=1,
        trays=1,
        demands=[delivery("Thyme", day, 8, max_age=0) for day in (6, 8, 9)],
        work_days={Work.SOW: [0]},
    )
    plan = solved(farm)
    assert got(plan) == {"Thyme 6": 8, "Thyme 8": 8, "Thyme 9": 4}
    assert [(row.rows, row.leaves) for row in plan.contents] == [(1, 9), (2, 8), (2, 6)]
