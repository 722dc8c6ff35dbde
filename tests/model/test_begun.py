"""A search that begins from a plan, of the same farm or of one with less."""

from dataclasses import replace

import pytest
from compared import SECONDS, farm
from farms import delivery
from solving import got, quick_crop, solved

from scheduler.model.search.begun import plan_from
from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit
from scheduler.plan.carried import carried, score

EFFORT = SolveSettings(seconds=1, deterministic=True)


@pytest.fixture(scope="module")
def small():
    of = farm()
    return of, solved(of, SECONDS)


def test_a_larger_farm_goes_on_from_the_plan_of_a_smaller_one(small):
    more = farm(lanes=2)
    begun = carried(more, small[1])
    better = plan_from(more, begun, EFFORT)
    assert better is not None
    assert audit(more, better) == []
    assert score(more, better) < score(more, begun)
    assert sum(got(better).values()) > sum(got(begun).values())


def test_a_row_that_opens_later_is_no_hindrance(small):
    more = farm(lanes=2)
    later = replace(more.places[-1], slots=replace(more.places[-1].slots, steps=((14, 2),)))
    more = replace(more, places=(*more.places[:-1], later))
    begun = carried(more, small[1])
    better = plan_from(more, begun, EFFORT)
    assert better is not None
    assert audit(more, better) == []
    assert score(more, better) < score(more, begun)


def test_what_cannot_be_better_gives_nothing(small):
    few = farm(demands=[delivery("Lettuce", 10, 6, name="D10")])
    plan = solved(few, SECONDS)
    assert got(plan) == {"D10": 6}
    assert plan_from(few, plan, EFFORT) is None


def test_a_plan_with_batches_the_farm_s_planner_would_not_look_at_gives_nothing(small):
    slower = farm(crops=[quick_crop(tray=(5, 1, 10_000))])
    assert plan_from(slower, small[1], EFFORT) is None


def test_without_time_nothing_is_found(small):
    more = farm(lanes=2)
    begun = carried(more, small[1])
    assert plan_from(more, begun, SolveSettings(seconds=0.0)) is None


def test_each_step_is_told(small):
    told = []
    more = farm(lanes=2)
    plan_from(more, carried(more, small[1]), EFFORT, told.append)
    assert told[0] == "filling shortages, round 1"
