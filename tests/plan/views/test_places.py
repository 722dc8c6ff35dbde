"""How full places are: by week, mean and fullest day, closed slots off the limit."""

from dataclasses import replace

from farms import EVER, make_crop, make_farm
from plans import Batch, build

from scheduler.plan.rows import EquipmentRow, UseRow
from scheduler.plan.views.fullest import Full, week_spans
from scheduler.plan.views.places import equipment_use, place_use


def used(farm, place, by_day):
    return tuple(
        UseRow(place=place, day=day, used=number, slots=farm.place(place).slots.on(day))
        for day, number in enumerate(by_day)
    )


def test_the_rows_of_a_trough_and_the_tiers_of_a_shelf_count_together_and_board_zones_alone():
    farm = make_farm(days=7, tiers=2, tier_slots=4, lanes=3, lane_slots=5, zone_slots=6)
    found = place_use(farm, build(farm))
    assert [(use.name, use.called, use.unit, use.peak.there) for use in found] == [
        ("Shelf", "shelf", "tray", 8),
        ("Trough boards", "board zone", "board", 6),
        ("Trough", "trough", "raft", 15),
    ]


def test_a_week_has_its_mean_and_its_fullest_day():
    farm = make_farm(days=9, lanes=2, lane_slots=5)
    rows = used(farm, "Trough 1", [0, 1, 2, 3, 4, 4, 0, 5, 1]) + used(
        farm, "Trough 2", [0] * 5 + [2, 0, 0, 0]
    )
    (use,) = [each for each in place_use(farm, replace(build(farm), use=rows)) if each.name == "Trough"]
    first, second = use.weeks
    assert (first.used, first.mean, first.peak) == (16, 16 / 7, Full(day=5, used=6, there=10))
    assert (second.first, second.last, second.mean, second.peak.day) == (7, 8, 3.0, 7)
    assert (use.used, use.there, use.peak.day) == (22, 90, 5)


def test_closed_slots_are_off_the_limit_and_the_fullest_day_is_the_largest_share():
    farm = make_farm(days=7, lane_slots=((EVER, 6), (3, 2), (4, 6)))
    rows = used(farm, "Trough 1", [3, 3, 3, 2, 5, 5, 5])
    (use,) = [each for each in place_use(farm, replace(build(farm), use=rows)) if each.name == "Trough"]
    (week,) = use.weeks
    assert week.peak == Full(day=3, used=2, there=2)
    assert (week.most, week.there) == (6, 38)


def test_what_is_being_washed_is_in_use_and_all_domes_are_one_pool():
    crop = make_crop("Lettuce", handling={"dome_days": 3})
    farm = make_farm(days=40, domes=2, wash_days=2, crops=[crop])
    found = {use.name: use for use in equipment_use(farm, build(farm, Batch()))}
    assert [found[name].called for name in found] == ["tray", "board", "raft", "dome"]
    assert found["dome"].peak == Full(day=0, used=1, there=2)
    # in the tray for 10 days, in the wash for two
    assert found["20-cell tray"].used == 12


def test_days_before_today_and_past_the_last_day_are_no_part_of_it():
    farm = make_farm(days=14, span=30, today=8)
    rows = tuple(
        EquipmentRow(kind="6-hole raft", day=day, in_use=day, washing=0, owned=50) for day in range(30)
    )
    (use,) = [
        each
        for each in equipment_use(farm, replace(build(farm), equipment=rows))
        if each.name == "6-hole raft"
    ]
    assert week_spans(farm) == ((8, 13),)
    assert (use.weeks[0].days, use.weeks[0].used, use.peak.day) == (6, sum(range(8, 14)), 13)
