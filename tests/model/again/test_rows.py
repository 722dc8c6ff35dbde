"""Rows that go together in planning again: those in which the rafts of the plan before are in order."""

from dataclasses import replace

from farms import delivery, make_farm
from solving import quick_crop, solved

from scheduler.model.again.rows import bundles_for
from scheduler.plan.earlier import earlier


def farm_and_plan():
    demands = [delivery("Lettuce", day, 40) for day in (9, 11, 13, 15)]
    made = make_farm(
        crops=[quick_crop()], days=18, lanes=9, lane_slots=4, tiers=2, tier_slots=20, demands=demands
    )
    return made, solved(made, seconds=0.2)


def test_rows_stay_together_while_no_raft_waits_longer_than_before_for_those_before_it():
    made, plan = farm_and_plan()
    bundles = bundles_for(made, earlier(plan))
    assert len(bundles) < 9
    places = {row.unit: row.place for row in plan.positions}
    lines = [[place.name for place in bundle.places] for bundle in bundles if len(bundle.places) > 1]
    standing = [
        [unit for unit in plan.units if unit.item == "raft" and places[unit.unit] in names] for names in lines
    ]
    rafts = next(some for some in standing if len({raft.enters for raft in some}) > 1)
    first, last = min(rafts, key=lambda raft: raft.enters), max(rafts, key=lambda raft: raft.enters)
    assert first.enters < last.enters
    last = replace(last, leaves=last.emptied + 2)
    for wait, rows in ((2, len(bundles)), (3, 9)):
        late = replace(first, emptied=last.emptied + wait, leaves=last.emptied + wait)
        others = tuple(unit for unit in plan.units if unit not in rafts)
        moved = replace(plan, units=(*others, last, late))
        assert len(bundles_for(made, earlier(moved))) == rows
