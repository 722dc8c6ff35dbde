"""A calendar of the week's work: the README's command and the calendar file, checked against the orders."""

import re
from datetime import timedelta

from four_uses import commands, day, output_of
from helpers import rows_of
from icalendar import Calendar

TITLE = "What to do this week"
WEEK = day("2026-04-20")
DAYS = {"Mon": 0, "Tue": 1, "Wed": 2, "Thu": 3, "Fri": 4, "Sat": 5, "Sun": 6}


def ordered(folder, when):
    """Return the units of all standing orders on a day, a changed amount aside."""
    orders = rows_of(folder / "first-farm" / "orders.csv")
    return sum(
        int(each["amount"])
        for each in orders
        if when >= day(each["from"]) and when.weekday() in {DAYS[word] for word in each["weekdays"].split()}
    )


def entries(path):
    """Return (day, summary) of every entry of a calendar file."""
    found = Calendar.from_ical(path.read_bytes())
    return [(each["DTSTART"].dt, str(each["SUMMARY"])) for each in found.walk("VEVENT")]


def delivered(told):
    """Return day -> units of the entries that deliver."""
    found = {}
    for when, summary in told:
        match = re.match(r"Deliver ([0-9,]+) units", summary)
        if match:
            found[when] = found.get(when, 0) + int(match[1].replace(",", ""))
    return found


def test_the_week_on_the_screen_delivers_what_is_ordered(here):
    (command,) = commands(TITLE)
    page = output_of(command)
    assert page.splitlines()[0].endswith("Mon 20 Apr 2026 to Sun 26 Apr 2026")
    told = dict(re.findall(r"^(?:(\w{3}) \d+ Apr| {10}).*?Deliver (\d+) units", page, flags=re.MULTILINE))
    assert {int(units) for units in told.values()} <= {15, 32, 22}
    assert re.findall(r"Deliver (\d+) units", page) == ["15", "32", "22"]
    assert [ordered(here, WEEK + timedelta(days=number)) for number in range(7)] == [0, 15, 0, 32, 22, 0, 0]


def test_the_calendar_delivers_what_is_ordered_on_every_day_of_the_season(here):
    told = delivered(entries(here / "first-plan" / "tasks.ics"))
    for number in range(20 * 7):
        when = day("2026-03-02") + timedelta(days=number)
        # one delivery of boxes is half as much again: 36 salad heads in place of 24
        more = 12 if when == day("2026-06-11") else 0
        assert told.get(when, 0) == ordered(here, when) + more, when


def test_work_stands_on_the_days_of_the_book_and_each_file_has_its_own(here):
    whole = entries(here / "first-plan" / "tasks.ics")
    for name, weekdays in (("sow", {0, 3}), ("transplant", {0, 3}), ("raft", {0, 3}), ("cut", {0, 2, 4})):
        own = entries(here / "first-plan" / "calendars" / f"{name}.ics")
        assert own
        assert {when.weekday() for when, _ in own} <= weekdays
        assert set(own) <= set(whole)


def test_each_customer_s_calendar_has_its_own_deliveries(here):
    orders = rows_of(here / "first-farm" / "orders.csv")
    for name, customer in (
        ("heron-street-kitchen", "Heron Street Kitchen"),
        ("three-bridges-boxes", "Three Bridges Boxes"),
    ):
        days = {when for when, _ in entries(here / f"first-plan/calendars/deliveries-{name}.ics")}
        weekdays = {
            DAYS[word] for each in orders if each["customer"] == customer for word in each["weekdays"].split()
        }
        assert {when.weekday() for when in days} == weekdays
