"""Trays that are cut on the shelf: a sound plan is sound, and each way of breaking one is told."""

from dataclasses import replace

import pytest
from farms import OPEN, delivery, growing, make_crop, make_farm, make_greens
from plans import drop, edit, told

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.places import Keeps
from scheduler.plan.audit import audit
from scheduler.plan.decided import Decided, Fill, TrayHeads, TrayMove
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import ContentRow, CutRow, UnitRow

CRESS = make_greens("Cress", days=6, window=2, grams=200, cuts=2, interval=4, saleable=9_000)
LOT = "CRE-260302"


def greens_farm(**needs):
    """Two orders of 100 g bags; 180 g of a tray can be sold at each cut."""
    given = {
        "crops": [CRESS, make_crop("Lettuce")],
        "products": {"Cress": {"Cress": 100_000}},
        "demands": [delivery("Cress", 8, 3), delivery("Cress", 12, 3)],
        "open_trays": 4,
        "tiers": 2,
        "days": 40,
    }
    return make_farm(**(given | needs))


def move(**changes):
    made = {
        "crop": "Cress",
        "sown": 0,
        "growing": -1,
        "tiers": ("Shelf 1",),
        "day": 12,
        "rows": 2,
        "plants": 0,
    }
    return TrayMove(**(made | {"cuts": ((1, 8), (2, 12))} | changes))


def plan_of(farm, *moves, heads=((1, 8, 300), (2, 12, 300)), **lot):
    lot = {"sown": 0, "growing": -1} | lot
    amounts = Decided(
        tray_moves=moves or (move(),),
        board_moves=(),
        raft_batches=(),
        raft_leaves=(),
        fills=tuple(Fill(crop="Cress", cut_day=d, demand=f"Cress {d}", heads=h) for _, d, h in heads),
        tray_heads=tuple(TrayHeads(crop="Cress", number=n, day=d, heads=h, **lot) for n, d, h in heads),
    )
    return lay_out(farm, amounts, (), {})


def test_trays_are_sown_cut_twice_and_leave_with_their_last_cut():
    farm = greens_farm()
    plan = plan_of(farm)
    assert told(farm, plan) == []
    assert [
        (row.day, row.number, row.plants, row.heads) for row in plan.cuts if row.unit == "T260302-01"
    ] == [
        (8, 1, 1, 180),
        (12, 2, 1, 180),
    ]
    assert [(row.kind, row.item, row.enters, row.leaves) for row in plan.units] == [(OPEN, "tray", 0, 12)] * 2
    assert [(row.demand, row.filled, row.state) for row in plan.demands] == [
        ("Cress 8", 3, "filled"),
        ("Cress 12", 3, "filled"),
    ]
    assert [(row.rafts, row.trays, row.boards, row.raft_day) for row in plan.chains] == [
        ("T260302-01; T260302-02", "T260302-01; T260302-02", "", 0)
    ] * 2
    both = "2 trays: 1 from each of slots 1-2"
    assert [(row.day, row.work, row.plants, row.note) for row in plan.tasks if row.lot] == [
        (0, "sow", 2, "Cress one: 2 g, 1 in a tray"),
        (8, "cut", 360, f"{both}; cut 1; 300 g for Cress 8 (Harbour Table); 60 g not asked for"),
        (12, "cut", 360, f"{both}; cut 2; 300 g for Cress 12 (Harbour Table); 60 g not asked for"),
    ]


@pytest.mark.parametrize(("day", "fault"), [(6, ""), (5, "5 days grown of 6"), (9, "9 days grown, 8")])
def test_the_first_cut_lies_in_the_window(day, fault):
    farm = greens_farm(demands=[delivery("Cress", day, 3), delivery("Cress", day + 4, 3)])
    again = (1, day), (2, day + 4)
    plan = plan_of(farm, move(day=day + 4, cuts=again), heads=[(*each, 300) for each in again])
    found = told(farm, plan)
    assert bool(found) is bool(fault)
    assert all(line.startswith("fresh | Shelf 1") and fault in line for line in found)


@pytest.mark.parametrize(
    ("day", "fault"), [(12, ""), (11, "only 3 days grown of 4"), (15, "7 days grown, 6")]
)
def test_the_second_cut_follows_an_interval_later(day, fault):
    farm = greens_farm(demands=[delivery("Cress", 8, 3), delivery("Cress", day, 3)])
    cuts = (1, 8), (2, day)
    found = told(farm, plan_of(farm, move(day=day, cuts=cuts), heads=[(*each, 300) for each in cuts]))
    assert bool(found) is bool(fault)
    assert all(line.startswith("fresh | Shelf 1") and fault in line for line in found)


def test_no_more_grams_are_counted_on_than_the_trays_give():
    farm = greens_farm()
    plan = plan_of(farm)
    assert told(farm, edit(plan, "cuts", {"unit": "T260302-01", "day": 8}, heads=181)) == [
        f"whole units | {LOT} | 2026-03-10: 361 heads of cut 1 so far from 2 plants, which give 360",
        f"bookkeeping | {LOT} | 2026-03-10: tasks say to cut 360, the rows give 361",
    ]
    assert told(farm, edit(plan, "fills", {"cut_day": 8}, heads=361))[0].startswith(
        f"whole units | {LOT} | 2026-03-10: 361 heads delivered, 360 cut that day"
    )


def test_a_tray_is_not_cut_twice_over_or_more_often_than_its_crop():
    farm = greens_farm()
    plan = plan_of(farm)
    twice = edit(plan, "cuts", {"unit": "T260302-01", "day": 8}, plants=2)
    more = "cut 1 of CRE-260302 takes 2 plants, 1 more than are there to cut"
    assert told(farm, twice) == [f"whole units | T260302-01 | 2026-03-10: {more}"]
    third = CutRow(unit="T260302-01", lot=LOT, day=12, number=3, plants=1, heads=0)
    assert told(farm, replace(plan, cuts=(*plan.cuts, third))) == [
        "fresh | T260302-01 | 2026-03-14: cut 3 of T260302-01, which has cuts 1 to 2"
    ]


def test_trays_are_cut_and_emptied_on_harvest_days_only():
    farm = greens_farm(closed={Work.HARVEST: [12]})
    assert told(farm, plan_of(farm)) == [
        f"work days | {LOT} | 2026-03-14: 2 plants cut, but no day for that work"
    ]


def test_tiers_kept_for_the_nursery_take_no_trays_that_are_cut_and_the_other_way_round():
    for keeps, lots in ((Keeps.NURSERY, 2), (Keeps.GREENS, 0), (Keeps.ALL, 0)):
        farm = greens_farm(keeps=[keeps])
        found = told(farm, plan_of(farm))
        assert found == [
            f"slots | Shelf 1 | 2026-03-02: T260302-0{n} holds Cress; the tier is kept for the nursery"
            for n in range(1, lots + 1)
        ]
    farm = greens_farm(keeps=[Keeps.GREENS])
    seedlings = move(crop="Lettuce", day=10, rows=1, cuts=())
    assert (
        "slots | Shelf 1 | 2026-03-02: T260302-01 holds Lettuce; the tier is kept for crops that are cut in "
        "their trays"
    ) in told(farm, plan_of(farm, move(), seedlings))


def test_slots_and_trays_owned_count_those_that_are_cut():
    full = greens_farm(tier_slots=1, open_trays=1, wash_days=2)
    assert [line.split(":")[0] for line in told(full, plan_of(full))] == [
        "slots | Shelf 1 | 2026-03-02",
        f"equipment | {OPEN} | 2026-03-02",
    ]


def test_a_lettuce_is_not_cut_in_its_tray_and_cress_not_on_a_raft():
    farm = greens_farm()
    plan = plan_of(farm, move(), move(crop="Lettuce", day=10, rows=1, cuts=()))
    cut = CutRow(unit="T260302-03", lot="LET-260302", day=10, number=1, plants=4, heads=0)
    message = "LET-260302 is cut from T260302-03, which holds none of it on a raft"
    found = told(farm, replace(plan, cuts=(*plan.cuts, cut)))
    assert f"bookkeeping | T260302-03 | 2026-03-12: {message}" in found
    raft = UnitRow(unit="R1", kind="6-hole raft", item="raft", enters=8, emptied=12, leaves=12)
    held = ContentRow(unit="R1", lot=LOT, plants=1, rows=0, enters=8, leaves=12, from_day=0)
    afloat = replace(plan, units=(*plan.units, raft), contents=(*plan.contents, held))
    assert any(
        line.startswith("whole units | R1") and "Cress has no such stage" in line
        for line in told(farm, afloat)
    )


def test_a_chain_names_the_trays_it_was_cut_from():
    farm = greens_farm()
    plan = plan_of(farm)
    assert audit(farm, plan) == []
    assert [str(f) for f in audit(farm, edit(plan, "chains", {"cut_day": 8}, trays=""))] == [
        f"bookkeeping | Cress 8 | 2026-03-10: chain of {LOT}: it is cut in its trays, T260302-01; T260302-02"
    ]


def test_what_grows_in_trays_is_cut_or_thrown_away():
    found = growing("Cress", StageKind.TRAY, -8, 2, 2, cuts_done=1, last_cut=-1)
    farm = greens_farm(growing=[found], demands=[delivery("Cress", 4, 3)])
    rest = move(sown=-8, growing=0, day=4, rows=0, plants=2, cuts=((2, 4),), tiers=("Shelf 1", "Shelf 2"))
    plan = plan_of(farm, rest, heads=((2, 4, 300),), sown=-8, growing=0)
    assert told(farm, plan) == []
    half = plan_of(farm, replace(rest, plants=1), heads=((2, 4, 100),), sown=-8, growing=0)
    assert told(farm, half) == []
    assert [lot.discarded for lot in half.lots] == [1]
    assert told(farm, edit(half, "lots", {"lot": "G"}, discarded=2)) == [
        "growing | G | 2026-03-02: 2 plants discarded, but 1 leave that day and go nowhere",
        "bookkeeping | G | 2026-03-02: tasks say to discard 1, the rows give 2",
    ]
    gone = drop(
        drop(drop(plan, "cuts", unit="T260222-01"), "contents", unit="T260222-01"), "units", unit="T260222-01"
    )
    assert any(
        "1 trays of G, 2 were found" in line
        for line in told(farm, drop(gone, "positions", unit="T260222-01"))
    )
