"""Chores: each is a task of its day, and the crew's hours are those it leaves."""

from dataclasses import replace

import pytest
from farms import chore, make_crop, make_farm
from plans import Batch, build, drop, edit, judged

from scheduler.plan.audit import audit
from scheduler.plan.layout.chore_tasks import chore_tasks
from scheduler.plan.tally import hours

CHORES = (
    chore(0, 15_00, chore="Flush", place="Filter house"),
    chore(3, 20_00, chore="Drain", due=1),
    chore(7, 15_00, chore="Flush", place="Filter house"),
)
FARM = make_farm(chores=CHORES)
PLAN = replace(build(FARM, Batch()), tasks=tuple(chore_tasks(FARM)))


def faults_of(plan, farm=FARM):
    return [str(fault) for fault in audit(farm, plan)]


def test_the_plan_the_tests_below_change_is_sound():
    assert faults_of(PLAN) == []


def test_a_chore_that_is_missing_or_on_another_day_is_reported():
    assert faults_of(drop(PLAN, "tasks", crop="Drain")) == [
        "bookkeeping | Drain | 2026-03-05: the task 'chore Drain 2026-03-03' is missing"
    ]
    assert faults_of(edit(PLAN, "tasks", {"crop": "Drain"}, day=1)) == [
        "bookkeeping | Drain | 2026-03-03: the task 'chore Drain 2026-03-03' is no chore of that day",
        "bookkeeping | Drain | 2026-03-05: the task 'chore Drain 2026-03-03' is missing",
    ]


def test_a_chore_at_another_place_and_one_nobody_knows_are_reported():
    assert faults_of(replace(PLAN, tasks=(replace(PLAN.tasks[0], where="Sump"), *PLAN.tasks[1:]))) == [
        "bookkeeping | Flush | 2026-03-02: the task 'chore Flush 2026-03-02' at Filter house is missing",
        "bookkeeping | Flush | 2026-03-02: the task 'chore Flush 2026-03-02' at Sump is no chore of that day",
    ]
    other = replace(PLAN.tasks[0], crop="Paint", key="chore Paint 2026-03-02", where="")
    assert faults_of(replace(PLAN, tasks=(*PLAN.tasks, other))) == [
        "bookkeeping | Paint | 2026-03-02: the task 'chore Paint 2026-03-02' is no chore of that day"
    ]


def test_hours_tell_chores_by_day_and_must_be_those_of_the_book():
    told = [(row.day, row.minutes) for row in hours(FARM, PLAN) if row.work == "chore"]
    assert told == [(0, 15_00), (3, 20_00), (7, 15_00)]
    assert faults_of(drop(PLAN, "hours", work="chore", day=3)) == [
        "bookkeeping | hours | 2026-03-05: the row of chore is missing"
    ]
    assert faults_of(edit(PLAN, "hours", {"work": "chore", "day": 3}, minutes=10_00)) == [
        "bookkeeping | hours | 2026-03-05: chore: minutes is 10.00, the rows give 20.00"
    ]


SOWING = [make_crop("Lettuce", minutes={"sow": 20_00})]


@pytest.mark.parametrize(
    ("crew", "fault"), [(27_00, None), (26_99, "12.00 minutes of work beside 15.00 of chores")]
)
def test_work_takes_no_more_than_chores_leave_of_the_hours(crew, fault):
    # 3 rows of 4 cells sown on day 0 at one minute a cell
    farm = make_farm(crops=SOWING, crew=crew, chores=[chore(0, 15_00)])
    found = [each for each in judged(farm, Batch()) if each.startswith("hours")]
    assert found == ([] if fault is None else [f"hours | crew | 2026-03-02: {fault}, the crew has 26.99"])


def test_chores_alone_may_take_more_than_there_is_and_leave_nothing():
    alone = make_farm(crew=10_00, chores=[chore(1, 25_00)])
    assert [each for each in judged(alone, Batch()) if each.startswith("hours")] == []
    beside = make_farm(crops=SOWING, crew=10_00, chores=[chore(0, 25_00)])
    assert [each for each in judged(beside, Batch()) if each.startswith("hours")] == [
        "hours | crew | 2026-03-02: 12.00 minutes of work beside 25.00 of chores, the crew has 10.00"
    ]
