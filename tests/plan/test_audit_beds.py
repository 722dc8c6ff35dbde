"""Beds and picking: sound plans pass, and each broken one is told with exactly what is wrong."""

from dataclasses import replace

import pytest
from farms import EVER, delivery, growing, make_crop, make_farm
from plans import edit
from solving import solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.plan.audit import audit
from scheduler.plan.bed_rows import PickingRow
from scheduler.plan.tally import with_totals

TOMATO = make_crop(
    "Tomato",
    tray=(3, 1, 10_000),
    bed=(4, 9_000),
    curve=(1500, 1500),
    a_week=2,
    minutes={"bed": 100, "pick": 50, "clear": 200},
)
NEEDS = {
    "days": 28,
    "crops": [TOMATO],
    "demands": [delivery("Tomato", day, 6) for day in (7, 11, 14, 18)],
    "beds": {"Bed": 12},
    "clean_days": 2,
    "lanes": 0,
    "zones": 0,
    "work_days": {Work.SOW: [0], Work.RAFT: [3], Work.HARVEST: [0, 3]},
}
FARM = make_farm(**NEEDS)


@pytest.fixture(scope="module")
def plan():
    """Sown on Monday, day 0, set in on Thursday, picked Mondays and Thursdays from day 7 through day 17.

    Nine plants give 9 x 1.5 x 0.9 = 12.15 in each of two weeks, 6 at each of its two pickings.
    """
    return solved(FARM, 1.0)


def faults(plan, farm=FARM):
    """Return the audit's faults as text but those of bookkeeping; hours and use are made again first."""
    found = audit(farm, with_totals(farm, plan))
    return [str(fault) for fault in found if fault.rule != "bookkeeping"]


def books(plan, farm=FARM):
    """Return the audit's faults of bookkeeping as text, totals as they are."""
    found = audit(farm, plan)
    return [str(fault) for fault in found if fault.rule == "bookkeeping"]


def day(number):
    return FARM.date_of(number)


def test_the_plan_the_tests_break_is_sound_and_as_they_take_it(plan):
    (row,) = plan.plantings
    assert (row.planting, row.positions, row.plants) == ("P260305-01", "1-9", 9)
    assert (row.from_day, row.enters, row.leaves, row.free) == (0, 3, 17, 19)
    assert [(each.day, each.heads) for each in plan.pickings] == [(7, 6), (10, 6), (14, 6), (17, 6)]
    assert faults(plan) == books(plan) == []


@pytest.mark.parametrize(
    ("positions", "fault"),
    [
        ("4-12", None),
        ("1-8, 12", None),
        ("5-13", "P260305-01 stands in position 13 of 12 open ones"),
        ("1-8", "9 plants of TOM-260302 in 8 positions"),
        ("1-10", "9 plants of TOM-260302 in 10 positions"),
    ],
)
def test_each_plant_has_one_open_position(plan, positions, fault):
    broken = edit(plan, "plantings", {}, positions=positions)
    assert faults(broken) == ([f"beds | Bed | {day(3)}: {fault}"] if fault else [])


@pytest.mark.parametrize(("closes", "told"), [(19, False), (18, True)])
def test_a_position_is_open_to_the_end_of_the_clean_up(plan, closes, told):
    farm = make_farm(**NEEDS | {"beds": {"Bed": ((EVER, 12), (closes, 8))}})
    message = f"beds | Bed | {day(closes)}: P260305-01 stands in position 9 of 8 open ones"
    assert faults(plan, farm) == ([message] if told else [])


@pytest.mark.parametrize(
    ("enters", "leaves", "positions", "told"),
    [(3, 10, "10-12", False), (3, 10, "9-11", True), (24, 24, "1-3", False), (17, 21, "1-3", True)],
)
def test_no_position_holds_two_plants(plan, enters, leaves, positions, told):
    (row,) = plan.plantings
    row = replace(row, planting="P2", positions=positions, plants=3)
    other = replace(row, enters=enters, leaves=leaves, free=leaves + 2)
    found = faults(replace(plan, plantings=(*plan.plantings, other)))
    found = [fault for fault in found if fault.startswith("beds")]
    position = positions.split("-")[0]
    names = "P2 and P260305-01" if leaves < 17 else "P260305-01 and P2"
    message = f"beds | Bed | {day(enters)}: {names} are both in position {position}"
    assert found == ([message] if told else [])


def test_a_position_is_free_only_when_it_is_cleaned_up(plan):
    broken = edit(plan, "plantings", {}, free=18)
    assert faults(broken) == [
        f"beds | Bed | {day(18)}: P260305-01 frees its positions on {day(18)}, cleaned up on {day(19)}"
    ]


def test_a_crop_stands_only_in_beds_it_may_be_set_into(plan):
    crop = replace(TOMATO, picking=replace(TOMATO.picking, beds=frozenset({"Other"})))
    farm = make_farm(**NEEDS | {"crops": [crop], "beds": {"Bed": 12, "Other": 12}})
    assert f"beds | Bed | {day(3)}: P260305-01 stands here, but Tomato may not be set in" in faults(
        plan, farm
    )


@pytest.mark.parametrize(("leaves", "told"), [(21, False), (24, True)])
def test_plants_are_pulled_out_by_the_end_of_their_picking_weeks(plan, leaves, told):
    # 4 days and two weeks after day 3 is day 21
    broken = edit(plan, "plantings", {}, leaves=leaves, free=leaves + 2)
    message = "9 plants of TOM-260302 are pulled out after 21 days, 18 days at most"
    assert faults(broken) == ([f"stage days | Bed | {day(24)}: {message}"] if told else [])


def test_plants_are_set_in_and_pulled_out_on_work_days(plan):
    late = edit(plan, "plantings", {}, leaves=18, free=20)
    assert faults(late) == [
        f"work days | TOM-260302 | {day(18)}: 9 plants pulled out, but no day for that work"
    ]
    early = edit(plan, "plantings", {}, enters=4)
    assert f"work days | TOM-260302 | {day(4)}: 9 plants set into beds, but no day for that work" in faults(
        early
    )


def test_no_more_plants_are_set_in_than_leave_the_trays(plan):
    more = edit(plan, "plantings", {}, plants=12, positions="1-12")
    assert faults(more) == []
    beyond = make_farm(**NEEDS | {"beds": {"Bed": 13}})
    broken = edit(plan, "plantings", {}, plants=13, positions="1-13")
    assert faults(broken, beyond) == [
        f"whole units | TOM-260302 | {day(0)}: 12 plants, but 13 are set into beds",
        f"whole units | TOM-260302 | {day(3)}: 13 plants set out, "
        "but 12 cells leave trays that day and give 12",
    ]


@pytest.mark.parametrize(
    ("on", "heads", "fault"),
    [
        (7, 6, None),
        (7, 7, (7, "7 picked of 9 plants so far in this picking week, which give 6")),
        (10, 7, (10, "13 picked of 9 plants so far in this picking week, which give 12")),
        (14, 5, None),
        (17, 8, (17, "14 picked of 9 plants so far in this picking week, which give 12")),
    ],
)
def test_no_more_is_picked_than_the_curve_gives_in_a_week(plan, on, heads, fault):
    broken = edit(plan, "pickings", {"day": on}, heads=heads)
    found = [each for each in faults(broken) if each.startswith("picking | ")]
    assert found == ([f"picking | TOM-260302 | {day(fault[0])}: {fault[1]}"] if fault else [])


def test_one_day_gives_no_more_than_its_even_part_rounded_up(plan):
    kept = edit(edit(plan, "pickings", {"day": 7}, heads=5), "pickings", {"day": 10}, heads=7)
    assert [fault for fault in faults(kept) if "picking" in fault] == []
    broken = edit(edit(plan, "pickings", {"day": 7}, heads=4), "pickings", {"day": 10}, heads=8)
    assert f"picking | TOM-260302 | {day(10)}: 8 picked of 9 plants on one day, which give 7" in faults(
        broken
    )


def test_rounding_down_is_over_the_lot_however_many_beds_it_stands_in(plan):
    farm = make_farm(**NEEDS | {"beds": {"Bed": 5, "Other": 4}})
    (row,) = plan.plantings
    parts = (replace(row, positions="1-5", plants=5),
             replace(row, planting="P260305-02", bed="Other", positions="1-4", plants=4))  # fmt: skip
    rows = [
        PickingRow(planting=part.planting, day=on, number=number, heads=heads)
        for number, on in enumerate((7, 10, 14, 17), 1)
        for part, heads in zip(parts, (3, 3), strict=True)
    ]
    split = replace(plan, plantings=parts, pickings=tuple(rows))
    assert faults(split, farm) == []
    more = edit(split, "pickings", {"day": 17, "planting": "P260305-02"}, heads=4)
    assert [fault for fault in faults(more, farm) if "so far" in fault] == [
        f"picking | TOM-260302 | {day(17)}: 13 picked of 9 plants so far in this picking week, which give 12"
    ]


@pytest.mark.parametrize(
    ("on", "fault"),
    [
        (8, f"picking | Bed | {day(8)}: P260305-01 is picked, but that is no picking day"),
        (21, f"picking | Bed | {day(21)}: P260305-01 is picked, but not within its picking weeks"),
        (3, f"picking | Bed | {day(3)}: P260305-01 is picked, but not within its picking weeks"),
    ],
)
def test_plants_are_picked_on_picking_days_of_their_picking_weeks(plan, on, fault):
    standing = edit(plan, "plantings", {}, leaves=21, free=23)
    assert fault in faults(edit(standing, "pickings", {"day": 7}, day=on))


def test_nothing_is_picked_where_it_does_not_stand(plan):
    broken = edit(plan, "plantings", {}, leaves=14, free=16)
    message = f"bookkeeping | P260305-01 | {day(17)}: P260305-01 is picked while it does not stand there"
    assert message in books(broken)


def test_pickings_are_numbered_in_order_and_their_names_exist(plan):
    assert f"bookkeeping | P260305-01 | {day(7)}: picking 3 of P260305-01 is number 1 by its day" in books(
        edit(plan, "pickings", {"day": 7}, number=3)
    )
    assert f"bookkeeping | pickings | {day(7)}: there is no planting P1" in books(
        edit(plan, "pickings", {"day": 7}, planting="P1")
    )
    assert f"bookkeeping | plantings | {day(3)}: there is no bed Shelf 1" in books(
        edit(plan, "plantings", {}, bed="Shelf 1")
    )
    assert f"bookkeeping | P260305-01 | {day(3)}: positions '9-1' are not such as 1-12, 15" in books(
        edit(plan, "plantings", {}, positions="9-1")
    )


def test_heads_are_sold_once_and_followed_to_their_planting(plan):
    fewer = edit(plan, "pickings", {"day": 7}, heads=5)
    assert f"whole units | TOM-260302 | {day(7)}: 6 heads delivered, 5 cut that day" in faults(fewer)
    told = books(edit(plan, "chains", {"cut_day": 7}, lane="Other"))
    assert f"bookkeeping | Tomato 7 | {day(7)}: chain of TOM-260302: P260305-01 is in Bed, not Other" in told
    told = books(edit(plan, "chains", {"cut_day": 7}, rafts="P9"))
    assert (
        f"bookkeeping | Tomato 7 | {day(7)}: chain of TOM-260302: nothing of it is picked from P9 that day"
        in told
    )


FOUND = growing("Tomato", StageKind.BED, -8, 9, 10, lot="OLD", order=2, cuts_done=1, last_cut=-4)
GROWN = make_farm(**NEEDS | {"growing": [FOUND], "demands": [delivery("Tomato", on, 6) for on in (0, 4, 7)]})


@pytest.fixture(scope="module")
def grown():
    """Set in on day -8: picked from day -4, a Thursday, with a picking done; nine plants in ten positions."""
    return solved(GROWN, 1.0)


def test_what_grows_in_a_bed_keeps_its_place_age_and_number(grown):
    row = next(row for row in grown.plantings if row.lot == "OLD")
    assert (row.positions, row.plants, row.enters, row.leaves) == ("2-11", 9, -8, 7)
    mine = [(each.day, each.number, each.heads) for each in grown.pickings if each.planting == row.planting]
    assert mine == [(0, 2, 6), (3, 3, 6), (7, 4, 6)]
    assert faults(grown, GROWN) == books(grown, GROWN) == []


@pytest.mark.parametrize(
    ("new", "fault"),
    [
        ({"positions": "2-10"}, "P260222-01 stands in 2-10, it was found in 2-11"),
        ({"plants": 8}, "8 plants of OLD in P260222-01, 9 were found"),
        ({"enters": -9}, "0 plantings of OLD, which was found here in one"),
        ({"positions": "1-10"}, "0 plantings of OLD, which was found here in one"),
    ],
)
def test_what_grows_in_a_bed_is_told_when_it_is_changed(grown, new, fault):
    broken = edit(grown, "plantings", {"lot": "OLD"}, **new)
    assert f"growing | Bed | {day(0)}: {fault}" in faults(broken, GROWN)


def test_what_was_picked_before_the_plan_is_gone(grown):
    broken = edit(grown, "pickings", {"day": 0}, heads=7)
    assert (
        f"picking | OLD | {day(0)}: 7 picked of 9 plants so far in this picking week, which give 6"
        in faults(broken, GROWN)
    )
