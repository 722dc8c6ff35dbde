"""Space: at the limit passes, one more is told with the place, the day and how much."""

from dataclasses import replace

from farms import EVER, make_farm
from plans import Batch, build, drop, edit, judged, told

SIX_RAFTS = Batch(rows=9, boards=(12, 12, 12), rafts=(6,) * 6)


def test_a_row_full_of_rafts_passes_and_one_raft_more_is_a_fault():
    assert judged(make_farm(lane_slots=6), SIX_RAFTS) == []
    assert judged(make_farm(lane_slots=5), SIX_RAFTS) == [
        "slots | Trough 1 | 2026-03-22: 6 rafts, 5 slots there for 14 days"
    ]


def test_a_zone_full_of_boards_passes_and_one_board_more_is_a_fault():
    assert judged(make_farm(zone_slots=3), SIX_RAFTS) == []
    assert judged(make_farm(zone_slots=2), SIX_RAFTS) == [
        "slots | Trough boards | 2026-03-12: 3 boards, 2 slots there for 10 days"
    ]


def test_a_tier_full_of_trays_passes_and_one_tray_more_is_a_fault():
    assert judged(make_farm(tier_slots=2), SIX_RAFTS) == []
    assert judged(make_farm(tier_slots=1), SIX_RAFTS) == [
        "slots | Shelf 1 | 2026-03-02: 2 trays, 1 slots there for 10 days"
    ]


def test_a_slot_closed_for_one_day_is_a_fault_on_that_day_only():
    farm = make_farm(lane_slots=((EVER, 6), (25, 5), (26, 6)))
    assert told(farm, build(farm, SIX_RAFTS)) == ["slots | Trough 1 | 2026-03-27: 6 rafts, 5 slots there"]


def test_a_place_before_its_first_day_has_no_slots():
    farm = make_farm(zone_slots=((EVER, 0), (11, 8)))
    assert told(farm, build(farm, Batch())) == ["slots | Trough boards | 2026-03-12: 1 boards, 0 slots there"]


def test_on_one_day_a_unit_goes_out_before_another_comes_in():
    farm = make_farm(lane_slots=2, zone_slots=1)
    following = Batch(sown=14, board_day=24, raft_day=34, cuts=((48, 6),))
    assert told(farm, build(farm, Batch(), following)) == []
    too_soon = Batch(sown=13, board_day=23, raft_day=33, cuts=((47, 6),))
    assert told(farm, build(farm, Batch(), too_soon)) == [
        "slots | Trough 1 | 2026-04-04: 4 rafts, 2 slots there"
    ]


def test_two_boards_in_one_slot_are_a_fault():
    farm = make_farm()
    plan = build(farm, Batch(boards=(6, 6)))
    assert told(farm, edit(plan, "positions", {"unit": "B2"}, slot=1)) == [
        "slots | Trough boards | 2026-03-12: B1 and B2 are both in slot 1"
    ]


def test_slot_numbers_go_from_one_to_the_slots_there():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, slot=8)) == []
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, slot=9)) == [
        "slots | Trough boards | 2026-03-12: B1 is in slot 9 of 8"
    ]
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, slot=0)) == [
        "slots | Trough boards | 2026-03-12: B1 is in slot 0; the first is 1"
    ]


def test_a_unit_that_stands_nowhere_for_a_day_is_a_fault():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, until=19)) == [
        "slots | B1 | 2026-03-21: stands nowhere for 1 days"
    ]
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, enters=11)) == [
        "slots | B1 | 2026-03-12: stands nowhere for 1 days"
    ]
    assert told(farm, drop(plan, "positions", unit="T1")) == [
        "slots | T1 | 2026-03-02: stands nowhere for 10 days"
    ]


def test_a_unit_that_keeps_its_slot_after_it_left_or_before_it_came_is_a_fault():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, until=21)) == [
        "slots | B1 | 2026-03-22: keeps a slot for 1 days after it left"
    ]
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, enters=9)) == [
        "slots | Trough boards | 2026-03-11: B1 enters 1 days early, before it is filled"
    ]


def test_a_unit_in_two_places_on_one_day_is_a_fault():
    farm = make_farm(tiers=2)
    plan = build(farm, Batch())
    moved = edit(plan, "positions", {"unit": "T1"}, until=6)
    first = next(row for row in moved.positions if row.unit == "T1")
    for enters, faults in (
        (6, []),
        (5, ["slots | Shelf 2 | 2026-03-07: T1 enters 1 days early, while it still stands elsewhere"]),
    ):
        second = replace(first, place="Shelf 2", enters=enters, until=10)
        assert told(farm, replace(moved, positions=(*moved.positions, second))) == faults


def test_a_board_does_not_stand_in_a_row_of_rafts():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "positions", {"unit": "B1"}, place="Shelf 1", slot=8)) == [
        "slots | Shelf 1 | 2026-03-12: B1 is a board; none stands here"
    ]


def test_a_raft_in_another_slot_than_its_rank_from_the_harvest_end_is_a_fault():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "positions", {"unit": "R2"}, slot=3)) == [
        "slots | Trough 1 | 2026-03-22: R2 is in slot 3, but stands as number 2 from the harvest end"
    ]


def test_rafts_close_up_on_the_day_one_leaves():
    farm = make_farm()
    front = Batch(rows=2, boards=(6,), rafts=(6,))
    behind = Batch(sown=1, rows=2, board_day=11, boards=(6,), raft_day=21, rafts=(6,), cuts=((40, 6),))
    plan = build(farm, front, behind)
    assert [row.slot for row in plan.positions if row.unit == "R2"] == [2, 1]
    assert told(farm, plan) == []
    kept = edit(plan, "positions", {"unit": "R2", "slot": 1}, slot=2)
    assert told(farm, kept) == [
        "slots | Trough 1 | 2026-04-05: R2 is in slot 2, but stands as number 1 from the harvest end"
    ]
