"""A lot cut on several days: what rounding left over of the first ones counts with what still stands."""

import pytest
from farms import delivery, growing, make_farm
from folders import planned
from followed import Followed, told
from helpers import crops_csv
from solving import outcome, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.bounds.bound import bounds
from scheduler.model.options.frame import season
from scheduler.plan.audit import audit, fault_lines

ORDERS = (
    "order,customer,product,amount,weekdays,from,to,greatest_age\n"
    "R1,Harbour Table,Butterhead head,9,Mon,2026-04-27,2026-05-11,0\n"
    "R2,Mill Kitchen,Butterhead head,10,Wed,2026-04-29,2026-05-13,0\n"
)
"""Of 20 plants at 95 percent 10 are cut on the first day and 10 on the second: 9.5 heads, and 19 together."""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    crops = crops_csv(survival_raft_percent="95")
    return planned(tmp_path_factory.mktemp("cut"), orders=ORDERS, crops=crops, settings={"weeks": "11"})


@pytest.fixture
def farm(made):
    return Followed(made.book, made.farm, made.plan)


def standing(farm):
    return [(row.lot, row.plants, row.part_heads) for row in farm.farm.growing if row.stage is StageKind.RAFT]


@pytest.mark.parametrize("day", range(56, 66))
def test_what_goes_as_planned_leaves_nothing_short_whatever_day_is_planned_from(farm, day):
    farm.until(day)
    plan = farm.again(day)
    assert fault_lines(audit(farm.farm, plan)) == []
    assert all(row.filled == row.amount for row in plan.demands)


def test_nothing_gets_short_from_day_to_day_of_plans_that_follow_upon_each_other(farm):
    for day in (57, 58, 59, 64, 65, 71):
        farm.until(day)
        plan = farm.again(day)
        assert fault_lines(audit(farm.farm, plan)) == [], day
        assert all(row.filled == row.amount for row in plan.demands), day


def test_what_counts_is_of_the_plants_cut_and_not_of_the_heads_that_were_counted(farm):
    farm.until(56)
    lot = farm.plan.cuts[0].lot
    farm.tell(told("cut", 56, lot=lot, plants=10, heads=7), told("lost", 56, lot=lot, plants=1))
    farm.again(57)
    assert standing(farm)[0] == (lot, 10, 5_000)


def test_no_limit_forgets_what_rounding_left_over():
    # 10 plants at 85 percent are 8.5 heads, and half of one is over of others: 9, on one day or on two
    for days in ({5: 9}, {4: 4, 6: 5}):
        left = growing("Lettuce", StageKind.RAFT, 0, 10, 2, part_heads=5_000)
        asked = [delivery("Lettuce", day, number, max_age=0) for day, number in days.items()]
        farm = make_farm(days=7, crops=[quick_crop(saleable=8_500)], demands=asked, growing=[left])
        assert sum(row.filled for row in outcome(farm).plan.demands) == 9
        assert bounds(farm, season(farm), None, 5).firm == 0
