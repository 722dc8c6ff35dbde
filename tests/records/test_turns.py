"""Rafts of one row and day that are told in another order than the plan has them go in."""

import csv
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from scheduler.book.faults import FaultLog
from scheduler.outputs.saved import open_plan
from scheduler.records.sheets import told_in_sheet
from scheduler.records.tasks import Tasks
from scheduler.records.turns import out_of_turn

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "alder-quay" / "plan"


@pytest.fixture(scope="module")
def tasks():
    return Tasks(*open_plan(EXAMPLE))


@pytest.fixture(scope="module")
def pair(tasks):
    """Two tasks that set rafts of two lots out in one row on one day, in the order of the plan."""
    rafts = [task for task in tasks.plan.tasks if task.work == "raft"]
    return next((a, b) for a, b in pairwise(rafts) if (a.day, a.to) == (b.day, b.to) and a.lot != b.lot)


def ops(tasks, *told):
    return {name for task in told for name in tasks.ops(task)}


def test_told_in_the_order_of_the_plan_there_is_nothing_to_say(tasks, pair):
    first, second = pair
    assert list(out_of_turn(tasks, first.key, set())) == []
    assert list(out_of_turn(tasks, second.key, ops(tasks, first))) == []


def test_what_is_told_before_its_turn_is_said_with_what_to_do_about_it(tasks, pair):
    first, second = pair
    (line,) = out_of_turn(tasks, second.key, set())
    assert line.startswith(f"The plan has {first.lot} go into that row before {second.lot}; told first")
    assert f"withdraw it once {first.lot} is told, and tell it again with 'moved'" in line


def test_what_is_told_after_its_turn_is_said_too_but_not_when_it_is_told_twice(tasks, pair):
    first, second = pair
    (line,) = out_of_turn(tasks, first.key, ops(tasks, second))
    assert line.startswith(f"The plan has {first.lot} go into that row before {second.lot}; told last")
    assert list(out_of_turn(tasks, first.key, ops(tasks, first, second))) == []


def test_rafts_of_one_lot_with_others_between_them_have_turns_with_those_alone(tasks, pair):
    first, second = pair
    again = replace(first, key=f"{first.key} again")
    made = Tasks(tasks.farm, replace(tasks.plan, tasks=(first, second, again)))
    assert list(out_of_turn(made, again.key, ops(made, second))) == []
    assert list(out_of_turn(made, first.key, ops(made, again))) == []
    (line,) = out_of_turn(made, again.key, set())
    assert line.startswith(f"The plan has {second.lot} go into that row before {first.lot}; told first")


def test_other_work_has_no_turns(tasks):
    sow = next(task for task in tasks.plan.tasks if task.work == "sow")
    assert list(out_of_turn(tasks, sow.key, set())) == []


def test_a_sheet_that_was_sorted_by_something_else_is_told_in_the_order_of_the_plan(tmp_path, tasks, pair):
    with (tmp_path / "tasks.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["key", "done"], *([task.key, "yes"] for task in reversed(pair))])
    told = told_in_sheet(tmp_path / "tasks.csv", tasks, FaultLog())
    assert [each.given["task"] for each in told] == [task.key for task in pair]
