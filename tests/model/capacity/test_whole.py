"""The steady week of whole units, and the season it is tried in."""

import threading
from itertools import pairwise

import pytest
from farms import delivery, make_crop
from larger import times_everything
from solving import quick_crop
from weeks import EFFORT, daily, limit, linear, small, week_of

from scheduler.farm.calendar import Work
from scheduler.model.capacity.limit import Depth, limit_of, with_demand
from scheduler.model.capacity.week import steady_week
from scheduler.model.settings import SolveSettings
from scheduler.plan.capacity import Sought


def test_whole_rafts_carry_as_much_as_the_bound_where_they_divide_evenly():
    found = limit(small())
    assert found.whole == found.whole_most == 4000
    assert found.linear == pytest.approx(4)
    (part,) = found.parts
    assert part.whole == 84


def test_whole_units_never_carry_more_than_the_bound_and_less_where_they_do_not_divide():
    # 3 slots x 7 days / 4 days: five rafts and a quarter a week
    found = limit(small(lane_slots=3))
    assert found.linear * 21 == pytest.approx(3 * 7 / 4 * 6)
    assert found.whole == 30 * 1000 // 21
    assert found.whole == found.whole_most


def test_orders_of_single_days_need_whole_rafts_for_each_of_them():
    # every day 8 heads: two rafts of six, which stand 4 days
    farm = small(demands=daily(98, 8))
    found = limit_of(steady_week(farm), EFFORT, Depth(season=False))
    assert found.linear == pytest.approx(8 * 7 / 4 * 6 / 56)
    assert found.whole == 12 * 1000 // 8
    # on seven slots one raft a day stands 4 days, if none may wait; holes alone would let ten heads through
    seven = small(demands=daily(98, 8), lane_slots=7, crops=[quick_crop(raft=(4, 0, 10_000))])
    found = limit_of(steady_week(seven), EFFORT, Depth(season=False))
    assert found.whole == 6 * 1000 // 8
    assert found.linear == pytest.approx(7 * 7 / 4 * 6 / 56)


def test_what_was_looked_for_and_not_found_is_told_as_missed(monkeypatch):
    assert limit(small()).missed is None
    monkeypatch.setattr("scheduler.model.capacity.limit._season", lambda *_: None)
    assert limit_of(week_of(small()), EFFORT, Depth()).missed is Sought.SEASON
    monkeypatch.setattr("scheduler.model.capacity.limit.whole_week", lambda *_: None)
    assert limit_of(week_of(small()), EFFORT, Depth()).missed is Sought.WHOLE
    assert limit_of(week_of(small()), EFFORT, Depth(whole=False)).missed is None


def test_a_cycle_of_two_weeks_may_carry_more_than_one_of_a_week():
    # one slot, 10 days on it: nothing repeats every week, one raft every second week does
    slow = quick_crop(raft=(10, 2, 10_000))
    farm = small(crops=[slow], lane_slots=1)
    assert limit(farm, 6).whole == 0
    two = limit(farm, 6, weeks=2)
    assert two.whole == 500
    assert two.parts[0].whole == 3
    assert two.linear == pytest.approx(linear(farm, 6) / 6)


def test_twice_of_everything_carries_at_least_twice_as_much():
    for slots in (1, 3):
        farm = small(lane_slots=slots, tier_slots=3)
        once, twice = limit(farm).whole, limit(times_everything(farm, 2)).whole
        assert twice >= 2 * once > 0


def test_more_slots_never_carry_less():
    found = [limit(small(lane_slots=slots)).whole for slots in (2, 3, 4, 5)]
    assert all(after >= before for before, after in pairwise(found))


def test_a_season_is_planned_with_what_the_week_carries():
    twice = dict.fromkeys((Work.SOW, Work.TRANSPLANT, Work.RAFT, Work.HARVEST), (0, 3))
    farm = small(days=28, lane_slots=2, work_days=twice)
    found = limit_of(week_of(farm, 6), SolveSettings(seconds=0.3, deterministic=True), Depth())
    assert found.season is not None
    assert found.season.filled > 0.9
    assert 880 * found.whole // 1000 <= found.season.times <= found.whole


def test_the_season_asks_for_the_mix_every_week_on_the_days_of_the_week():
    farm = small(days=42)
    asked = with_demand(week_of(farm, 20), 1500).demands
    assert [(each.first, each.last, each.amount) for each in asked] == [
        (7 * week, 7 * week + 6, 30) for week in range(6)
    ]
    orders = [delivery("Lettuce", 7 * week + 2, 10, name=f"R {week}") for week in range(6)]
    asked = with_demand(steady_week(small(days=42, demands=orders)), 1100).demands
    assert {(each.first % 7, each.amount, each.is_target) for each in asked} == {(2, 11, False)}


def test_without_a_wish_for_whole_units_only_the_bound_is_told():
    found = limit_of(week_of(small()), EFFORT, Depth(whole=False, season=False))
    assert (found.whole, found.season, found.parts[0].whole) == (None, None, None)
    assert found.linear == pytest.approx(4)


def test_a_stop_leaves_out_what_is_not_yet_looked_for():
    stop = threading.Event()
    told = []
    stop.set()
    found = limit_of(week_of(small()), EFFORT, Depth(), told.append, stop)
    assert (found.whole, told) == (None, [])


def test_each_step_is_told():
    told = []
    boards = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000))
    limit_of(week_of(small(crops=[boards])), EFFORT, Depth(season=False), told.append)
    assert told == ["finding a steady week of whole units"]
