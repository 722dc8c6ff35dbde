"""Larger books: the same plan twice in deterministic mode, and an end as soon as the search is to end."""

import hashlib
import os
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from farms import delivery, make_farm
from model.steady import any_steady_farm, built_of
from solving import quick_crop

from scheduler.book.book import read_raw, typed_book
from scheduler.farm.build import build_farm
from scheduler.model import solve
from scheduler.model.build import build
from scheduler.model.first import by_date
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.manners import DRAWING
from scheduler.model.search.part import Parts
from scheduler.model.settings import LAYING_OUT, SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.plan.audit import audit

ROOT = Path(__file__).parents[2]


def alder_quay(days=84):
    """The first weeks of the first example."""
    farm = build_farm(typed_book(read_raw(ROOT / "examples" / "alder-quay" / "book")))
    calendar = replace(farm.calendar, days=days, span=days)
    demands = tuple(demand for demand in farm.demands if demand.last < days)
    return replace(farm, calendar=calendar, demands=demands)


def digest_of_a_plan():
    """A digest of all rows of a plan found in the solver's own time, and what was searched on the way."""
    told = []
    settings = SolveSettings(seconds=0.15, deterministic=True)
    found = plan_farm(alder_quay(days=70), settings, told.append)
    assert "filling shortages, round 1" in {progress.phase for progress in told}
    # the solver's own seconds differ in their last digit from run to run, which decides nothing
    steps = [(progress.phase, progress.short, progress.value) for progress in told]
    return hashlib.sha256(repr((found.plan, steps)).encode()).hexdigest()


OTHER_PROCESS = f"""
import sys, time
from itertools import count
sys.path.insert(0, {str(ROOT / "tests")!r})
from model import test_large_books
begun, hours = time.monotonic(), count()
# each look at the clock finds it an hour later: whatever asked it would end at once
time.monotonic = time.perf_counter = lambda: begun + 3_600 * next(hours)
print(test_large_books.digest_of_a_plan())
"""


def test_a_medium_book_gives_the_same_plan_in_another_process_with_other_hashes_on_a_slow_machine():
    other = subprocess.run(
        [sys.executable, "-c", OTHER_PROCESS],
        env=os.environ | {"PYTHONHASHSEED": "12345", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert other.stdout.split() == [digest_of_a_plan()]


def stopped_at(monkeypatch, farm, phase, **settings):
    """What comes of a search that is stopped when it tells of a phase, and the phases told after it."""
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    stop, later = threading.Event(), []

    def tell(progress):
        if stop.is_set() and progress.phase != LAYING_OUT:
            later.append(progress.phase)
        if progress.phase.startswith(phase):
            stop.set()

    found = plan_farm(farm, SolveSettings(**({"seconds": 60} | settings)), tell, stop)
    assert stop.is_set()
    return found, later


@pytest.mark.parametrize("phase", ["lining up crops", "planning delivery by delivery"])
def test_a_large_book_stopped_before_its_first_plan_has_none(monkeypatch, phase):
    found, later = stopped_at(monkeypatch, any_steady_farm(35), phase)
    assert (found.plan, found.status) == (None, "no plan")
    assert len(later) <= 1


@pytest.mark.parametrize("phase", ["finding a steady week", "laying the steady week"])
def test_a_large_book_stopped_early_has_the_plan_made_delivery_by_delivery(monkeypatch, phase):
    made = weekly_farm()
    found, later = stopped_at(monkeypatch, made, phase)
    assert len(later) <= 1
    assert audit(made, found.plan) == []
    assert sum(row.filled for row in found.plan.demands) > 0


def test_a_large_book_stopped_while_other_orders_are_tried_has_the_plan_of_the_first(monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    made, stop, told, share_out = weekly_farm(TOO_MUCH), threading.Event(), [], by_date.share_out

    def shared(*given):
        share_out(*given)
        stop.set()

    monkeypatch.setattr(by_date, "share_out", shared)
    found = plan_farm(made, SolveSettings(seconds=60), lambda progress: told.append(progress.phase), stop)
    assert audit(made, found.plan) == []
    assert sum(row.filled for row in found.plan.demands) > 0
    assert told[-1] == LAYING_OUT


def weekly_farm(*more):
    """Two rows alike and two crops, which a steady week keeps to one row each; and some other deliveries."""
    return make_farm(
        days=70,
        lanes=2,
        lane_slots=3,
        crops=[quick_crop(), quick_crop("Kale")],
        demands=[
            *(delivery("Lettuce", day, 12, max_age=0) for day in range(14, 70, 7)),
            *(delivery("Kale", day, 12, max_age=0) for day in range(14, 70, 7)),
            *more,
        ],
    )


TOO_MUCH = delivery("Kale", 30, 90, max_age=0)


def phases(monkeypatch, farm):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    told = []
    settings = SolveSettings(seconds=0.02, deterministic=True)
    plan_farm(farm, settings, lambda progress: told.append(progress.phase))
    return told


def test_where_no_week_is_like_another_a_first_plan_that_fills_most_is_gone_on_from(monkeypatch):
    jumpy = [delivery("Kale", day, 4 * (day % 3), name=f"K {day}") for day in range(14, 70, 7) if day % 3]
    far_too_much = [replace(each, amount=10 * each.amount) for each in jumpy]
    week = "finding a steady week"
    assert week in phases(monkeypatch, weekly_farm())
    assert week not in phases(monkeypatch, weekly_farm(*jumpy))
    assert week in phases(monkeypatch, weekly_farm(*far_too_much))


@pytest.mark.parametrize(
    ("phase", "demands"),
    [
        ("filling shortages", [TOO_MUCH]),
        ("giving short crops more rows", [TOO_MUCH]),
        ("saving", []),
    ],
)
def test_a_large_book_stopped_later_on_keeps_its_best_plan(monkeypatch, phase, demands):
    found, later = stopped_at(monkeypatch, weekly_farm(*demands), phase, deterministic=True, seconds=0.5)
    assert found.plan is not None
    assert sum(row.filled for row in found.plan.demands) > 0
    assert later == []


def test_searches_side_by_side_are_stopped_together(monkeypatch):
    found, later = stopped_at(monkeypatch, weekly_farm(TOO_MUCH), "filling shortages", workers=2)
    assert found.plan is not None
    assert len(later) <= 1


def test_an_early_delivery_out_of_reach_does_not_end_the_repair_of_others(monkeypatch):
    # The early one's crop could be given more rows, to no avail: that is no reason to look no further.
    # What is short of lettuce is proven to be short, which would end the rounds too.
    monkeypatch.setattr(solve.Proof, "settled", lambda *_: False)
    demands = [delivery("Kale", 2, 6), delivery("Lettuce", 30, 90, max_age=0)]
    settings = {"deterministic": True, "seconds": 0.4}
    found, _ = stopped_at(monkeypatch, weekly_farm(*demands), DRAWING.phase, **settings)
    assert found.plan is not None


def give_up_after(times):
    """A pulse that raises when it is called once more than so many times."""
    left = [times]

    def pulse():
        left[0] -= 1
        if left[0] < 0:
            raise Stopped

    return pulse


@pytest.mark.parametrize("times", [0, 3, 30])
def test_making_a_model_can_be_given_up(times):
    farm = any_steady_farm(2)
    with pytest.raises(Stopped):
        build(season(farm), bundles_of(farm), pulse=give_up_after(times))


@pytest.mark.parametrize("times", [0, 1])
def test_reading_a_model_and_cutting_a_part_can_be_given_up(times):
    farm = any_steady_farm(2)
    built = built_of(season(farm), bundles_of(farm))
    size = len(built.model.proto.variables)
    with pytest.raises(Stopped):
        Parts(built.model, give_up_after(times))
    calls = []
    Parts(built.model, lambda: calls.append(True))
    parts = Parts(built.model, give_up_after(len(calls) + times))
    with pytest.raises(Stopped):
        parts.cut([0] * size, set(range(size)))


def test_a_search_that_may_go_on_is_not_given_up():
    Engine(SolveSettings(seconds=60)).check()
    with pytest.raises(Stopped):
        Engine(SolveSettings(seconds=0)).check()
