"""Beds in a steady week: as many plants are set in every week as are pulled out."""

import pytest
from farms import EVER, make_crop, make_farm
from solving import quick_crop
from weeks import limit, linear, room, week_of

from scheduler.farm.calendar import Work
from scheduler.model.capacity.limit import Depth, limit_of
from scheduler.model.capacity.week import steady_week
from scheduler.model.settings import SolveSettings
from scheduler.plan.capacity import RoomKind

# 4 days to the first picking and two weeks of pickings every day: a plant stands 17 days and gives 6 pieces
TOMATO = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(4000, 2000))
MIX = {"Tomato": 12}


def bedded(**needs):
    base = {"crops": [TOMATO], "beds": {"Bed": 34}, "lanes": 0, "zones": 0, "tier_slots": 20}
    return make_farm(**(base | needs))


def test_a_position_carries_what_a_plant_gives_over_the_days_it_is_taken():
    assert linear(bedded(), mix=MIX) == pytest.approx(34 * 7 / 17 * 6)


def test_clean_up_and_slow_growth_take_their_days():
    assert linear(bedded(clean_days=4), mix=MIX) == pytest.approx(34 * 7 / 21 * 6)
    # at half the pace 8 days and 28 of pickings, the last on day 35
    assert linear(bedded(pace={"Bed": 500}), mix=MIX) == pytest.approx(34 * 7 / 35 * 6)


def test_losses_and_what_cannot_be_sold_cost_pieces():
    crop = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 9_000), curve=(4000, 2000), saleable=8_000)
    assert linear(bedded(crops=[crop]), mix=MIX) == pytest.approx(34 * 7 / 17 * 6 * 0.72)


def test_setting_in_picking_and_clearing_take_hours():
    busy = make_crop(
        "Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(4000, 2000),
        minutes={"bed": 2_00, "pick": 50, "clear": 3_00},
    )  # fmt: skip
    # 2 + 14 x 0.5 + 3 = 12 minutes a plant, 4 minutes a day
    found = linear(bedded(crops=[busy], crew=4_00), mix=MIX)
    assert found == pytest.approx(7 * 4 / 12 * 6)


def test_whole_positions_carry_whole_plants_every_week():
    # 34 positions: 17 days are three weeks begun, on some days three ages stand beside each other
    found = limit(bedded(), mix=MIX)
    (part,) = found.parts
    (beds,) = [each for each in found.rooms if each.kind is RoomKind.BED]
    assert (beds.name, beds.there) == ("Bed", 34)
    assert beds.binds
    assert found.whole is not None
    assert found.whole == found.whole_most
    # 14 plants every week, spread over its days, take 34 positions at most: 14 x 6 pieces
    assert part.whole == 84
    assert part.linear == pytest.approx(84)


def test_plants_set_in_on_one_day_of_the_week_stand_beside_those_of_the_weeks_before():
    # set in on Mondays, each stands 17 days: 3 weeks' plants in 34 positions, 11 a week
    found = limit(bedded(work_days={Work.RAFT: {0}}), mix=MIX)
    (part,) = found.parts
    assert part.whole == 66
    assert part.linear == pytest.approx(84)


def test_half_a_plant_is_none():
    found = limit(bedded(beds={"Bed": 2}), mix={"Tomato": 1})
    assert found.whole == 0
    assert found.linear == pytest.approx(2 * 7 / 17 * 6)


def test_beds_and_rafts_are_carried_together():
    farm = bedded(crops=[TOMATO, quick_crop()], lanes=1, lane_slots=8)
    week = week_of(farm, mix={"Lettuce": 84, "Tomato": 84})
    found = limit_of(week, SolveSettings(seconds=0.5, deterministic=True), Depth(season=False))
    assert found.left_out == ()
    assert found.linear == pytest.approx(1)
    assert found.whole == 1000
    assert room(found, RoomKind.LANE).used == pytest.approx(1)


def test_usual_orders_of_what_is_picked_in_beds_are_in_the_mix(tmp_path):
    from farms import delivery

    demands = [delivery("Tomato", day, 9) for day in range(4, 98, 7)]
    week = steady_week(bedded(demands=demands))
    assert dict(week.amounts) == {"Tomato": 9}


def test_a_bed_out_of_service_for_a_time_counts_as_it_usually_is_and_on_a_day_as_it_is_then():
    farm = bedded(beds={"Bed": ((EVER, 34), (20, 17), (34, 34))})
    assert linear(farm, mix=MIX) == pytest.approx(84)
    assert linear(farm, mix=MIX, day=25) == pytest.approx(42)


@pytest.mark.soak
def test_a_season_is_planned_with_what_the_week_carries():
    week = steady_week(bedded(days=70), {"Tomato": 20})
    found = limit_of(week, SolveSettings(seconds=2, deterministic=True), Depth())
    assert found.season is not None
    assert found.season.filled > 0.8
