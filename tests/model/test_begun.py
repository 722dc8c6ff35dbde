"""A search that begins from a plan, of the same farm or of one with less."""

from dataclasses import replace

import pytest
from compared import SECONDS, farm
from farms import delivery, make_crop, make_farm, market
from solving import got, quick_crop, solved

from scheduler.model import build
from scheduler.model.search import begun
from scheduler.model.search.begun import plan_from
from scheduler.model.search.manners import SELLING, THINNING
from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit
from scheduler.plan.carried import carried, score

EFFORT = SolveSettings(seconds=0.3, deterministic=True)
BRIEF = SolveSettings(seconds=0.15, deterministic=True)


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


def test_without_memory_for_the_rows_of_a_better_plan_there_is_none(small, monkeypatch):
    laid = []

    def full(*_):
        laid.append(1)
        raise MemoryError

    monkeypatch.setattr(begun, "lay_out", full)
    more = farm(lanes=2)
    assert plan_from(more, carried(more, small[1]), EFFORT) is None
    assert laid


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


def bedded(amount):
    """Ten positions, tomatoes for three deliveries weeks apart, and a market that pays next to nothing."""
    tomato = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(7000, 7000))
    return make_farm(
        days=70,
        crops=[tomato],
        beds={"Bed": 10},
        lanes=0,
        zones=0,
        demands=[delivery("Tomato", day, amount, max_age=0, name=f"D{day}") for day in (12, 34, 56)],
        outlets=[market("Tomato", (14,), (1, 1))],
    )


@pytest.fixture(scope="module")
def plenty():
    return solved(bedded(8), 0.02)


def test_plantings_that_nobody_needs_any_more_are_taken_out_before_what_is_left_is_sold(plenty):
    told = []
    assert sum(row.plants for row in plenty.plantings) == 24
    few = bedded(2)
    begun = carried(few, plenty)
    assert sum(row.plants for row in begun.plantings) == 24
    better = plan_from(few, begun, BRIEF, told.append)
    assert audit(few, better) == []
    assert got(better) == {"D12": 2, "D34": 2, "D56": 2}
    assert sum(row.plants for row in better.plantings) == 6
    assert list(dict.fromkeys(told))[:2] == [THINNING.phase, SELLING.phase]


def test_plantings_whose_picking_the_market_pays_for_stay(plenty):
    few = bedded(2)
    paid = replace(few, outlets=(market("Tomato", (34,), (6, 5_00), age=0),))
    better = plan_from(paid, carried(paid, plenty), BRIEF)
    assert sum(row.units for row in better.outlets) == 6
    assert sorted(row.plants for row in better.plantings) == [2, 2, 8]


@pytest.mark.parametrize(("limit", "narrow"), [(10**9, 0), (0, 1)])
def test_what_could_be_is_listed_once_for_each_model_that_is_tried(small, limit, narrow, monkeypatch):
    """Listing takes long on a large farm: what was listed to be counted is what the model is made of."""
    listed, tried = [], []
    thinned, taken_over = build.thinned, begun.taken_over

    def listing(options, frame):
        listed.append((frame.sources, len(frame.in_every_way)))
        return thinned(options, frame)

    def holding_nothing(engine, of, plan, *options):
        tried.append((of[0].sources, len(of[0].in_every_way)))
        taken_over(engine, of, plan, *options)

    monkeypatch.setattr(build, "thinned", listing)
    monkeypatch.setattr(begun, "taken_over", holding_nothing)
    monkeypatch.setattr(begun, "cut_again_in", lambda *_: frozenset({"Lettuce"}))
    monkeypatch.setattr(begun, "SMALL_BOOK", limit)
    assert plan_from(*small, BRIEF) is None
    assert tried == [*[(1, 0)] * narrow, (0, 0), (0, 1)]
    assert sorted(listed) == sorted(tried)
