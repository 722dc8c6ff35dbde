"""Chores on the days of a plan: what their rule says, what closed days do, and what is left of the hours."""

from calendar import FRIDAY, monthcalendar
from datetime import date, timedelta

import pytest
from farms import chore
from helpers import farm_of, faults_of, write_book
from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.book import read_book
from scheduler.farm.advice import advice
from scheduler.farm.build import build_farm
from scheduler.farm.chores import less_chores
from scheduler.farm.places import Steps


def chores_csv(rule, start="2026-03-02", **cells):
    row = {"chore": "Flush", "rule": f'"{rule}"', "from": start, **cells}
    return ",".join(row) + "\n" + ",".join(row.values()) + "\n"


def dates(folder, rule, start="2026-03-02", *, first_day="2026-03-02", weeks="8", tables=None, **cells):
    """Return the days a chore is done on."""
    settings = {"first_day": first_day, "weeks": weeks}
    orders = "order,customer,product,amount,weekdays,to\nR1,Inn,Butterhead head,1,Tue,2199-12-31\n"
    made = {"chores": chores_csv(rule, start, **cells), "orders": orders} | (tables or {})
    farm = farm_of(folder, settings, **made)
    last = farm.calendar.days
    return [str(farm.date_of(each.day)) for each in farm.chores if each.day < last]


def test_a_book_without_chores_has_none(tmp_path):
    assert farm_of(tmp_path).chores == ()


def test_every_cell_is_taken_over(tmp_path):
    cells = {"minutes": "12.505", "place": "Sump", "who": "Ada", "note": "slowly"}
    farm = farm_of(tmp_path, chores=chores_csv("FREQ=MONTHLY;BYMONTHDAY=9", **cells))
    first = farm.chores[0]
    assert first == chore(7, 12_51, chore="Flush", place="Sump", who="Ada", note="slowly")
    assert farm.date_of(first.day) == date(2026, 3, 9)


def test_two_days_a_week(tmp_path):
    found = dates(tmp_path, "FREQ=WEEKLY;BYDAY=MO,TH", weeks="2")
    assert found == ["2026-03-02", "2026-03-05", "2026-03-09", "2026-03-12"]


def test_every_second_week_is_counted_from_its_first_day_and_not_from_the_plan(tmp_path):
    rule, start = "FREQ=WEEKLY;INTERVAL=2;BYDAY=FR", "2026-02-20"
    assert dates(tmp_path, rule, start, weeks="4") == ["2026-03-06", "2026-03-20"]
    assert dates(tmp_path, rule, start, first_day="2026-03-09", weeks="4") == ["2026-03-20", "2026-04-03"]


def test_the_first_and_last_day_hold_and_so_does_a_last_day_in_the_rule(tmp_path):
    rule = "FREQ=WEEKLY;BYDAY=MO"
    held = ["2026-03-09", "2026-03-16"]
    assert dates(tmp_path, rule, "2026-03-03", to="2026-03-16") == held
    assert dates(tmp_path, f"{rule};UNTIL=20260316", "2026-03-03") == held
    assert dates(tmp_path, f"{rule};COUNT=2", "2026-03-03") == held


def test_a_count_is_counted_from_the_first_day_even_long_before_the_plan(tmp_path):
    assert dates(tmp_path, "FREQ=WEEKLY;BYDAY=MO;COUNT=3", "2026-02-16") == ["2026-03-02"]


def test_months_without_a_31st_are_passed_over_and_their_last_day_is_not(tmp_path):
    some = {"first_day": "2026-01-05", "weeks": "26"}
    found = dates(tmp_path, "FREQ=MONTHLY;BYMONTHDAY=31", "2026-01-01", **some)
    assert found == ["2026-01-31", "2026-03-31", "2026-05-31"]
    last = dates(tmp_path, "FREQ=MONTHLY;BYMONTHDAY=-1", "2026-01-01", **some)
    assert last == ["2026-01-31", "2026-02-28", "2026-03-31", "2026-04-30", "2026-05-31", "2026-06-30"]


def test_the_last_friday_is_that_of_each_month_also_where_there_are_five(tmp_path):
    found = dates(tmp_path, "FREQ=MONTHLY;BYDAY=-1FR", "2026-01-01", first_day="2026-01-01", weeks="104")
    fridays = [
        date(year, month, max(week[FRIDAY] for week in monthcalendar(year, month)))
        for year in (2026, 2027)
        for month in range(1, 13)
    ]
    end = date(2026, 1, 1) + timedelta(weeks=104)
    assert found == [str(friday) for friday in fridays if friday < end]
    assert len(found) == 23  # the last of December 2027 is the day after


def test_the_29th_of_february_comes_in_leap_years_alone(tmp_path):
    rule = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29"
    found = dates(tmp_path, rule, "2024-02-29", first_day="2026-03-02", weeks="156")
    assert found == ["2028-02-29"]
    daily = dates(tmp_path, "FREQ=DAILY", "2028-02-28", first_day="2028-02-28", weeks="1")
    assert daily[:3] == ["2028-02-28", "2028-02-29", "2028-03-01"]


def test_a_week_runs_over_the_turn_of_a_year(tmp_path):
    some = {"first_day": "2026-12-21", "weeks": "4"}
    found = dates(tmp_path, "FREQ=WEEKLY;INTERVAL=2;BYDAY=TH", "2026-12-03", **some)
    assert found == ["2026-12-31", "2027-01-14"]
    # 2026 has 53 weeks by ISO 8601; week 53 begins on 28 December and week 1 of 2027 on 4 January
    assert dates(tmp_path, "FREQ=YEARLY;BYWEEKNO=53;BYDAY=MO", "2020-01-01", **some) == ["2026-12-28"]
    assert dates(tmp_path, "FREQ=YEARLY;BYWEEKNO=1;BYDAY=MO", "2020-01-01", **some) == ["2027-01-04"]


@pytest.mark.parametrize("first_day", ["2026-03-09", "2026-03-23", "2026-10-19", "2026-10-26"])
def test_clocks_that_change_move_nothing(tmp_path, monkeypatch, first_day):
    # 8 and 29 March, 25 October and 1 November 2026 are days on which clocks change somewhere
    for zone in ("America/New_York", "Europe/Berlin", "Australia/Sydney", "UTC"):
        monkeypatch.setenv("TZ", zone)
        found = dates(tmp_path, "FREQ=DAILY", first_day, first_day=first_day, weeks="2")
        start = date.fromisoformat(first_day)
        assert found == [str(start + timedelta(days=step)) for step in range(14)]


CLOSED = {"closures": "from,to,work\n2026-03-12,2026-03-13,all\n2026-03-20,,harvest\n"}


@pytest.mark.parametrize(
    ("when_closed", "expected"),
    [
        ("keep", ["2026-03-05", "2026-03-12", "2026-03-19"]),
        ("before", ["2026-03-05", "2026-03-11", "2026-03-19"]),
        ("after", ["2026-03-05", "2026-03-14", "2026-03-19"]),
        ("", ["2026-03-05", "2026-03-14", "2026-03-19"]),
        ("skip", ["2026-03-05", "2026-03-19"]),
    ],
)
def test_on_a_closed_day_a_chore_is_kept_moved_or_skipped(tmp_path, when_closed, expected):
    rule = "FREQ=WEEKLY;BYDAY=TH"
    assert dates(tmp_path, rule, weeks="3", when_closed=when_closed, tables=CLOSED) == expected


def test_a_day_on_which_only_some_work_is_closed_is_no_closed_day(tmp_path):
    found = dates(tmp_path, "FREQ=WEEKLY;BYDAY=FR", weeks="3", when_closed="skip", tables=CLOSED)
    assert found == ["2026-03-06", "2026-03-20"]


def test_a_day_for_which_the_crew_has_no_hours_is_a_closed_one(tmp_path):
    crew = {"crew": "weekdays,hours\nMon-Fri,4\n"}
    found = dates(tmp_path, "FREQ=WEEKLY;BYDAY=SU", weeks="2", tables=crew)
    assert found == ["2026-03-09"]
    before = dates(tmp_path, "FREQ=WEEKLY;BYDAY=SU", weeks="2", when_closed="before", tables=crew)
    assert before == ["2026-03-06", "2026-03-13"]


def test_a_chore_that_would_fall_on_a_day_twice_is_done_once(tmp_path):
    closed = {"closures": "from,to,work\n2026-03-07,2026-03-08,all\n"}
    found = dates(tmp_path, "FREQ=DAILY", weeks="2", tables=closed)
    assert len(found) == len(set(found)) == 12


def test_what_was_due_before_the_plan_and_moved_into_it_is_done_in_it(tmp_path):
    closed = {"closures": "from,to,work\n2026-02-27,2026-03-03,all\n"}
    farm = farm_of(tmp_path, chores=chores_csv("FREQ=WEEKLY;BYDAY=SA", "2026-01-03"), **closed)
    assert (farm.chores[0].due, farm.chores[0].day) == (-2, 2)


def test_nothing_is_done_before_today(tmp_path):
    book = read_book(write_book(tmp_path, chores=chores_csv("FREQ=WEEKLY;BYDAY=MO")))
    assert min(each.day for each in build_farm(book, date(2026, 3, 10)).chores) == 14


def test_two_last_days_and_one_before_the_first_are_faults(tmp_path):
    rule = "FREQ=DAILY;UNTIL=20260301"
    assert faults_of(tmp_path, chores=chores_csv(rule)) == [
        "chores!B2: found UNTIL on 2026-03-01; expected UNTIL on 2026-03-02 (from) or later"
    ]
    assert faults_of(tmp_path, chores=chores_csv(rule, to="2026-04-01")) == [
        "chores!D2: found a last day beside UNTIL in the rule; expected one of the two alone"
    ]


def notes(folder, **tables):
    book = read_book(write_book(folder, **tables))
    return [str(each) for each in advice(build_farm(book), book) if each.place.table == "chores"]


def test_a_chore_that_is_never_due_in_the_plan_is_told(tmp_path):
    assert notes(tmp_path, chores=chores_csv("FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=24")) == [
        "chores!B2: 'Flush' is not due on any day of the plan"
    ]


def test_a_chore_that_is_due_only_after_the_last_day_is_told_and_a_namesake_is_refused(tmp_path):
    late = chores_csv("FREQ=YEARLY;BYMONTH=4;BYMONTHDAY=27")
    assert notes(tmp_path, chores=late) == ["chores!B2: 'Flush' is not due on any day of the plan"]
    assert notes(tmp_path, chores=late.replace("=27", "=26")) == []
    assert faults_of(tmp_path, chores=late + late.splitlines()[1].lower() + "\n") == [
        "chores!A3: found 'flush'; expected a name that differs from 'Flush' (chores!A2) in more than case "
        "and spaces"
    ]


def test_chores_that_take_more_than_the_crew_has_are_told_with_the_first_day(tmp_path):
    crew = "weekdays,hours\nMon,0.5\nTue-Sun,4\n"
    chores = chores_csv("FREQ=WEEKLY;BYDAY=MO,TU", to="2026-03-10", minutes="31")
    assert notes(tmp_path, chores=chores, crew=crew) == [
        "chores!E2: chores take more than the crew has on 2 days, the first 2026-03-02: 31 minutes of 30; "
        "nothing else is planned then"
    ]
    assert notes(tmp_path, chores=chores.replace("31", "30"), crew=crew) == []


def test_hands_are_what_chores_leave_of_the_hours(tmp_path):
    crew = "weekdays,hours\nMon-Fri,1\n"
    farm = farm_of(tmp_path, chores=chores_csv("FREQ=WEEKLY;BYDAY=TU", minutes="40"), crew=crew)
    assert [farm.hands.on(day) for day in range(7)] == [6000, 2000, 6000, 6000, 6000, 0, 0]
    assert farm_of(tmp_path, chores=chores_csv("FREQ=DAILY", minutes="40")).hands is None


@given(
    crew=st.lists(st.tuples(st.integers(-5, 40), st.integers(0, 90)), max_size=6),
    chores=st.lists(st.tuples(st.integers(0, 40), st.integers(0, 60)), max_size=8),
)
def test_hours_left_are_hours_less_chores_on_every_day(crew, chores):
    steps = Steps(tuple(sorted(dict(crew).items())))
    left = less_chores(steps, [chore(day, minutes) for day, minutes in chores])
    for day in range(-6, 43):
        taken = sum(minutes for at, minutes in chores if at == day)
        assert left.on(day) == max(0, steps.on(day) - taken)
