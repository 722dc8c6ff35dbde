"""The bottleneck of each week, and the days on which something was used up."""

from dataclasses import replace

from farms import RAFT, delivery, make_farm
from solving import quick_crop, solved

from scheduler.plan.relief import Grant, Limit
from scheduler.plan.rows import Plan
from scheduler.plan.views.bottleneck import CREW, bottlenecks
from scheduler.plan.views.used_up import used_up


def farm_with(**needs):
    """Twelve heads on day 7: two rafts on days 3 to 6, one tray on days 0 to 2."""
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 0, 10_000), minutes={"cut": 1_00})
    return make_farm(
        **{
            "days": 21,
            "lane_slots": 4,
            "crops": [crop],
            "demands": [delivery("Lettuce", 7, 12, max_age=0)],
            **needs,
        }
    )


def test_the_place_nearest_its_limit_is_that_of_the_week_and_weeks_without_use_have_none():
    farm = farm_with()
    (week,) = bottlenecks(farm, solved(farm))
    assert (week.first, week.last) == (0, 6)
    assert (week.name, week.called, week.day, week.used, week.there) == ("Trough", "trough", 3, 2, 4)
    assert week.share == 0.5


def test_equipment_and_crew_count_as_well():
    farm = farm_with(rafts=2)
    assert [(each.name, each.share) for each in bottlenecks(farm, solved(farm))] == [(RAFT, 1.0)]
    farm = farm_with(crew=12_00)
    found = bottlenecks(farm, solved(farm))
    assert [(each.called, each.day, each.used, each.there) for each in found] == [
        ("trough", 3, 2, 4),
        (CREW, 7, 12_00, 12_00),
    ]


def test_weeks_with_the_same_bottleneck_are_told_together_with_the_fullest_day_of_all():
    demands = [delivery("Lettuce", 7, 6, max_age=0), delivery("Lettuce", 14, 18, max_age=0)]
    farm = farm_with(demands=demands)
    (both,) = bottlenecks(farm, solved(farm))
    assert (both.first, both.last, both.day, both.used) == (0, 13, 10, 3)


def test_weeks_with_nothing_in_use_between_them_keep_two_stretches_apart():
    demands = [delivery("Lettuce", day, 6, max_age=0) for day in (7, 35)]
    farm = farm_with(days=42, demands=demands)
    assert [(each.first, each.last) for each in bottlenecks(farm, solved(farm))] == [(0, 6), (28, 34)]


def test_a_plan_without_any_use_has_no_bottleneck():
    farm = farm_with(demands=[])
    assert bottlenecks(farm, solved(farm)) == ()


def days_used_up(farm, limit, what, first=0, last=20):
    plan: Plan = solved(farm)
    return used_up(farm, plan, Grant(limit=limit, what=what, amount=1, first=first, last=last))


def test_days_on_which_a_place_a_kind_or_the_hours_are_used_up():
    assert days_used_up(farm_with(lane_slots=2), Limit.ROW, "Trough 1") == [3, 4, 5, 6]
    assert days_used_up(farm_with(lane_slots=3), Limit.ROW, "Trough 1") == []
    assert days_used_up(farm_with(rafts=2), Limit.RAFTS, RAFT, first=5) == [5, 6]
    assert days_used_up(farm_with(crew=12_50), Limit.HOURS, "") == [7]
    assert days_used_up(farm_with(crew=13_00), Limit.HOURS, "") == []


def test_a_closed_place_is_not_used_up():
    farm = farm_with(lane_slots=2)
    closed = replace(farm, demands=())
    assert days_used_up(closed, Limit.ROW, "Trough 1") == []
    assert days_used_up(closed, Limit.DAY, "") == []
