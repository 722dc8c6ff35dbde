"""Sums of a week agree with the plan's own rows, and cover the days that lie ahead."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

from farms import FIRST_DAY
from samples import CALENDAR, small_farm, small_plan, task

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.farm.calendar import Work
from scheduler.outputs.csv_folder import read_plan
from scheduler.plan.rows import HoursRow
from scheduler.plan.tally import growing_units
from scheduler.plan.views.weeks_total import weeks_total

EXAMPLE = Path(__file__).parents[3] / "examples" / "alder-quay"


def totals(*tasks, hours=(), farm=None):
    return weeks_total(farm or small_farm(), small_plan(tasks=tasks, hours=hours))


def hour(day, minutes, work="sow"):
    return HoursRow(day=day, work=work, minutes=minutes, crew=None)


def test_a_week_adds_up_its_tasks_by_kind_of_work_and_its_hours_by_day():
    (week,) = totals(
        task("s1", 7, "sow", units=2, plants=196),
        task("s2", 13, "sow", units=0, plants=98),
        task("b", 8, "transplant", units=3, plants=100),
        task("r", 8, "raft", units=4, plants=90),
        task("c", 9, "cut", units=4, plants=88),
        task("d1", 9, "deliver", units=0, plants=50),
        task("d2", 10, "deliver", units=0, plants=30),
        task("o", 10, "order", units=3, plants=1500),
        task("u", 10, "uncover", units=9, plants=900),
        hours=(hour(9, 30_00, "cut"), hour(7, 10_50), hour(9, 5_00, "wash")),
    )
    assert (week.monday, week.first, week.last, week.opens, week.tasks) == (7, 7, 13, 7, 9)
    assert (week.trays, week.cells) == (2, 294)
    assert (week.boards, week.on_boards, week.rafts, week.on_rafts) == (3, 100, 4, 90)
    assert (week.heads, week.deliveries, week.orders) == (88, 2, 1)
    assert week.minutes == ((7, 10_50), (9, 35_00))
    assert week.all_minutes == 45_50


def test_a_sunday_belongs_to_the_week_before_and_a_monday_begins_a_new_one():
    assert [(week.monday, week.cells) for week in totals(task("a", 6, "sow"), task("b", 7, "sow"))] == [
        (0, 196),
        (7, 196),
    ]


def test_weeks_without_anything_are_left_out_and_hours_alone_make_one():
    weeks = totals(task("a", 0, "sow"), hours=(hour(14, 5_00, "wash"),))
    assert [(week.monday, week.tasks) for week in weeks] == [(0, 1), (14, 0)]


def test_what_lies_before_today_or_past_the_last_day_does_not_count():
    rows = [task(f"{day}", day, "sow") for day in (-1, 1, 2, 27, 28)]
    hours = tuple(hour(day, 1_00) for day in (-1, 1, 2, 27, 28))
    first, last = totals(*rows, hours=hours, farm=small_farm(today=2))
    assert (first.first, first.last, first.cells, first.minutes) == (2, 6, 196, ((2, 1_00),))
    assert (last.first, last.last, last.cells, last.minutes) == (21, 27, 196, ((27, 1_00),))


def test_a_plan_that_begins_within_a_week_has_a_monday_before_its_first_day():
    midweek = replace(CALENDAR, first_day=FIRST_DAY.replace(day=5))
    (week,) = totals(task("a", 0, "sow"), farm=replace(small_farm(), calendar=midweek))
    assert (week.monday, week.first, week.last) == (-3, 0, 3)


def test_the_week_opens_on_its_first_day_with_any_work_or_else_on_its_first():
    def opens(work_days, closed):
        calendar = replace(
            CALENDAR,
            work_days={work: frozenset(work_days) for work in Work},
            closed={work: frozenset(closed) for work in Work},
        )
        (week,) = totals(task("a", 13, "uncover"), farm=replace(small_farm(), calendar=calendar))
        return week.opens

    assert opens({1, 3}, ()) == 8
    assert opens({1, 3}, {8}) == 10
    assert opens((), ()) == 7


def test_sums_of_an_example_season_are_those_of_its_units_cuts_and_hours():
    farm = build_farm(read_book(EXAMPLE / "book"))
    plan = read_plan(EXAMPLE / "plan", farm.calendar)
    weeks = weeks_total(farm, plan)
    found = growing_units(farm, plan)
    kinds = Counter(u.item for u in plan.units if u.unit not in found and u.enters < farm.calendar.days)
    assert sum(week.trays for week in weeks) == kinds["tray"] > 0
    assert sum(week.boards for week in weeks) == kinds["board"] > 0
    assert sum(week.rafts for week in weeks) == kinds["raft"] > 0
    ahead = [row for row in plan.cuts if row.day < farm.calendar.days]
    assert sum(week.heads for week in weeks) == sum(row.heads for row in ahead) > 0
    assert sum(week.cells for week in weeks) == sum(r.cells for r in plan.seed if r.day < farm.calendar.days)
    hours = [row.minutes for row in plan.hours if row.day < farm.calendar.days]
    assert sum(week.all_minutes for week in weeks) == sum(hours) > 0
    got = [row for row in plan.demands if row.reported and not row.target and row.filled]
    assert sum(week.deliveries for week in weeks) == len(got) > 0
