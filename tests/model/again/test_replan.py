"""Planning again from what stands: what was planned stays, what is lost is made good, promises are kept."""

from dataclasses import replace

import pytest
from folders import planned
from followed import Followed, told
from recorded import on
from solving import got

from scheduler.model.search.repair import Repair
from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit, fault_lines
from scheduler.records.tasks import Tasks

ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-05-08,2026-05-22\n"
)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return planned(tmp_path_factory.mktemp("again"), orders=ORDERS, settings={"weeks": "12"})


@pytest.fixture
def farm(made):
    return Followed(made.book, made.farm, made.plan)


SHORT = SolveSettings(seconds=0.02, deterministic=True)
"""Effort enough to sow again what is lost."""


def sound(farm):
    return fault_lines(audit(farm.farm, farm.plan)) == []


def test_what_goes_as_planned_stays_as_planned(farm):
    farm.until(21)
    plan = farm.again(21)
    assert sound(farm)
    assert plan.changes == ()
    assert set(got(plan).values()) == {12}
    assert next(goal.value for goal in plan.goals if goal.level == 4) == 0


def test_every_day_of_the_season_can_be_the_first_of_a_new_plan(farm):
    for day in range(3, 84, 11):
        farm.until(day)
        plan = farm.again(day)
        assert sound(farm), day
        assert [row for row in plan.changes if row.change != "less"] == [], day
        assert all(row.filled == row.amount for row in plan.demands), day


def test_what_is_lost_early_is_sown_again_in_time(farm):
    last = farm.plan.lots[-1]
    lost = {row.demand for row in farm.plan.fills if row.lot == last.lot}
    day = last.sown + 1
    farm.until(day)
    farm.tell(told("discarded", last.sown, lot=last.lot))
    plan = farm.again(day, SHORT)
    assert sound(farm)
    assert all(row.filled == row.amount for row in plan.demands if not row.before_sowing)
    assert lost & {row.demand for row in plan.demands if row.filled}
    assert {row.change for row in plan.changes if row.work == "sow"} == {"added"}


def test_what_is_lost_too_late_is_told_as_newly_short(farm):
    farm.until(42)
    lot = farm.plan.lots[0].lot
    lost = {row.demand for row in farm.plan.fills if row.lot == lot}
    farm.tell(told("discarded", 41, lot=lot))
    plan = farm.again(42)
    assert sound(farm)
    short = [row.item for row in plan.changes if row.change == "newly short"]
    assert short == sorted(lost) != []
    kept = {row.demand: row.filled for row in plan.demands if row.reported}
    assert kept == {row.demand: 0 if row.demand in lost else 12 for row in plan.demands if row.reported}


def test_rafts_of_a_row_that_is_closed_meanwhile_come_into_another_row(farm):
    farm.until(21)
    (row,) = {row.place for row in farm.plan.positions if row.unit.startswith("R")}
    farm.tell(told("closed", 20, place=row, until=on(65)))
    plan = farm.again(21)
    assert sound(farm)
    assert {row.place for row in plan.positions if row.unit.startswith("R")} == {"North trough 1"} != {row}
    assert plan.changes == ()


def stand(plan):
    """Return (place, slot) -> lots of the trays and boards that stand on the first morning of a plan."""
    slot_of = {row.unit: (row.place, row.slot) for row in plan.positions if row.enters <= 0}
    lots = {}
    for row in plan.contents:
        if row.unit in slot_of and not row.unit.startswith("R") and row.enters < 0:
            lots.setdefault(slot_of[row.unit], set()).add(row.lot)
    return lots


@pytest.mark.parametrize("day", [32, 46])
def test_what_stands_keeps_its_slot_when_what_stood_before_it_has_left(farm, day):
    farm.until(day)
    there = {
        (unit.place, unit.slot): {held.lot for held in unit.contents}
        for unit in farm.state(day).units
        if unit.item != "raft"
    }
    assert 2 in {slot for _, slot in there}
    assert stand(farm.again(day)) == there
    assert sound(farm)


def test_the_search_goes_on_while_a_sowing_could_fill_something_but_not_long_in_vain(farm, monkeypatch):
    farm.until(21)
    farm.tell(told("discarded", 20, lot=farm.plan.lots[0].lot))
    asked = []
    monkeypatch.setattr(Repair, "on_and_on", lambda _, *told: asked.append(told))
    farm.again(21)
    ((until, seconds, patience),) = asked
    assert until >= seconds == 0.4
    assert seconds * 0.1 <= patience < seconds


def test_tasks_of_a_later_plan_are_other_entries_than_those_of_the_same_day_number_before(farm):
    before = {name for task in farm.plan.tasks for name in Tasks(farm.farm, farm.plan).ops(task)}
    farm.until(21)
    plan = farm.again(21)
    dated = {farm.farm.date_of(task.day): task for task in plan.tasks if task.key == "deliver R1 2026-05-08"}
    (task,) = dated.values()
    assert set(Tasks(farm.farm, plan).ops(task)) <= before
    moved = replace(task, day=task.day + 1)
    assert not set(Tasks(farm.farm, plan).ops(moved)) & before
