"""Units that several growing lots share: counted once, kept until the last of them leaves, and audited."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm
from solving import got, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.model.answers.read_back import values_of
from scheduler.model.build import build
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.part import Parts
from scheduler.plan.audit import audit, fault_lines

CROPS = [quick_crop(), quick_crop("Kale")]


def two(stage, *changes, **same):
    """Return two lots in one unit; each of ``changes`` is what is otherwise in one of them."""
    lots = ({"crop": "Lettuce", "lot": "L"}, {"crop": "Kale", "lot": "K"})
    return [
        growing(**{"stage": stage, "units": 1, "together": "U", **lot, **same, **change})
        for lot, change in zip(lots, changes or ({}, {}), strict=True)
    ]


def farm(found, **needs):
    demands = needs.pop("demands", [delivery("Lettuce", 9, 3), delivery("Kale", 9, 3)])
    return make_farm(**{"crops": CROPS, "days": 16, "growing": found, "demands": demands, **needs})


@pytest.mark.parametrize("stage", [StageKind.TRAY, StageKind.RAFT])
def test_a_shared_unit_takes_one_slot_and_gives_the_heads_of_both(stage):
    in_tray = stage is StageKind.TRAY
    since, room = (-2, {"tier_slots": 1, "trays": 1}) if in_tray else (0, {"lane_slots": 1, "rafts": 1})
    demands = [delivery("Lettuce", 9 if in_tray else 5, 3), delivery("Kale", 9 if in_tray else 5, 3)]
    plan = solved(farm(two(stage, since=since, plants=3), demands=demands, **room))
    assert set(got(plan).values()) == {3}
    found = [unit for unit in plan.units if unit.enters == since]
    assert [unit.item for unit in found] == [stage.value]
    assert {row.lot for row in plan.contents if row.unit == found[0].unit} == {"L", "K"}


def test_a_shared_raft_keeps_its_slot_until_the_last_of_its_lots_is_cut():
    demands = [delivery("Lettuce", 5, 3, max_age=0), delivery("Kale", 8, 3, max_age=0)]
    crops = [quick_crop(), quick_crop("Kale", raft=(7, 2, 10_000))]
    plan = solved(farm(two(StageKind.RAFT, since=0, plants=3), demands=demands, crops=crops, lane_slots=1))
    (raft,) = [unit for unit in plan.units if unit.enters == 0]
    assert (raft.emptied, raft.leaves >= 8) == (8, True)
    assert sorted(row.leaves for row in plan.contents if row.unit == raft.unit) == [5, 8]


def test_what_is_thrown_away_of_a_shared_tray_leaves_the_rest_in_it():
    demands = [delivery("Kale", 9, 3)]
    plan = solved(farm(two(StageKind.TRAY, since=-2, plants=3), demands=demands, tier_slots=1, lane_slots=1))
    assert got(plan) == {demands[0].name: 3}
    assert {lot.lot: lot.discarded for lot in plan.lots if lot.origin == "growing"} == {"L": 3, "K": 0}


def test_a_plan_with_a_shared_unit_is_taken_back_as_an_answer():
    for stage, since in ((StageKind.TRAY, -2), (StageKind.RAFT, 0)):
        made = farm(two(stage, since=since, plants=3))
        plan = solved(made)
        built = build(season(made), bundles_of(made))
        assert Parts(built.model).holds(values_of(built, plan))


def test_lots_that_were_found_in_one_unit_are_not_told_apart_by_a_plan():
    made = farm(two(StageKind.RAFT, since=0, plants=3), lane_slots=2)
    plan = solved(made)
    assert fault_lines(audit(made, plan)) == []
    apart = solved(replace(made, growing=tuple(replace(row, together="") for row in made.growing)))
    faults = fault_lines(audit(made, apart))
    assert any("2 units of K and L, which were found in one raft" in fault for fault in faults)
    alone = replace(made, growing=tuple(replace(row, together=row.lot) for row in made.growing))
    assert fault_lines(audit(alone, plan)) != []


@pytest.mark.parametrize("stage", [StageKind.TRAY, StageKind.BOARD])
def test_rows_of_one_lot_share_boards_and_rafts_as_one(stage):
    found = [
        growing("Lettuce", stage, -3, 3, 1, lot=lot, batch=batch) for lot, batch in (("L", "L"), ("L-2", "L"))
    ]
    crops = [quick_crop(board=(3, 1, 10_000))] if stage is StageKind.BOARD else CROPS[:1]
    made = farm(found, crops=crops, lane_slots=1, demands=[delivery("Lettuce", 5, 6, max_age=0)])
    plan = solved(made)
    assert set(got(plan).values()) == {6}
    apart = replace(made, growing=tuple(replace(row, batch=row.lot) for row in made.growing))
    assert set(got(solved(apart)).values()) == {3}
    assert any("share a raft" in fault for fault in fault_lines(audit(apart, plan)))
