"""Farms of many kinds made for a hidden plan: what is planned has no fault, and nothing is short.

The long run takes ``RAFTWAY_FARMS`` of them, 2,000 unless given.
"""

import os

import pytest
from forked import lines_of
from fuzz.hidden_farms import hidden_farm
from fuzz.results import kept_in, long_run, note
from fuzz.run_farms import SHORTAGES, UNITS, told

from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm

FARMS = int(os.environ.get("RAFTWAY_FARMS", "2000"))


@pytest.mark.parametrize("seed", [1, 16, 21])
def test_a_farm_of_any_kind_that_some_plan_fits_is_filled(seed):
    verdict = told(seed)
    assert verdict["faults"] == []
    assert verdict["short"] == {}


def test_no_shortage_is_told_as_proven_where_a_plan_without_it_is_known():
    # days of its second cuts that the planner does not look at would fill all of this farm
    plan = plan_farm(hidden_farm(18), SolveSettings(seconds=0.5, deterministic=True)).plan
    assert plan is not None
    assert [goal.bound for goal in plan.goals if goal.level in SHORTAGES and goal.bound] == []


def test_the_farms_are_of_every_kind():
    farms = [hidden_farm(seed) for seed in range(60)]
    crops = [crop for farm in farms for crop in farm.crops.values()]
    assert {crop.cuts for crop in crops} == {1, 2, 3}
    assert {crop.bought for crop in crops} == {crop.is_cut_in_trays for crop in crops} == {True, False}
    assert {crop.board is None for crop in crops} == {bool(crop.grams) for crop in crops} == {True, False}
    assert (
        {len(farm.growing) > 0 for farm in farms}
        == {"dome" in farm.equipment for farm in farms}
        == {True, False}
    )
    assert {demand.is_target for farm in farms for demand in farm.demands} == {True, False}
    assert any(place.rest for farm in farms for place in farm.places)
    assert any(len(place.slots.steps) > 1 for farm in farms for place in farm.places)
    assert any(day for farm in farms for day in farm.calendar.closed.values())


@pytest.mark.soak
def test_farms_of_any_kind_that_some_plan_fits_are_filled_long(tmp_path):
    verdicts = kept_in(tmp_path) / "farms.jsonl"
    long_run("run_farms.py", str(verdicts), str(FARMS))
    made = lines_of(verdicts)
    again = sum(verdict["units"] > UNITS[0] for verdict in made)
    note("farms made for a hidden plan, of which so many were given more time", len(made), again)
