"""How plants are packed, followed from cut to cut, put into slots, and named."""

from collections import Counter
from dataclasses import replace

import pytest
from farms import EVER, growing, make_crop, make_farm
from plan.layout.amounts import Batch, decided

from scheduler.farm.crops import StageKind
from scheduler.farm.growth.pace import Pace
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.plan.audit import audit
from scheduler.plan.decided import CutAmount, Decided, RaftBatch, RaftLeave
from scheduler.plan.layout import lay_out
from scheduler.plan.layout.flows import portions
from scheduler.plan.layout.slots import give_slots
from scheduler.plan.layout.units import Part, Unit, longest_first, pack, pack_found
from scheduler.plan.layout.words import slots_in_words


def part(amount, leaves=10, **given):
    return Part(**({"lot": "A", "crop": "Lettuce", "amount": amount, "leaves": leaves} | given))


def sizes(units):
    return [sum(part.amount for part in unit) for unit in units]


def test_only_the_last_unit_is_part_filled():
    assert sizes(pack([part(7), part(6)], 5)) == [5, 5, 3]


def test_parts_that_stay_longest_come_first_and_empty_ones_not_at_all():
    assert [p.leaves for p in longest_first([part(1, 3), part(0, 99), part(2, 8)])] == [8, 3]


@pytest.mark.parametrize(
    ("plants", "units", "held"),
    [(10, 4, [3, 3, 3, 1]), (9, 4, [3, 3, 2, 1]), (8, 4, [2, 2, 2, 2]), (4, 4, [1, 1, 1, 1]), (5, 1, [5])],
)
def test_what_was_found_in_some_units_fills_as_many_and_leaves_none_empty(plants, units, held):
    assert sizes(pack_found([part(plants)], units)) == held


def batch(cuts, gone, plants):
    return RaftBatch(
        crop="Basil",
        sown=0,
        growing=-1,
        from_day=0,
        board_day=None,
        day=10,
        plants=plants,
        cuts=tuple(
            CutAmount(number=n, day=day, after=after, plants=number) for n, day, after, number in cuts
        ),
        gone=gone,
        thrown=0,
    )


def test_plants_cut_first_are_cut_again_first():
    # Both first cuts meet in the second; of it, the earlier ones go on first.
    cuts = (
        (1, 24, None, 4),
        (1, 26, None, 5),
        (2, 33, 24, 4),
        (2, 33, 26, 5),
        (3, 40, 33, 4),
        (3, 42, 33, 5),
    )
    found = portions(batch(cuts, ((40, 4), (42, 5)), 9))
    assert found == [
        (4, ((1, 24), (2, 33), (3, 40)), 40),
        (5, ((1, 26), (2, 33), (3, 42)), 42),
    ]


def test_plants_that_are_never_cut_leave_on_the_days_no_cut_explains():
    assert portions(batch(((1, 24, None, 4),), ((3, 2), (24, 4)), 6)) == [(4, ((1, 24),), 24), (2, (), 3)]


def tray(enters, leaves, home=("Shelf 1",), **given):
    return Unit(
        item="tray",
        kind="20-cell tray",
        enters=enters,
        parts=[part(1, leaves)],
        places=("Shelf 1", "Shelf 2"),
        home=home,
        leaves=leaves,
        **given,
    )


def test_slots_that_close_soon_are_for_trays_that_leave_before_that():
    farm = make_farm(tiers=2, tier_slots=((EVER, 2), (10, 1)))
    trays = [tray(0, 8), tray(1, 20)]
    give_slots(farm, PlaceKind.TIER, trays)
    assert [[stand.slot for stand in each.stands] for each in trays] == [[2], [1]]


def test_trays_found_on_a_named_tier_keep_it_before_those_that_may_stand_on_any():
    farm = make_farm(tiers=2, tier_slots=1)
    anywhere = tray(-3, 5, home=("Shelf 1", "Shelf 2"), growing=0)
    named = tray(-3, 5, growing=1)
    give_slots(farm, PlaceKind.TIER, [anywhere, named])
    assert [each.stands[0].place for each in (anywhere, named)] == ["Shelf 2", "Shelf 1"]


def test_trays_that_leave_before_the_first_days_work_stood_in_slots_of_their_own():
    farm = make_farm(tiers=1, tier_slots=3)
    gone = [tray(-14, 0, growing=0), tray(-14, 0, growing=0)]
    stays, new = tray(-3, 5, growing=1), tray(0, 5)
    give_slots(farm, PlaceKind.TIER, [*gone, stays, new])
    assert sorted(each.stands[0].slot for each in (*gone, stays)) == [1, 2, 3]
    assert [each.stands[0].until for each in gone] == [0, 0]
    assert new.stands[0].slot in {each.stands[0].slot for each in gone}


def test_trays_of_one_lot_stand_together():
    farm = make_farm(tiers=2, tier_slots=4)
    trays = [tray(0, 9, home=("Shelf 2",)), tray(1, 9, home=("Shelf 1", "Shelf 2"))]
    give_slots(farm, PlaceKind.TIER, trays)
    assert trays[1].stands[0].place == "Shelf 2"


def test_batches_float_where_the_pace_fits_their_cuts():
    crop = make_crop("Lettuce", raft=(14, 3, 10_000))
    farm = make_farm(crops=[crop], lanes=2)
    cold = Place(name="Trough 2", belongs_to="Cold", kind=PlaceKind.LANE, slots=Steps(((EVER, 6),)))
    places = tuple(cold if place.name == "Trough 2" else place for place in farm.places)
    pace = Pace(first_day=farm.calendar.first_day, months={"Cold": dict.fromkeys(range(1, 13), 500)})
    farm = replace(farm, places=places, pace=pace)
    quick, slow = (
        Batch(sown=1, board_day=11, raft_day=21, lanes=("Trough 1",), cuts=((35, 12),)),
        Batch(raft_day=21, lanes=("Trough 2",), cuts=((50, 12),)),
    )
    plan = lay_out(farm, decided(farm, quick, slow), (), {})
    assert audit(farm, plan) == []
    assert {row.place for row in plan.positions if row.until > 40} == {"Trough 2"}


@pytest.mark.parametrize("named", [0, 1])
def test_batches_that_fit_several_paces_float_in_the_rows_they_were_meant_for(named):
    farm = make_farm(crops=[make_crop("Lettuce", raft=(14, 20, 10_000))], lanes=2)
    cool = Place(name="Trough 2", belongs_to="Cool", kind=PlaceKind.LANE, slots=Steps(((EVER, 6),)))
    places = tuple(cool if place.name == "Trough 2" else place for place in farm.places)
    pace = Pace(first_day=farm.calendar.first_day, months={"Cool": dict.fromkeys(range(1, 13), 900)})
    farm = replace(farm, places=places, pace=pace)
    rows = ("Trough 1", "Trough 2") if named else ("Trough 2", "Trough 1")
    amounts = decided(
        farm,
        Batch(raft_day=21, lanes=rows[:1], plants=6, cuts=((40, 6),)),
        Batch(sown=1, board_day=11, raft_day=21, lanes=rows[1:], rows=5, plants=18, cuts=((40, 18),)),
    )
    batches = tuple(
        replace(batch, lanes=(row,)) for batch, row in zip(amounts.raft_batches, rows, strict=True)
    )
    plan = lay_out(farm, replace(amounts, raft_batches=batches), (), {})
    assert audit(farm, plan) == []
    rafts = {row.unit for row in plan.units if row.item == "raft"}
    stood = Counter(row.place for row in plan.positions if row.unit in rafts)
    assert stood == {rows[0]: 1, rows[1]: 3}


def test_days_of_one_lot_share_a_raft_where_rafts_are_shared():
    farm = make_farm(rules={"share_rafts": True})
    batches = [Batch(board_day=day, raft_day=22, plants=9, cuts=((36, 9),)) for day in (10, 12)]
    plan = lay_out(farm, decided(farm, *batches), (), {})
    assert audit(farm, plan) == []
    assert sum(unit.item == "raft" for unit in plan.units) == 3


def test_rafts_planned_and_not_needed_are_dropped_the_earliest_first():
    farm = make_farm()
    amounts = decided(farm, Batch(leaves=36))
    spare = RaftLeave(crop="Lettuce", growing=-1, lanes=("Trough 1",), enters=20, leaves=34, rafts=2)
    more = replace(amounts, raft_leaves=(spare, *amounts.raft_leaves))
    assert lay_out(farm, more, (), {}) == lay_out(farm, amounts, (), {})


def test_rafts_nothing_was_planned_for_stand_where_their_crop_may():
    farm = make_farm(crops=[make_crop("Lettuce", lanes=("Trough 2",))], lanes=2)
    amounts = replace(decided(farm, Batch()), raft_leaves=())
    plan = lay_out(farm, amounts, (), {})
    assert audit(farm, plan) == []


def test_names_are_unlike_over_years_and_with_what_grows_already():
    rows = [growing("Lettuce", StageKind.TRAY, 0, 20, 1)]
    nothing = Decided(tray_moves=(), board_moves=(), raft_batches=(), raft_leaves=(), fills=())
    farm = make_farm(growing=rows, days=500)
    long = [Batch(sown=s, board_day=10 + s, raft_day=20 + s, cuts=((34 + s, 12),)) for s in (0, 365)]
    plan = lay_out(farm, decided(farm, *long, more=nothing), (), {})
    names = [unit.unit for unit in plan.units]
    assert len(set(names)) == len(names)
    assert {"T260302-01", "T260302-02", "T270302-01"} <= set(names)


def test_more_than_fits_is_still_written_down_for_the_audit_to_find():
    farm = make_farm(zone_slots=1)
    plan = lay_out(farm, decided(farm, Batch(rows=10, boards=36)), (), {})
    assert {fault.rule for fault in audit(farm, plan)} == {"slots"}


@pytest.mark.parametrize(
    ("slots", "words"), [([3], "slot 3"), ([4, 1, 2, 3, 6], "slots 1-4, 6"), ([2, 5], "slots 2, 5")]
)
def test_slots_are_said_in_runs(slots, words):
    assert slots_in_words(slots) == words
