"""Tasks: the sheets of a day say what the rows of the plan call for, no more, no less and on no other day."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm
from plan.layout.amounts import Batch, laid
from plans import drop, edit

from scheduler.plan.audit import audit

LOT = "LET-260302"
FARM = make_farm(
    crops=[make_crop("Lettuce", handling={"soak_hours": 8_00, "dark_days": 2, "thin_day": 6})],
    demands=[delivery("Lettuce", 34, 10), delivery("Lettuce", 36, 4)],
)
PLAN = laid(FARM, Batch(), fills=[("Lettuce", 34, "Lettuce 34", 10)])


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
    assert faults_of(edit(PLAN, "tasks", {"work": "uncover"}, day=3)) == [
        f"bookkeeping | {LOT} | 2026-03-04: the task to uncover 12 is missing",
        f"bookkeeping | {LOT} | 2026-03-05: a task says to uncover 12, which nothing calls for",
    ]
    assert faults_of(edit(PLAN, "tasks", {"work": "deliver"}, key="deliver Lettuce 36")) == [
        "bookkeeping | deliver Lettuce 34 | 2026-04-05: the task to deliver 10 is missing",
        "bookkeeping | deliver Lettuce 36 | 2026-04-05: a task says to deliver 10, which nothing calls for",
    ]


def test_a_task_told_twice_or_of_no_kind_of_work_is_told():
    sow = next(task for task in PLAN.tasks if task.work == "sow")
    twice = replace(PLAN, tasks=(*PLAN.tasks, replace(sow, key="sow again", units=0)))
    assert faults_of(twice) == [f"bookkeeping | {LOT} | 2026-03-02: tasks say to sow 24, the rows give 12"]
    assert faults_of(edit(PLAN, "tasks", {"work": "thin"}, work="sing")) == [
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
