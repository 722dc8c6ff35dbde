"""Work of each day on one line: kinds together, beside what the crew has."""

from farms import make_farm
from samples import small_farm, small_plan

from scheduler.plan.rows import HoursRow
from scheduler.plan.views.day_hours import day_hours


def work(day, kind, minutes):
    return HoursRow(day=day, work=kind, minutes=minutes, crew=None)


def test_kinds_of_work_are_added_up_by_day_on_reported_days():
    rows = (work(3, "cut", 10_00), work(0, "sow", 5_00), work(3, "wash", 2_50), work(40, "cut", 9_00))
    first, second = day_hours(small_farm(), small_plan(hours=rows))
    assert (first.day, first.by_work, first.total, first.share) == (0, {"sow": 5_00}, 5_00, None)
    assert (second.day, second.by_work, second.total) == (3, {"cut": 10_00, "wash": 2_50}, 12_50)


def test_work_is_a_part_of_what_the_crew_has():
    farm = make_farm(days=7, crew=20_00)
    (day,) = day_hours(farm, small_plan(hours=(work(2, "sow", 5_00),)))
    assert (day.crew, day.share) == (20_00, 0.25)
    none = make_farm(days=7, crew=0)
    assert day_hours(none, small_plan(hours=(work(2, "sow", 5_00),)))[0].share is None
