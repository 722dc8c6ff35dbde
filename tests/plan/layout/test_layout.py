"""Hand-made amounts laid out: each plan passes the audit and stands as a grower would stand it."""

from dataclasses import replace

import pytest
from farms import EVER, delivery, make_crop, make_farm
from plan.layout.amounts import Batch, decided, held, laid, stands, tasks, units

from scheduler.farm.calendar import Work
from scheduler.farm.places import Steps
from scheduler.plan.audit import audit
from scheduler.plan.decided import Decided
from scheduler.plan.layout import lay_out


def test_a_straight_chain_is_followed_from_the_delivery_back_to_its_tray():
    farm = make_farm(demands=[delivery("Lettuce", 34, 12)])
    plan = laid(farm, Batch(), fills=[("Lettuce", 34, "Lettuce 34", 12)])
    (chain,) = plan.chains
    assert (chain.heads, chain.rafts, chain.lane) == (12, "R260322-01; R260322-02", "Trough 1")
    assert (chain.boards, chain.trays) == ("B260312-01", "T260302-01")
    assert (chain.sow_day, chain.board_day, chain.raft_day, chain.cut_day) == (0, 10, 20, 34)
    assert [row.state for row in plan.demands] == ["filled"]
    assert [(task.work, task.day) for task in plan.tasks] == [
        ("sow", 0),
        ("transplant", 10),
        ("raft", 20),
        ("cut", 34),
        ("deliver", 34),
    ]


def test_lots_sown_on_one_day_share_a_tray_and_the_tray_waits_for_its_last_rows():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")])
    batches = Batch(rows=3), Batch(crop="Kale", rows=2, plants=6, board_day=12, raft_day=22, cuts=((36, 6),))
    plan = laid(farm, *batches)
    (tray,) = units(plan, "tray")
    assert held(plan, "tray") == [[("KAL-260302", 8), ("LET-260302", 12)]]
    assert tray.leaves == 12


def test_lots_have_trays_of_their_own_where_trays_are_not_shared():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")], rules={"share_trays": False})
    plan = laid(farm, Batch(rows=3), Batch(crop="Kale", rows=2, plants=6, cuts=((34, 6),)))
    assert sorted(held(plan, "tray")) == [[("KAL-260302", 8)], [("LET-260302", 12)]]


def test_rows_that_leave_trays_first_are_packed_apart_so_that_trays_come_free():
    farm = make_farm()
    early = Batch(rows=5, plants=18, cuts=((34, 18),))
    late = Batch(rows=5, plants=18, board_day=12, raft_day=22, cuts=((36, 18),))
    plan = laid(farm, early, late)
    assert [unit.leaves for unit in units(plan, "tray")] == [12, 10]


def test_boards_of_one_lot_that_go_on_rafts_on_two_days_are_packed_by_that_day():
    farm = make_farm(zone_slots=2)
    first = Batch(rows=4, plants=12)
    second = Batch(rows=4, plants=10, raft_day=22, cuts=((36, 10),))
    plan = laid(farm, first, second)
    assert held(plan, "board") == [[("LET-260302", 10), ("LET-260302", 2)], [("LET-260302", 10)]]
    assert [unit.leaves for unit in units(plan, "board")] == [22, 20]


def test_crops_at_one_spacing_share_boards_and_rafts_only_where_the_farm_allows_it():
    crops = [make_crop("Lettuce"), make_crop("Kale")]
    batches = Batch(plants=9, cuts=((34, 9),)), Batch(crop="Kale", plants=9, cuts=((34, 9),))
    apart = laid(make_farm(crops=crops), *batches)
    shared = laid(make_farm(crops=crops, rules={"share_boards": True, "share_rafts": True}), *batches)
    assert [len(units(apart, "board")), len(units(apart, "raft"))] == [2, 4]
    assert [len(units(shared, "board")), len(units(shared, "raft"))] == [2, 3]
    assert any(len(row) == 2 for row in held(shared, "raft"))


def test_a_raft_cut_over_several_days_leaves_with_its_last_plants():
    farm = make_farm(demands=[delivery("Lettuce", 34, 4), delivery("Lettuce", 38, 8)])
    fills = [("Lettuce", 34, "Lettuce 34", 4), ("Lettuce", 38, "Lettuce 38", 8)]
    plan = laid(farm, Batch(cuts=((34, 4), (38, 8))), fills=fills)
    assert [unit.leaves for unit in units(plan, "raft")] == [38, 38]
    # Plants cut last fill a raft of their own, so the other can leave as soon as it may.
    assert sorted((row.day, row.plants) for row in plan.cuts) == [(34, 4), (38, 2), (38, 6)]
    assert [row.filled for row in plan.demands] == [4, 8]


def test_losses_leave_whole_heads_that_never_run_ahead_of_the_plants_cut():
    crop = make_crop("Lettuce", raft=(14, 6, 9500), saleable=9000)
    plan = laid(make_farm(crops=[crop]), Batch(cuts=((34, 5), (36, 7))))
    by_day = {day: sum(row.heads for row in plan.cuts if row.day == day) for day in (34, 36)}
    # 0.855 of 5 is 4; of all 12 it is 10.
    assert by_day == {34: 4, 36: 6}


def test_heads_promised_for_a_later_day_are_kept_back_on_days_nobody_asked_for_them():
    crop = make_crop("Lettuce", saleable=5000)
    farm = make_farm(crops=[crop], demands=[delivery("Lettuce", 36, 4)])
    plan = laid(farm, Batch(cuts=((34, 4), (36, 7))), fills=[("Lettuce", 36, "Lettuce 36", 4)])
    # 4 plants may give 2 heads, all 11 give 5; the 4 of the last 7 leave 1 for the first day.
    assert [row.filled for row in plan.demands] == [4]
    assert sum(row.heads for row in plan.cuts) == 5


@pytest.mark.parametrize("asked", [0, 3])
def test_heads_set_aside_of_a_cut_are_no_more_than_deliveries_ask_of_it(asked):
    farm = make_farm(demands=[delivery("Lettuce", 34, asked)] if asked else [])
    fills = [("Lettuce", 34, "Lettuce 34", asked)] if asked else []
    amounts = decided(farm, Batch(), fills=fills)
    aside = tuple(replace(batch, heads=((1, 34, 5),)) for batch in amounts.raft_batches)
    plan = lay_out(farm, replace(amounts, raft_batches=aside), (), {})
    assert [str(fault) for fault in audit(farm, plan)] == []
    assert sum(row.filled for row in plan.demands) == asked
    assert sum(row.heads for row in plan.cuts) == 12


def test_plants_are_cut_again_in_the_order_they_were_cut_first():
    crop = make_crop("Basil", board=None, cuts=3, interval=7, raft=(14, 6, 10_000))
    steps = (
        (1, 24, None, 6),
        (1, 26, None, 6),
        (2, 31, 24, 4),
        (2, 33, 26, 6),
        (3, 40, 31, 4),
    )
    batch = Batch(
        crop="Basil", board_day=None, raft_day=10, steps=steps, gone=((24, 2), (33, 6), (40, 4)), cuts=()
    )
    plan = laid(make_farm(crops=[crop]), batch)
    assert [unit.emptied for unit in units(plan, "raft")] == [33, 40]
    assert [unit.leaves for unit in units(plan, "raft")] == [33, 40]
    total = {number: sum(row.plants for row in plan.cuts if row.number == number) for number in (1, 2, 3)}
    assert total == {1: 12, 2: 10, 3: 4}


def test_two_rows_of_a_bundle_keep_one_crop_each():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale", raft=(14, 20, 10_000))], lanes=2)
    both = ("Trough 1", "Trough 2")
    batches = [
        Batch(
            crop=crop,
            sown=sown,
            board_day=10 + sown,
            raft_day=20 + sown,
            cuts=((34 + sown, 12),),
            lanes=both,
        )
        for sown in (0, 4, 8)
        for crop in ("Lettuce", "Kale")
    ]
    plan = laid(farm, *batches)
    lane_of = {row.unit: row.place for row in plan.positions}
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    rows = {(crop_of[row.lot], lane_of[row.unit]) for row in plan.contents if row.unit.startswith("R")}
    assert len(rows) == 2


def test_a_raft_cut_empty_keeps_its_slot_until_those_ahead_of_it_have_left():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")])
    slow = Batch(crop="Kale", plants=6, cuts=((40, 6),))
    quick = Batch(sown=1, board_day=11, raft_day=21, plants=6, cuts=((36, 6),), leaves=40)
    plan = laid(farm, slow, quick)
    assert [(unit.emptied, unit.leaves) for unit in units(plan, "raft")] == [(40, 40), (36, 40)]


def test_a_raft_that_may_be_lifted_out_leaves_when_it_is_empty_and_that_is_a_task():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")], rules={"lift_out": True})
    slow = Batch(crop="Kale", plants=6, cuts=((40, 6),))
    quick = Batch(sown=1, board_day=11, raft_day=21, plants=6, cuts=((36, 6),))
    plan = laid(farm, slow, quick)
    assert [unit.leaves for unit in units(plan, "raft")] == [40, 36]
    (lift,) = tasks(plan, "lift")
    assert (lift.day, lift.lot, lift.where) == (36, "LET-260303", "Trough 1 slot 2")


def test_rafts_close_up_towards_the_harvest_end():
    farm = make_farm()
    first = Batch(plants=12, cuts=((34, 12),))
    second = Batch(sown=2, board_day=12, raft_day=22, plants=6, cuts=((36, 6),))
    plan = laid(farm, first, second)
    last = units(plan, "raft")[-1]
    assert stands(plan, last.unit) == [("Trough 1", 3, 22, 34), ("Trough 1", 1, 34, 36)]


def test_rows_whose_slots_close_later_are_filled_evenly_in_good_time():
    slots = ((EVER, 6), (30, 3))
    crops = [make_crop("Lettuce"), make_crop("Kale")]
    farm = make_farm(crops=crops, lanes=2, lane_slots=slots)
    both = ("Trough 1", "Trough 2")
    # Six rafts for two rows of three: a row that keeps its crop would end with four of them.
    batches = (
        Batch(crop="Lettuce", rows=6, plants=24, cuts=((34, 24),), lanes=both),
        Batch(crop="Kale", sown=1, board_day=11, raft_day=21, cuts=((35, 12),), lanes=both),
    )
    plan = laid(farm, *batches)
    used = {row.place: row.used for row in plan.use if row.day == 31}
    assert (used["Trough 1"], used["Trough 2"]) == (3, 3)


def test_a_board_moves_on_the_day_its_zone_closes_and_another_opens():
    farm = make_farm(zones=2)
    slots = {"Trough boards": Steps(((EVER, 1), (15, 0))), "Trough boards 2": Steps(((EVER, 0), (15, 1)))}
    places = tuple(replace(place, slots=slots.get(place.name, place.slots)) for place in farm.places)
    farm = replace(farm, places=places)
    plan = laid(farm, Batch(zones=("Trough boards", "Trough boards 2")))
    (board,) = units(plan, "board")
    assert stands(plan, board.unit) == [("Trough boards", 1, 10, 15), ("Trough boards 2", 1, 15, 20)]


def test_the_same_amounts_in_another_order_give_the_same_plan():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")])
    amounts = decided(farm, Batch(), Batch(crop="Kale", plants=6, cuts=((34, 6),)))
    turned = Decided(
        **{name: tuple(reversed(getattr(amounts, name))) for name in amounts.__dataclass_fields__}
    )
    assert lay_out(farm, amounts, (), {}) == lay_out(farm, turned, (), {})


def test_rafts_that_leave_on_closed_days_or_enter_on_work_days_only_keep_the_rules():
    farm = make_farm(work_days={Work.HARVEST: [6], Work.RAFT: [0, 6]})
    plan = laid(farm, Batch(raft_day=20, cuts=((34, 12),)))
    assert [unit.leaves for unit in units(plan, "raft")] == [34, 34]
