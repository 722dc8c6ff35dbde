"""What a plan comes to in cost and points, worked out by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest
from farms import chore, delivery, growing, make_crop, make_farm, market
from plans import Batch, build, edit

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Substitute
from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.exact import CLEARED, EDITION, KEY
from scheduler.plan.rows import LotRow
from scheduler.plan.sale_rows import SaleRow
from scheduler.plan.worth import cost, points

ORDER = delivery("Lettuce", 34, 6)
FILL = ("Lettuce 34", "LET-260302", 34, 6)
CROP = make_crop("Lettuce", handling={"seed_cost": 500_00}, minutes={"sow": 20_00, "raft": 6_00, "cut": 2_00})


def one_batch(fills=(FILL,), costs=None, rafts=(6,), crop=CROP, **needs):
    """A lot of 12 cells in 3 rows: a tray to day 10, a board to day 20, a raft to day 34 and its cut."""
    farm = make_farm(crops=[crop], demands=[ORDER], costs=costs or {}, **needs)
    return farm, build(farm, Batch(rafts=rafts), fills=fills)


@pytest.mark.parametrize(
    ("costs", "wanted"),
    [
        ({}, 0),
        ({"lot": 150}, 150),
        ({"tray": 50}, 50),
        ({"board": 30}, 30),
        ({"raft": 20}, 20),
        ({"tray_slot_day": 2}, 10 * 2),
        ({"board_slot_day": 3}, 10 * 3),
        ({"raft_slot_day": 5}, 14 * 5),
        ({"bed_slot_day": 100, "discarded_plant": 100}, 0),
        ({"hour": 60_00}, (12 * 1 + 6 * 1 + 6 * 2) * 100),
    ],
)
def test_each_price_counts_what_is_done(costs, wanted):
    seed = Fraction(12 * 500_00, 1000)
    assert cost(*one_batch(costs=costs)) == seed + wanted


def test_chores_cost_nothing_for_they_are_the_same_in_every_plan():
    farm, plan = one_batch(costs={"hour": 60_00})
    assert cost(replace(farm, chores=(chore(3, 60_00),)), plan) == cost(farm, plan)


@pytest.mark.parametrize(("given", "left"), [(6, 0), (5, 1), (0, 6)])
def test_heads_that_are_cut_and_go_nowhere_are_wasted(given, left):
    fills = [(*FILL[:3], given)] if given else []
    free = replace(CROP, handling=make_crop("x").handling)
    assert cost(*one_batch(fills, {"wasted_plant": 25}, crop=free)) == left * 25


def test_what_losses_take_of_plants_that_are_cut_is_no_waste():
    lossy = make_crop("Lettuce", raft=(14, 6, 5_000))
    assert cost(*one_batch([(*FILL[:3], 3)], {"wasted_plant": 25}, crop=lossy)) == 0
    assert cost(*one_batch([(*FILL[:3], 2)], {"wasted_plant": 25}, crop=lossy)) == 25


def test_what_stood_there_on_the_first_day_counts_from_then_on():
    found = growing("Lettuce", StageKind.RAFT, -8, 6, 1)
    prices = {"raft": 20, "raft_slot_day": 5, "lot": 150, "discarded_plant": 7}
    farm = make_farm(demands=[delivery("Lettuce", 6, 6)], growing=[found], costs=prices)
    plan = build(farm, Batch(found=found, rafts=(), cuts=((6, 6),)), fills=[("Lettuce 6", "G", 6, 6)])
    assert cost(farm, plan) == 6 * 5
    assert points(farm, plan) == 6
    thrown = replace(plan, lots=(replace(plan.lots[0], discarded=2),))
    assert cost(farm, thrown) == 6 * 5 + 2 * 7


def left_on_board(rafts, survival=10_000, discarded=0, edition=EDITION):
    """What a plan pays for 12 plants found on a board, of which some are set out on day 2, at 7 a plant."""
    found = growing("Lettuce", StageKind.BOARD, -8, 12, 1, place="Trough boards")
    crop = make_crop("Lettuce", board=(10, 3, survival))
    farm = make_farm(crops=[crop], growing=[found], costs={"discarded_plant": 7})
    day = 0 if discarded else 2
    plan = build(farm, Batch(found=found, raft_day=day, rafts=rafts, cuts=((16, 6),), discarded=discarded))
    return cost(farm, replace(plan, made={KEY: edition}))


def test_what_is_thrown_away_on_a_later_day_costs_as_on_the_first():
    assert left_on_board(()) == left_on_board((), discarded=12) == 12 * 7
    assert left_on_board((6,)) == left_on_board((6,), discarded=6) == 6 * 7
    assert left_on_board((6, 6)) == 0


def test_what_losses_take_of_what_is_set_out_is_not_thrown_away():
    assert left_on_board((6,), survival=5_000) == 0
    assert left_on_board((5,), survival=5_000) == 2 * 7
    assert left_on_board((), survival=5_000) == 12 * 7
    assert left_on_board((5,), survival=9_000) == Fraction(12 * 9 - 50, 9) * 7


def test_seedlings_that_are_moved_onto_boards_and_left_there_are_thrown_away_too():
    found = growing("Lettuce", StageKind.TRAY, -8, 12, 1)
    farm = make_farm(growing=[found], costs={"discarded_plant": 7})
    batch = Batch(found=found, board_day=2, boards=(10,), raft_day=12, rafts=(6,), cuts=((26, 6),))
    plan = replace(build(farm, batch), made={KEY: EDITION})
    assert cost(farm, plan) == (2 + 4) * 7


def test_a_table_edited_by_hand_comes_to_a_cost_wherever_its_plants_stand():
    found = growing("Lettuce", StageKind.TRAY, -8, 12, 1)
    farm = make_farm(growing=[found], costs={"discarded_plant": 7})
    batch = Batch(found=found, board_day=2, boards=(12,), raft_day=12, rafts=(6, 6), cuts=((26, 6),))
    plan = replace(build(farm, batch), made={KEY: EDITION})
    assert cost(farm, plan) == 0
    strange = edit(plan, "units", {"item": "board"}, item="tray", kind="20-cell tray")
    assert cost(farm, strange) == 0
    unknown = edit(strange, "lots", {"lot": "G"}, origin="sown", discarded=3)
    assert cost(farm, unknown) == 3 * 7


def test_a_plan_made_before_pays_for_the_first_day_alone():
    assert left_on_board((), edition=CLEARED) == 0
    assert left_on_board((), discarded=12, edition=CLEARED) == 12 * 7


def test_what_the_plan_sows_itself_is_paid_as_seed_and_not_as_thrown_away():
    farm, plan = one_batch(costs={"discarded_plant": 7}, rafts=())
    assert cost(farm, replace(plan, made={KEY: EDITION})) == Fraction(12 * 500_00, 1000)


def test_today_may_be_later_than_the_first_day():
    farm, plan = one_batch(costs={"raft_slot_day": 5, "tray_slot_day": 2}, crop=make_crop("Lettuce"))
    later = replace(farm, today=12)
    assert cost(later, plan) == 14 * 5
    assert cost(replace(farm, today=25), plan) == 9 * 5


def test_points_of_what_there_is_to_look_after():
    # a lot, a tray and a board, 3 rows, 12 plants set on the board and 6 on the raft, which stays 14 days
    assert points(*one_batch()) == 200 + 2 * 40 + 3 * 4 + 12 + 6 + 14


def test_a_bed_counts_its_positions_by_the_day_to_the_end_of_clean_up():
    crop = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000))
    farm = make_farm(crops=[crop], beds={"Bed": 8}, costs={"bed_slot_day": 3, "wasted_plant": 100})
    lot = LotRow(
        lot="T", crop="Tomato", origin="sown", sown=0, cells=0, seeds=0, plants=2, discarded=0, overdue=False
    )
    planting = PlantingRow(
        planting="P1", lot="T", bed="Bed", positions="1-2", plants=2, from_day=0, enters=3, leaves=20, free=23
    )
    picked = PickingRow(planting="P1", day=8, number=1, heads=4)
    empty = build(farm)
    plan = replace(empty, lots=(lot,), plantings=(planting,), pickings=(picked,))
    assert cost(farm, plan) == 20 * 2 * 3
    assert points(farm, plan) == 200 + 2 * 4


def test_what_a_substitute_brings_less_counts_and_its_rank():
    second = Substitute(product="Lettuce", rank=2, price=150)
    wanted = delivery("Kale", 34, 6, price=180, substitutes=(second,))
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")], demands=[wanted])
    plan = build(farm, Batch(rafts=(6,)), fills=[("Kale 34", "LET-260302", 34, 5, "Lettuce")])
    assert cost(farm, plan) == 5 * 30
    assert points(farm, plan) == points(*one_batch()) + 5 * 2 * 1000
    dearer = replace(wanted, substitutes=(replace(second, price=200),))
    assert cost(replace(farm, demands=(dearer,)), plan) == 0


def test_what_outlets_bring_is_taken_off():
    farm = make_farm(outlets=[market("Lettuce", (34,), (4, 200), (4, 120))])
    sale = SaleRow(
        outlet="Market", product="Lettuce", day=34, crop="Lettuce", lot="LET-260302", cut_day=34, heads=6
    )
    plan = replace(build(farm, Batch(rafts=(6,))), sales=(sale,))
    assert cost(farm, plan) == -(4 * 200 + 2 * 120)
