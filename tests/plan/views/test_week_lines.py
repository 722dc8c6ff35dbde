"""The lines of work sheets: each says whose plants, how many, where from and where to, as its rows do."""

from dataclasses import replace

import pytest
from farms import EVER, delivery, growing, make_crop, make_farm
from plans import Batch, build, edit
from reports import lines_of

from scheduler.farm.crops import StageKind
from scheduler.plan.rows import PositionRow, SupplyRow
from scheduler.plan.views.lines import ForWhom, Taken
from scheduler.plan.views.week import week_sheets

LOT = "LET-260302"


def lines(farm, plan, work):
    """Return (day, line) of all lines of a kind of work."""
    return [(day, line) for day, kind, line in lines_of(week_sheets(farm, plan)) if kind == work]


def stands(stacks):
    """Return (place, slots, plants in each) of stacks."""
    return [(stack.spot.place, stack.spot.slots, stack.plants) for stack in stacks]


def test_sowing_says_trays_rows_cells_seeds_and_how_long_they_stay_covered():
    handling = {"seeds_per_cell": 3, "soak_hours": 1400, "dark_days": 2, "dome_days": 4}
    farm = make_farm(crops=[make_crop("Lettuce", handling=handling)])
    plan = build(farm, Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 6),), rows=7))
    ((day, line),) = lines(farm, plan, "sow")
    assert (day, line.lot, line.variety, line.units) == (3, "LET-260305", "Lettuce one", 2)
    assert stands(line.targets) == [("Shelf 1", (1,), 20), ("Shelf 1", (2,), 8)]
    assert (line.rows, line.cells, line.seeds_per_cell, line.seeds) == (7, 28, 3, 84)
    assert (line.soaked, line.soak_hours, line.light_on, line.domes_off) == (2, 1400, 5, 7)


def test_seed_that_soaks_overnight_is_put_into_water_the_day_before_and_never_before_today():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"soak_hours": 1400})])
    later = Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 6),))
    found = lines(farm, build(farm, Batch(), later), "soak")
    assert [(day, line.sown, line.seeds) for day, line in found] == [(0, 0, 12), (2, 3, 12)]


def test_a_dome_that_another_lot_of_the_tray_needs_stays_on():
    crops = [make_crop("Lettuce", handling={"dome_days": 3}), make_crop("Basil", handling={"dome_days": 5})]
    farm = make_farm(crops=crops)
    plan = build(farm, Batch(rows=3), Batch(crop="Basil", rows=2))
    shared = replace(edit(plan, "contents", {"unit": "T2"}, unit="T1"), units=plan.units)
    found = [(day, line.crop, line.dome_until) for day, line in lines(farm, shared, "uncover")]
    assert found == [(3, "Lettuce", 5), (5, "Basil", None)]
    ((_, apart), _) = lines(farm, plan, "uncover")
    assert apart.dome_until is None


def test_trays_that_have_gone_on_are_not_thinned():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"thin_day": 10})])
    assert lines(farm, build(farm, Batch(board_day=11, raft_day=21, cuts=((35, 6),))), "thin")[0][0] == 10
    assert lines(farm, build(farm, Batch(board_day=10)), "thin") == []


def test_plants_go_from_their_trays_to_boards_and_what_stands_there_is_told():
    farm = make_farm()
    plan = build(farm, Batch(rows=5, boards=(12, 6), rafts=(6, 6, 6)))
    ((day, line),) = lines(farm, plan, "transplant")
    assert (day, line.plants, line.standing, line.cells, line.units) == (10, 18, 20, True, 2)
    assert stands(line.sources) == [("Shelf 1", (1,), 20)]
    assert stands(line.targets) == [("Trough boards", (1,), 12), ("Trough boards", (2,), 6)]
    assert line.turns == ()


def test_rafts_go_in_behind_those_of_the_row_and_by_turns_on_one_day():
    farm = make_farm(lanes=1, crops=[make_crop("Lettuce"), make_crop("Basil")])
    plan = build(farm, Batch(rafts=(6, 6)), Batch(crop="Basil", rows=2, boards=(8,), rafts=(5, 3)))
    found = lines(farm, plan, "raft")
    assert [(line.crop, stands(line.targets), line.turns, line.entering) for _, line in found] == [
        ("Lettuce", [("Trough 1", (1, 2), 6)], (1, 2), 4),
        ("Basil", [("Trough 1", (3,), 5), ("Trough 1", (4,), 3)], (3, 4), 4),
    ]
    assert stands(found[0][1].sources) == [("Trough boards", (1,), 12)]


def test_plants_without_boards_go_from_their_trays_to_rafts():
    farm = make_farm(crops=[make_crop("Lettuce", board=None)])
    plan = build(farm, Batch(board_day=None, raft_day=10, cuts=((24, 6),)))
    ((_, line),) = lines(farm, plan, "raft")
    assert stands(line.sources) == [("Shelf 1", (1,), 12)]
    assert (line.standing, line.cells) == (12, True)


def test_only_the_boards_of_the_day_the_plants_of_a_raft_came_from_are_its_source():
    farm = make_farm(lanes=2)
    early = Batch(board_day=10, rafts=(6, 6))
    late = Batch(board_day=12, rafts=(6,), boards=(6,), lane="Trough 2")
    found = lines(farm, build(farm, early, late), "raft")
    assert [stands(line.sources) for _, line in found] == [
        [("Trough boards", (1,), 12)],
        [("Trough boards", (2,), 6)],
    ]


def test_a_cut_says_rafts_slots_plants_and_for_whom():
    demands = [delivery("Lettuce", 34, 6), delivery("Lettuce", 35, 4, customer="The Salted Pear")]
    farm = make_farm(demands=demands)
    plan = build(farm, Batch(cuts=((34, 6),)), fills=[("Lettuce 34", LOT, 34, 6), ("Lettuce 35", LOT, 34, 4)])
    ((day, line),) = lines(farm, plan, "cut")
    assert (day, line.row.place, line.row.slots, line.plants, line.heads) == (34, "Trough 1", (1, 2), 12, 12)
    assert [(each.slot, each.plants, each.staying, each.leaves) for each in line.rafts] == [
        (1, 6, 0, 34),
        (2, 6, 0, 34),
    ]
    assert line.whom == (
        ForWhom(
            demand="Lettuce 34", order="Lettuce", customer="Harbour Table", product="Lettuce", day=34, heads=6
        ),
        ForWhom(
            demand="Lettuce 35",
            order="Lettuce",
            customer="The Salted Pear",
            product="Lettuce",
            day=35,
            heads=4,
        ),
    )
    assert line.spare == 2


def test_slots_of_a_cut_are_those_of_the_morning():
    farm = make_farm()
    plan = build(
        farm, Batch(rafts=(6,), cuts=((34, 6),)), Batch(sown=1, raft_day=21, rafts=(6,), cuts=((35, 6),))
    )
    found = lines(farm, plan, "cut")
    assert [(day, line.row.slots) for day, line in found] == [(34, (1,)), (35, (1,))]
    waiting = build(
        farm, Batch(rafts=(6,), cuts=((36, 6),)), Batch(sown=1, raft_day=21, rafts=(6,), cuts=((35, 6),))
    )
    assert [(day, line.row.slots) for day, line in lines(farm, waiting, "cut")] == [(35, (2,)), (36, (1,))]


def test_plants_that_are_cut_again_stay_and_an_empty_raft_may_have_to_wait():
    farm = make_farm(crops=[make_crop("Lettuce", cuts=2, interval=7), make_crop("Basil")])
    ahead = Batch(rafts=(6,), cuts=((34, 6), (41, 6)))
    behind = Batch(crop="Basil", raft_day=20, rafts=(6,), cuts=((34, 6),))
    found = {(day, line.crop): line.rafts[0] for day, line in lines(farm, build(farm, ahead, behind), "cut")}
    first, second, empty = found[34, "Lettuce"], found[41, "Lettuce"], found[34, "Basil"]
    assert (first.regrowing, first.staying, first.leaves) == (6, 6, 41)
    assert (second.regrowing, second.staying, second.leaves) == (0, 0, 41)
    assert (empty.regrowing, empty.staying, empty.leaves) == (0, 0, 41)


def test_rafts_are_taken_out_together_and_those_emptied_earlier_apart():
    farm = make_farm(crops=[make_crop("Lettuce", cuts=2, interval=7), make_crop("Basil")])
    ahead = Batch(rafts=(6,), cuts=((34, 6), (41, 6)))
    behind = Batch(crop="Basil", raft_day=20, rafts=(6,), cuts=((34, 6),))
    found = lines(farm, build(farm, ahead, behind), "out")
    assert [(day, line.row.slots, line.units, line.emptied, line.lifted) for day, line in found] == [
        (41, (1,), 1, 41, False),
        (41, (2,), 1, 34, False),
    ]


def test_a_raft_that_leaves_past_one_that_stays_is_lifted():
    farm = make_farm(
        rules={"lift_out": True}, crops=[make_crop("Lettuce", cuts=2, interval=7), make_crop("Basil")]
    )
    ahead = Batch(rafts=(6,), cuts=((34, 6), (41, 6)))
    behind = Batch(crop="Basil", raft_day=20, rafts=(6,), cuts=((34, 6),))
    plan = build(farm, ahead, behind)
    assert [(day, line.row.slots) for day, line in lines(farm, plan, "lift")] == [(34, (2,))]
    assert [(day, line.row.slots) for day, line in lines(farm, plan, "out")] == [(41, (1,))]


def test_plants_nobody_cuts_are_thrown_away_when_their_raft_is_emptied():
    farm = make_farm()
    plan = build(farm, Batch(rafts=(6, 6), cuts=((34, 4),)))
    ((day, line),) = lines(farm, plan, "discard")
    assert (day, line.lot, line.plants, line.overdue) == (34, LOT, 4, False)
    assert stands(line.sources) == [("Trough 1", (1, 2), 2)]


def test_what_grew_past_its_last_good_day_is_thrown_away_where_it_stands():
    found = growing("Lettuce", StageKind.BOARD, -30, 12, 1)
    farm = make_farm(growing=[found])
    batch = Batch(found=found, board_day=-30, raft_day=0, rafts=(), discarded=12, overdue=True)
    plan = build(farm, batch)
    stood = PositionRow(unit="B1", place="Trough boards", slot=1, enters=-30, until=0)
    ((day, line),) = lines(farm, replace(plan, positions=(*plan.positions, stood)), "discard")
    assert (day, line.plants, line.overdue) == (0, 12, True)
    # the book says in which zone boards were found, not in which slot
    assert stands(line.sources) == [("Trough boards", (), 12)]


def test_rafts_that_leave_on_the_first_day_stand_in_the_order_they_were_found_in():
    found = [growing("Lettuce", StageKind.RAFT, -20, 12, 2), growing("Lettuce", StageKind.RAFT, -14, 6, 1)]
    found[1] = replace(found[1], lot="H", order=2)
    farm = make_farm(growing=found)
    plan = build(
        farm,
        *(
            Batch(found=each, raft_day=each.since, cuts=((day, 6),))
            for each, day in zip(found, (0, 1), strict=True)
        ),
    )
    gone = [PositionRow(unit=name, place="Trough 1", slot=1, enters=-20, until=0) for name in ("R1", "R2")]
    plan = replace(plan, positions=(*gone, *(row for row in plan.positions if row.unit == "R3")))
    cut = [
        (day, line.lot, line.row.slots, [raft.slot for raft in line.rafts])
        for day, line in lines(farm, plan, "cut")
    ]
    assert cut == [(0, "G", (1, 2), [1, 2]), (1, "H", (1,), [1])]
    assert [(day, line.row.slots, line.units) for day, line in lines(farm, plan, "out")][0] == (0, (1, 2), 2)


def test_a_tray_whose_slot_closes_is_moved():
    farm = make_farm(tiers=2)
    plan = build(farm, Batch())
    first = next(row for row in plan.positions if row.unit == "T1")
    moved = (replace(first, until=5), replace(first, place="Shelf 2", slot=3, enters=5))
    plan = replace(plan, positions=(*moved, *(row for row in plan.positions if row.unit != "T1")))
    ((day, line),) = lines(farm, plan, "move")
    assert (day, line.lots, line.source.place, line.target.place, line.target.slots) == (
        5,
        (LOT,),
        "Shelf 1",
        "Shelf 2",
        (3,),
    )
    ((_, planted),) = lines(farm, plan, "transplant")
    assert stands(planted.sources) == [("Shelf 2", (3,), 12)]


def test_what_leaves_its_place_is_washed_and_what_is_never_washed_is_not():
    farm = make_farm(wash_days=2)
    found = [
        (day, line.item, line.units, line.free) for day, line in lines(farm, build(farm, Batch()), "wash")
    ]
    assert found == [(10, "tray", 1, 12), (20, "board", 1, 22), (34, "raft", 2, 36)]
    assert lines(make_farm(), build(make_farm(), Batch()), "wash") == []


def test_a_delivery_names_the_lots_in_it_and_when_they_were_cut():
    farm = make_farm(demands=[delivery("Lettuce", 35, 9)])
    second = Batch(sown=1, board_day=11, raft_day=21, cuts=((35, 6),))
    plan = build(
        farm, Batch(), second, fills=[("Lettuce 35", "LET-260303", 35, 3), ("Lettuce 35", LOT, 34, 6)]
    )
    ((_, line),) = lines(farm, plan, "deliver")
    assert (line.customer, line.product, line.filled, line.amount, line.pack) == (
        "Harbour Table",
        "Lettuce",
        9,
        9,
        "head",
    )
    assert line.taken == (
        Taken(lot=LOT, crop="Lettuce", cut_day=34, heads=6),
        Taken(lot="LET-260303", crop="Lettuce", cut_day=35, heads=3),
    )


@pytest.mark.parametrize(("order_by", "day"), [(-4, 2), (1, 2), (5, 5)])
def test_an_order_stands_on_its_day_or_today(order_by, day):
    farm = make_farm(today=2)
    row = SupplyRow(
        item="Lettuce seed",
        kind="seed",
        crop_or_product="Lettuce",
        order_by=order_by,
        arrive_by=9,
        covers_until=20,
        needed=400,
        packs=1,
        amount=500,
        cost=700,
        late=order_by < 2,
    )
    plan = replace(build(farm), supplies=(row,))
    ((found, line),) = lines(farm, plan, "order")
    assert (found, line.packs, line.amount, line.needed_from, line.late) == (day, 1, 500, 9, order_by < 2)


def test_rows_of_a_trough_are_numbered_in_the_order_of_the_book():
    farm = make_farm(tiers=2, lanes=3, zone_slots=((EVER, 8),))
    plan = build(farm, Batch(lane="Trough 3"))
    ((_, cut),) = lines(farm, plan, "cut")
    assert (cut.row.owner, cut.row.number) == ("Trough", 3)
