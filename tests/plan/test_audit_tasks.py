"""Tasks: the sheets of a day say what the rows of the plan call for, no more, no less and on no other day."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm
from plan.layout.amounts import Batch, laid
from plans import drop, edit

from scheduler.plan.audit import audit
from scheduler.plan.exact import EDITION, EXACT, KEY

LOT = "LET-260302"
FARM = make_farm(
    crops=[make_crop("Lettuce", handling={"soak_hours": 8_00, "dark_days": 2, "thin_day": 6})],
    demands=[delivery("Lettuce", 34, 10), delivery("Lettuce", 36, 4)],
)
PLAN = replace(laid(FARM, Batch(), fills=[("Lettuce", 34, "Lettuce 34", 10)]), made={KEY: EDITION})
OLDER = replace(PLAN, made={KEY: EXACT})


def faults_of(plan):
    return [str(fault) for fault in audit(FARM, plan)]


def test_the_plan_the_tests_below_change_is_sound_and_tells_all_its_work():
    assert faults_of(PLAN) == []
    assert [task.work for task in PLAN.tasks] == [
        "soak", "sow", "uncover", "thin", "transplant", "raft", "cut", "deliver"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("work", "what", "when", "plants"),
    [
        ("soak", LOT, "2026-03-02", 12),
        ("sow", LOT, "2026-03-02", 12),
        ("uncover", LOT, "2026-03-04", 12),
        ("thin", LOT, "2026-03-08", 12),
        ("transplant", LOT, "2026-03-12", 12),
        ("raft", LOT, "2026-03-22", 12),
        ("cut", LOT, "2026-04-05", 12),
        ("deliver", "deliver Lettuce 34", "2026-04-05", 10),
    ],
)
def test_a_task_that_is_missing_or_of_another_amount_is_told(work, what, when, plants):
    missing = faults_of(drop(PLAN, "tasks", work=work))
    assert f"bookkeeping | {what} | {when}: the task to {work} {plants} is missing" in missing
    assert faults_of(edit(PLAN, "tasks", {"work": work}, plants=plants - 1)) == [
        f"bookkeeping | {what} | {when}: tasks say to {work} {plants - 1}, the rows give {plants}"
    ]


def test_a_task_on_another_day_or_for_another_delivery_is_told():
    assert faults_of(edit(OLDER, "tasks", {"work": "uncover"}, day=3)) == [
        f"bookkeeping | {LOT} | 2026-03-04: the task to uncover 12 is missing",
        f"bookkeeping | {LOT} | 2026-03-05: a task says to uncover 12, which nothing calls for",
    ]
    assert faults_of(edit(OLDER, "tasks", {"work": "deliver"}, key="deliver Lettuce 36")) == [
        "bookkeeping | deliver Lettuce 34 | 2026-04-05: the task to deliver 10 is missing",
        "bookkeeping | deliver Lettuce 36 | 2026-04-05: a task says to deliver 10, which nothing calls for",
    ]


def test_a_task_told_twice_or_of_no_kind_of_work_is_told():
    sow = next(task for task in OLDER.tasks if task.work == "sow")
    twice = replace(OLDER, tasks=(*OLDER.tasks, replace(sow, key="sow again", units=0)))
    assert faults_of(twice) == [f"bookkeeping | {LOT} | 2026-03-02: tasks say to sow 24, the rows give 12"]
    assert faults_of(edit(OLDER, "tasks", {"work": "thin"}, work="sing")) == [
        f"bookkeeping | {LOT} | 2026-03-08: a task says to sing 12, which nothing calls for",
        f"bookkeeping | {LOT} | 2026-03-08: the task to thin 12 is missing",
    ]


def test_units_of_a_kind_of_work_are_those_that_are_filled_or_cut_that_day():
    assert faults_of(edit(PLAN, "tasks", {"work": "raft"}, units=3)) == [
        "bookkeeping | tasks | 2026-03-22: tasks say to raft 3 units, the rows give 2"
    ]
    assert faults_of(edit(PLAN, "tasks", {"work": "cut"}, units=1)) == [
        "bookkeeping | tasks | 2026-04-05: tasks say to cut 1 units, the rows give 2"
    ]


def test_a_plan_tells_its_work_unless_it_is_older():
    assert faults_of(replace(OLDER, tasks=())) == []
    told = faults_of(replace(PLAN, tasks=()))
    assert f"bookkeeping | {LOT} | 2026-03-02: the task to sow 12 is missing" in told


@pytest.mark.parametrize(
    ("work", "new", "said"),
    [
        ("cut", {"crop": "Kale"}, "crop of the task 'cut LET-260302' is Kale, not Lettuce"),
        ("cut", {"unit_kind": ""}, "unit_kind of the task 'cut LET-260302' is nothing, not 6-hole raft"),
        ("raft", {"unit_kind": "12-hole board"},
         "unit_kind of the task 'raft LET-260302' is 12-hole board, not 6-hole raft"),
        ("transplant", {"unit_kind": "6-hole raft"},
         "unit_kind of the task 'transplant LET-260302' is 6-hole raft, not 12-hole board"),
        ("thin", {"unit_kind": "6-hole raft"},
         "unit_kind of the task 'thin LET-260302' is 6-hole raft, not 20-cell tray"),
        ("thin", {"key": "think LET-260302"},
         "a task is called 'think LET-260302'; those to thin LET-260302 are 'thin LET-260302'"),
    ],
)  # fmt: skip
def test_a_task_names_its_lot_crop_and_kind_of_units(work, new, said):
    assert [fault.split(": ", 1)[1] for fault in faults_of(edit(PLAN, "tasks", {"work": work}, **new))] == [
        said
    ]
    assert faults_of(edit(OLDER, "tasks", {"work": work}, **new)) == []


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ({"crop": "Kale"}, "crop of the task 'deliver Lettuce 34' is Kale, not Lettuce"),
        ({"unit_kind": "crate"}, "unit_kind of the task 'deliver Lettuce 34' is crate, not nothing"),
        ({"units": 1}, "tasks say to deliver 1 units, the rows give 0"),
    ],
)
def test_a_delivery_names_its_product_and_no_units(new, said):
    told = faults_of(edit(PLAN, "tasks", {"work": "deliver"}, **new))
    assert [fault.split(": ", 1)[1] for fault in told] == [said]


@pytest.mark.parametrize(("work", "units"), [("uncover", 0), ("uncover", 2), ("thin", 0), ("thin", 2)])
def test_trays_that_are_uncovered_or_thinned_count(work, units):
    (told,) = faults_of(edit(PLAN, "tasks", {"work": work}, units=units))
    assert told.endswith(f"tasks say to {work} {units} units, the rows give 1")


def test_tasks_of_one_work_and_lot_are_numbered_in_order_of_time():
    fills = [("Lettuce", 34, "Lettuce 34", 10), ("Lettuce", 36, "Lettuce 36", 4)]
    two = laid(FARM, Batch(rows=4, plants=16, cuts=((34, 12), (36, 4))), fills=fills)
    two = replace(two, made={KEY: EDITION})
    assert faults_of(two) == []
    first, second = (task for task in two.tasks if task.work == "cut")
    assert (first.key, second.key) == (f"cut {LOT}", f"cut {LOT} 2")
    swapped = edit(
        edit(two, "tasks", {"key": second.key}, key="x"), "tasks", {"key": first.key}, key=second.key
    )
    swapped = edit(swapped, "tasks", {"key": "x"}, key=first.key)
    assert faults_of(swapped) == [
        f"bookkeeping | {LOT} | 2026-04-05: tasks 'cut {LOT}' are not numbered in order of time"
    ]
