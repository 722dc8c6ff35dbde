"""What the plan tells people: deliveries and why they are short, tasks, and the grower's own figures."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, target
from plan.layout.amounts import NOTHING, Batch, laid, tasks

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.orders.reach import cut_days
from scheduler.plan.layout.reasons import NO_BATCH, NOTHING_FULL

STAGES = {"tray": 10, "board": 10, "raft": 14}


def test_a_delivery_is_filled_from_the_oldest_lot_first():
    farm = make_farm(demands=[delivery("Lettuce", 36, 8)])
    old = Batch(plants=6, cuts=((36, 6),))
    new = Batch(sown=1, board_day=11, raft_day=21, plants=6, cuts=((36, 6),))
    plan = laid(farm, old, new, fills=[("Lettuce", 36, "Lettuce 36", 8)])
    assert [(row.lot, row.heads) for row in plan.fills] == [("LET-260302", 6), ("LET-260303", 2)]


def test_part_of_an_all_or_nothing_delivery_is_not_delivered_at_all():
    farm = make_farm(demands=[delivery("Lettuce", 34, 20)], rules={"all_or_nothing": True})
    plan = laid(farm, Batch(), fills=[("Lettuce", 34, "Lettuce 34", 12)])
    assert plan.fills == ()
    assert [(row.filled, row.state) for row in plan.demands] == [(0, "short")]


def test_a_short_delivery_says_which_place_was_full_while_its_plants_would_have_grown():
    farm = make_farm(demands=[delivery("Lettuce", 35, 20)], lane_slots=2)
    plan = laid(farm, Batch(cuts=((35, 12),)), fills=[("Lettuce", 35, "Lettuce 35", 12)])
    (row,) = plan.demands
    assert row.reason == "rows of Trough full 23 Mar to 5 Apr 2026"


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ({"crew": 10_08}, "the crew's hours used up on 12 Mar 2026"),
        ({"trays": 1}, "all 1 of the 20-cell trays in use or being washed 2 to 11 Mar 2026"),
        ({}, "no place was full; the search found no way in its time"),
    ],
)
def test_a_short_delivery_names_what_was_used_up(limits, words):
    crop = make_crop("Lettuce", minutes={"board": 10_00})
    farm = make_farm(crops=[crop], demands=[delivery("Lettuce", 34, 20)], **limits)
    plan = laid(farm, Batch(), fills=[("Lettuce", 34, "Lettuce 34", 12)])
    assert [row.reason for row in plan.demands] == [words]


def test_a_delivery_that_no_batch_is_fresh_for_says_so_and_not_that_time_ran_out():
    # sown on Mondays and cut 34 days later to the day: on days 34, 41 and 48, good for one day more
    crop = make_crop("Lettuce", **{stage: (days, 0, 10_000) for stage, days in STAGES.items()})
    monday = {Work.SOW: {0}}
    farm = make_farm(
        crops=[crop], demands=[delivery("Lettuce", day, 5) for day in (42, 43)], work_days=monday
    )
    reasons = [row.reason for row in laid(farm, more=NOTHING).demands]
    assert reasons == [NOTHING_FULL, NO_BATCH]
    # a raft that grows already, cut again every seven days from day 8 on, is there on day 43
    again = replace(crop, cuts=9, cut_interval=7)
    stands = [growing("Lettuce", StageKind.RAFT, -6, 6, 1)]
    farm = make_farm(crops=[again], growing=stands, work_days=monday)
    assert {day % 7 for day in cut_days(farm, farm.crops["Lettuce"])} == {1, 6}


def test_a_delivery_no_sowing_could_reach_says_when_one_could():
    farm = make_farm(demands=[delivery("Lettuce", 20, 5)])
    plan = laid(farm, more=NOTHING)
    (row,) = plan.demands
    assert (row.state, row.reason) == (
        "too early",
        "no sowing from 2 Mar 2026 is ready before 5 Apr 2026",
    )


def test_seed_and_seedling_care_become_tasks_on_their_days():
    crop = make_crop(
        "Lettuce",
        handling={"soak_hours": 24_00, "dark_days": 2, "dome_days": 4, "thin_day": 7, "seeds_per_cell": 2},
    )
    farm = make_farm(crops=[crop], domes=5)
    batch = Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 12),))
    plan = laid(farm, batch)
    care = [(task.work, task.day, task.units, task.plants) for task in plan.tasks[:5]]
    assert care == [
        ("soak", 2, 1, 12),
        ("sow", 3, 1, 12),
        ("uncover", 5, 1, 12),
        ("uncover", 7, 1, 12),
        ("thin", 10, 1, 12),
    ]
    assert tasks(plan, "soak")[0].note == "24 seeds, 24 hours in water before sowing"


def test_seedlings_that_have_left_their_trays_are_neither_uncovered_nor_thinned():
    crop = make_crop("Lettuce", handling={"dome_days": 10, "thin_day": 12})
    plan = laid(make_farm(crops=[crop]), Batch())
    assert not tasks(plan, "uncover")
    assert not tasks(plan, "thin")


def test_a_cut_task_says_where_the_rafts_are_and_for_whom():
    fills = [("Lettuce", 34, "Lettuce 34", 5)]
    farm = make_farm(demands=[delivery("Lettuce", 34, 5), target("Lettuce", 30, 4, name="weekly 30")])
    plan = laid(farm, Batch(), fills=[*fills, ("Lettuce", 34, "weekly 30", 4)])
    (cut,) = tasks(plan, "cut")
    assert (cut.units, cut.plants, cut.where) == (2, 12, "Trough 1 slots 1-2")
    assert cut.note == (
        "12 plants: 6 from each of slots 1-2; "
        "4 for weekly 30; 5 for Lettuce 34 (Harbour Table); 3 not asked for"
    )
    assert [(task.to, task.plants) for task in tasks(plan, "deliver")] == [("Harbour Table", 5)]


def test_a_cut_task_says_how_many_plants_come_from_each_raft():
    plan = laid(make_farm(), Batch(plants=14, boards=16, rows=5, cuts=((34, 14),)))
    (cut,) = tasks(plan, "cut")
    assert cut.note == "14 plants: 6 from each of slots 1-2, 2 from slot 3; 14 not asked for"


def test_a_raft_emptied_for_a_plant_that_no_head_is_counted_on_from_says_so():
    farm = make_farm(crops=[make_crop("Lettuce", saleable=9000)])
    plan = laid(farm, Batch(plants=7, boards=8, cuts=((34, 1), (36, 6))))
    early, late = tasks(plan, "cut")
    assert (early.plants, early.note) == (0, "take out 1 plant: no head is counted on from it")
    assert late.note.startswith("6 plants; ")


def test_plants_that_may_be_cut_again_are_not_taken_out():
    farm = make_farm(crops=[make_crop("Lettuce", saleable=9000, cuts=2, interval=7)])
    plan = laid(farm, Batch(plants=1, boards=2, steps=((1, 34, None, 1), (2, 41, 34, 1)), gone=((41, 1),)))
    assert [task.note for task in tasks(plan, "cut")] == [
        "cut back 1 plant: no head is counted on from it; cut 1",
        "take out 1 plant: no head is counted on from it; cut 2",
    ]


def test_a_unit_that_lots_share_is_counted_once_and_the_other_line_says_so():
    care = {"soak_hours": 2_00, "dark_days": 3, "dome_days": 3, "thin_day": 5}
    crops = [make_crop(name, handling=care) for name in ("Kale", "Lettuce")]
    farm = make_farm(crops=crops, domes=5, rules={"share_boards": True, "share_rafts": True})
    batches = [Batch(crop=name, rows=3, plants=9, cuts=((34, 9),)) for name in ("Kale", "Lettuce")]
    plan = laid(farm, *batches)
    said = {
        work: [(task.units, task.note.split("; ")[-1]) for task in tasks(plan, work)]
        for work in ("soak", "sow", "uncover", "thin", "transplant", "raft")
    }
    told = "shares a tray with KAL-260302"
    assert said == {
        "soak": [(1, "12 seeds, 2 hours in water before sowing"), (1, told)],
        "sow": [(1, "Kale one: 12 seeds, 1 in a cell"), (1, told)],
        "uncover": [(1, "into the light, domes off"), (1, told)],
        "thin": [(1, "one seedling left in each cell"), (1, told)],
        "transplant": [(1, ""), (1, "shares a board with KAL-260302")],
        "raft": [(2, ""), (1, "shares a raft with KAL-260302")],
    }


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (3, "dome stays on until 7 Mar 2026 for another lot in the tray"),
        (6, "domes off, but at Shelf 1 slot 1 on until 7 Mar 2026 for another lot in the tray"),
    ],
)
def test_a_tray_keeps_its_dome_while_another_lot_in_it_needs_it(rows, told):
    crops = [make_crop("Kale", handling={"dome_days": 5}), make_crop("Lettuce", handling={"dome_days": 3})]
    kale = Batch(crop="Kale", rows=2, plants=6, cuts=((34, 6),))
    plan = laid(make_farm(crops=crops, domes=3), Batch(rows=rows), kale)
    assert [(task.day, task.note.split("; ")[0]) for task in tasks(plan, "uncover")] == [
        (3, told),
        (5, "domes off"),
    ]


def test_keys_of_tasks_name_lot_and_work_and_stay_when_days_move():
    first = laid(make_farm(), Batch(cuts=((34, 6), (36, 6))))
    moved = laid(make_farm(), Batch(board_day=11, raft_day=21, cuts=((35, 6), (37, 6))))
    assert [task.key for task in first.tasks] == [task.key for task in moved.tasks]
    assert [task.key for task in tasks(first, "cut")] == ["cut LET-260302", "cut LET-260302 2"]


def test_figures_of_the_grower_are_listed_with_the_values_of_the_book():
    own = (("germination_percent", "92.5"), ("plants_per_raft", "6"))
    farm = make_farm(crops=[make_crop("Basil"), replace(make_crop("Lettuce"), own_figures=own)])
    plan = laid(farm, more=NOTHING)
    assert [(row.crop, row.figure, row.value) for row in plan.own_figures] == [
        ("Lettuce", "germination_percent", "92.5"),
        ("Lettuce", "plants_per_raft", "6"),
    ]
