"""Plants that are there for losses alone: cut with the others of their raft where nothing forbids it."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm
from plan.layout.amounts import Batch, laid, tasks

from scheduler.farm.places import Steps

CROP = make_crop("Lettuce", saleable=9000)
TWICE = make_crop("Lettuce", saleable=9000, cuts=2, interval=7)


def cuts(plan):
    """Day, cut number, plants and heads of every cut."""
    return [(row.day, row.number, row.plants, row.heads) for row in plan.cuts]


def test_a_spare_plant_is_cut_on_the_day_of_the_others_of_its_raft():
    farm = make_farm(crops=[CROP], demands=[delivery("Lettuce", 36, 5)])
    plan = laid(
        farm, Batch(plants=6, boards=8, cuts=((34, 1), (36, 5))), fills=[("Lettuce", 36, "Lettuce 36", 5)]
    )
    assert cuts(plan) == [(36, 1, 6, 5)]
    assert [(task.day, task.note) for task in tasks(plan, "cut")] == [
        (36, "6 plants; 5 for Lettuce 36 (Harbour Table)")
    ]
    assert [(row.plants, row.leaves) for row in plan.contents if row.unit.startswith("R")] == [(6, 36)]


def test_a_spare_plant_that_is_cut_twice_goes_with_the_others_both_times():
    steps = ((1, 34, None, 1), (1, 36, None, 5), (2, 41, 34, 1), (2, 43, 36, 5))
    plan = laid(
        make_farm(crops=[TWICE]), Batch(plants=6, boards=8, steps=steps, gone=((41, 1), (43, 5)), cuts=())
    )
    assert cuts(plan) == [(36, 1, 6, 5), (43, 2, 6, 5)]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (6, [(34, "Trough 1", 1, 0), (34, "Trough 2", 6, 6), (36, "Trough 1", 5, 4)]),
        (5, [(34, "Trough 2", 6, 5), (36, "Trough 1", 6, 5)]),
    ],
)
def test_a_plant_is_not_cut_later_where_another_raft_counts_on_its_part_of_a_head(asked, found):
    farm = make_farm(crops=[CROP], demands=[delivery("Lettuce", 34, asked)], lanes=2)
    mixed = Batch(plants=6, boards=8, rows=2, cuts=((34, 1), (36, 5)))
    whole = Batch(plants=6, boards=8, rows=2, cuts=((34, 6),), lanes=("Trough 2",))
    plan = laid(farm, mixed, whole, fills=[("Lettuce", 34, "Lettuce 34", asked)])
    row_of = {row.unit: row.place for row in plan.positions}
    assert [(row.day, row_of[row.unit], row.plants, row.heads) for row in plan.cuts] == found


def test_a_raft_that_waits_in_its_row_is_cut_with_the_next_one():
    farm = make_farm(crops=[CROP, make_crop("Kale")])
    ahead = Batch(crop="Kale", plants=6, cuts=((37, 6),))
    spare = Batch(sown=1, board_day=11, raft_day=21, plants=7, boards=8, cuts=((35, 1), (36, 6)))
    assert cuts(laid(farm, spare)) == [(35, 1, 1, 0), (36, 1, 6, 6)]
    assert cuts(laid(farm, ahead, spare)) == [(36, 1, 1, 0), (36, 1, 6, 6), (37, 1, 6, 6)]


@pytest.mark.parametrize(("minutes", "days"), [(6_00, [36]), (5_99, [34, 36])])
def test_a_spare_plant_stays_where_the_crew_has_no_time_for_it_later(minutes, days):
    crop = make_crop("Lettuce", saleable=9000, minutes={"cut": 1_00})
    farm = make_farm(crops=[crop], crew=10_000_00)
    farm = replace(farm, crew=Steps(((0, 10_000_00), (36, minutes))))
    plan = laid(farm, Batch(plants=6, boards=8, cuts=((34, 1), (36, 5))))
    assert [row.day for row in plan.cuts] == days
