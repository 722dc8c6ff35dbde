"""Rows with rafts on day 0 that are planned as one bundle keep each row's own order."""

import threading

from farms import delivery, growing, make_crop, make_farm
from solving import got, quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model import solve
from scheduler.model.search import filling
from scheduler.model.search.repair import Repair
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm

SLOW = make_crop("Slow", tray=(4, 1, 10_000), board=None, raft=(16, 2, 10_000))


def test_many_rows_with_rafts_on_the_first_day_are_planned_together_and_every_row_keeps_its_order():
    rows = []
    for lane in range(1, 9):
        place = f"Trough {lane}"
        rows += [
            growing("Slow", StageKind.RAFT, -12 - lane % 3, 6, 1, place=place, order=1, lot=f"S{lane}"),
            growing("Lettuce", StageKind.RAFT, -4, 6, 1, place=place, order=2, lot=f"L{lane}"),
        ]
    made = make_farm(
        days=30,
        lanes=8,
        lane_slots=3,
        rafts=40,
        crops=[SLOW, quick_crop()],
        growing=rows,
        demands=[delivery("Slow", 4, 24), delivery("Lettuce", 5, 12), delivery("Lettuce", 16, 24)],
    )
    filled = got(solved(made, seconds=0.2))
    assert filled["Slow 4"] == 24
    assert filled["Lettuce 16"] == 24


def test_a_delivery_without_a_harvest_day_near_enough_is_out_of_reach_and_not_short():
    made = make_farm(
        days=30,
        crops=[quick_crop()],
        closed={Work.HARVEST: [20, 19]},
        demands=[delivery("Lettuce", 20, 6, max_age=1), delivery("Lettuce", 22, 6, max_age=1)],
    )
    states = {row.demand: row.state for row in solved(made).demands}
    assert states == {"Lettuce 20": "out of reach", "Lettuce 22": "filled"}


def test_a_search_stopped_before_it_found_anything_gives_no_plan_rather_than_throwing_the_farm_away():
    crops = [quick_crop(), SLOW, make_crop("Basil", board=None, cuts=3, interval=7)]
    orders = [delivery(crop.name, day, 12) for crop in crops for day in range(30, 110, 2)]
    made = make_farm(
        days=120,
        lanes=4,
        crops=crops,
        growing=[growing("Lettuce", StageKind.RAFT, -2, 6, 1)],
        demands=orders,
    )
    stop = threading.Event()
    stop.set()
    outcome = plan_farm(made, SolveSettings(seconds=60), None, stop)
    assert (outcome.plan, outcome.status) == (None, "no plan")


def test_the_answer_that_sows_nothing_is_told_as_no_plan(monkeypatch):
    # Nothing is found in the first step, nor in any other.
    monkeypatch.setattr(solve, "goal_by_goal", lambda _engine, _best, _proof, _beyond, tell: tell())
    monkeypatch.setattr(Repair, "_keep", lambda *_: False)
    monkeypatch.setattr(filling, "fill_as_one", lambda *_: None)
    told = []
    made = make_farm(days=20, crops=[quick_crop()], demands=[delivery("Lettuce", 12, 6)])
    settings = SolveSettings(seconds=0.05, deterministic=True)
    plan_farm(made, settings, lambda progress: told.append(progress.short))
    assert set(told) == {-1}
