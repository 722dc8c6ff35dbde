"""Weeks of planning, recording with random losses, and planning again: every plan keeps every rule."""

from random import Random

import pytest
from folders import planned
from followed import Followed, told
from recorded import CROPS, PRODUCTS

from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit, fault_lines
from scheduler.records.applying import apply
from scheduler.records.state import replay, state_of
from scheduler.records.yard import RAFT, Yard

ORDERS = (
    "order,customer,product,amount,weekdays,from,kind\n"
    "R1,Harbour Table,Butterhead head,12,Tue Fri,2026-04-24,firm\n"
    "R2,Linnet Kitchen,Basil,8,Wed,2026-04-15,flexible\n"
)
WEEKS = 10
EFFORT = SolveSettings(seconds=0.03, deterministic=True)


def lose(farm: Followed, random: Random, day: int) -> None:
    """Record what went wrong in the week before a day: plants lost, a lot thrown away, a row treated."""
    state = farm.state(day)
    for unit in state.units:
        for content in unit.contents:
            if random.random() < 0.15:
                number = random.randint(1, content.plants)
                farm.tell(told("lost", day - 1, lot=content.lot, place=unit.place, plants=number))
                return
    lots = sorted({content.lot for unit in state.units for content in unit.contents})
    if lots and random.random() < 0.15:
        farm.tell(told("discarded", day - 1, lot=random.choice(lots)))
    elif random.random() < 0.1 and any(unit.item == RAFT for unit in state.units):
        farm.tell(told("treated", day - 1, place="North trough 1", product="soap", days=3))


def followed(folder, seed: int, weeks: int) -> Followed:
    """Plan a small farm, and follow it for some weeks, planning again each Monday."""
    settings = {"weeks": str(WEEKS)}
    made = planned(folder, orders=ORDERS, crops=CROPS, products=PRODUCTS, settings=settings)
    farm, random = Followed(made.book, made.farm, made.plan), Random(seed)
    yard, known = Yard(), 0
    for day in range(7, 7 * weeks + 1, 7):
        skipped = set[str]()
        sowings = [task.key for task in farm.plan.tasks if task.work == "sow" and task.day == farm.day + 3]
        if sowings and random.random() < 0.2:
            skipped.add(random.choice(sowings))
        farm.until(day, skipped)
        lose(farm, random, day)
        if not farm.log:
            continue
        plan = farm.again(day, EFFORT, WEEKS)
        assert fault_lines(audit(farm.farm, plan)) == [], (seed, day)
        # gone through anew, the log gives what its entries gave one by one as they came
        for each in farm.log[known:]:
            apply(yard, each.entry, each.number)
        known = len(farm.log)
        assert replay((each.number, each.entry) for each in farm.log) == state_of(yard), (seed, day)
    return farm


def test_some_weeks_of_planning_again_keep_every_rule(tmp_path):
    farm = followed(tmp_path, 1, 3)
    assert farm.log
    assert any(row.filled for row in farm.plan.demands)


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(4))
def test_a_year_of_planning_again_keeps_every_rule(tmp_path, seed):
    farm = followed(tmp_path, seed, 52)
    firm = [row for row in farm.plan.demands if row.firm and row.reported]
    assert sum(row.filled for row in firm) > sum(row.amount for row in firm) // 2
