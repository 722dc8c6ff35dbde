"""Lane order: first in, first out; a raft keeps its lane and uses only lanes its crop may use."""

from dataclasses import replace

from farms import make_crop, make_farm
from plans import Batch, build, edit, judged, told

ONE = {"rows": 2, "boards": (6,), "rafts": (6,)}
FRONT = Batch(**ONE, cuts=((38, 6),))
BEHIND = Batch(**ONE, sown=1, board_day=11, raft_day=21, cuts=((36, 6),), leaves=36)


def test_a_raft_that_leaves_before_the_one_ahead_is_a_fault():
    assert judged(make_farm(), FRONT, BEHIND) == [
        "lane order | Trough 1 | 2026-04-07: R2 leaves before R1, "
        "which entered before it and stays until 2026-04-09"
    ]


def test_a_raft_that_leaves_with_the_one_ahead_passes():
    waits = Batch(**ONE, sown=1, board_day=11, raft_day=21, cuts=((36, 6),), leaves=38)
    assert judged(make_farm(), FRONT, waits) == []
    a_day_less = Batch(**ONE, sown=1, board_day=11, raft_day=21, cuts=((36, 6),), leaves=37)
    assert len(judged(make_farm(), FRONT, a_day_less)) == 1


def test_every_raft_that_overtakes_is_told():
    third = Batch(**ONE, sown=2, board_day=12, raft_day=22, cuts=((37, 6),), leaves=37)
    faults = judged(make_farm(), FRONT, BEHIND, third)
    assert [fault.split(": ")[1].split(",")[0] for fault in faults] == [
        "R2 leaves before R1",
        "R3 leaves before R1",
    ]


def test_where_rafts_may_be_lifted_out_they_may_overtake_but_not_wait():
    farm = make_farm(rules={"lift_out": True})
    assert judged(farm, FRONT, BEHIND) == []
    waits = Batch(**ONE, sown=1, board_day=11, raft_day=21, cuts=((36, 6),), leaves=38)
    assert judged(farm, FRONT, waits) == [
        "bookkeeping | R2 | 2026-04-09: emptied on 2026-04-07, but leaves on 2026-04-09"
    ]


def test_rafts_of_one_day_are_ordered_by_slot():
    farm = make_farm()
    plan = build(farm, Batch())
    for unit, other in (("R1", 2), ("R2", 1)):
        swapped = edit(plan, "positions", {"unit": unit}, slot=other)
        plan = swapped
    assert told(farm, plan) == []
    plan = build(farm, Batch(**ONE, cuts=((38, 6),)), Batch(**ONE, cuts=((36, 6),), leaves=36))
    assert [fault.split(": ")[0] for fault in told(farm, plan)] == ["lane order | Trough 1 | 2026-04-07"]


def test_two_rafts_swapped_in_a_row_stand_in_wrong_slots():
    farm = make_farm()
    plan = build(farm, FRONT, Batch(**ONE, sown=1, board_day=11, raft_day=21, cuts=((40, 6),)))
    plan = edit(plan, "positions", {"unit": "R1", "slot": 1}, slot=2)
    plan = edit(plan, "positions", {"unit": "R2", "slot": 2}, slot=1)
    assert told(farm, plan) == [
        "slots | Trough 1 | 2026-03-22: R1 is in slot 2, but stands as number 1 from the harvest end",
        "slots | Trough 1 | 2026-03-23: R2 is in slot 1, but stands as number 2 from the harvest end",
    ]


def test_a_raft_that_changes_its_row_is_a_fault():
    farm = make_farm(lanes=2)
    plan = build(farm, Batch(**ONE))
    plan = edit(plan, "positions", {"unit": "R1"}, until=30)
    second = replace(plan.positions[-1], place="Trough 2", enters=30, until=34)
    plan = replace(plan, positions=(*plan.positions, second))
    assert told(farm, plan) == ["lane order | Trough 1 | 2026-04-01: R1 changes over to Trough 2"]


def test_a_crop_stands_only_in_the_lanes_it_may_use():
    farm = make_farm(lanes=2, crops=[make_crop("Lettuce", lanes=["Trough 2"])])
    assert judged(farm, Batch(**ONE, lane="Trough 2")) == []
    assert judged(farm, Batch(**ONE, lane="Trough 1")) == [
        "lane order | Trough 1 | 2026-03-22: R1 holds Lettuce, not allowed in this row"
    ]
