"""Rules of repetition: what RFC 5545 (3.3.10) allows is taken, and each fault is told with what would do."""

from datetime import date

import pytest
from helpers import faults_of

from scheduler.book.parse import Refused
from scheduler.book.repeats import parse_repeat, repeat_faults


def told(rule):
    return [f"{fault.found}: {fault.expected}" for fault in repeat_faults(rule)]


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=DAILY",
        "FREQ=DAILY;INTERVAL=3;BYMONTH=4,5;BYDAY=MO",
        "FREQ=WEEKLY;BYDAY=MO,TH",
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=FR;WKST=SU",
        "FREQ=MONTHLY;BYMONTHDAY=31",
        "FREQ=MONTHLY;BYMONTHDAY=-1",
        "FREQ=MONTHLY;BYDAY=-1FR",
        "FREQ=MONTHLY;BYDAY=+2TU,-5SA",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29",
        "FREQ=YEARLY;BYWEEKNO=53;BYDAY=MO",
        "FREQ=YEARLY;BYYEARDAY=-366",
        "FREQ=YEARLY;BYDAY=53MO",
        "FREQ=WEEKLY;COUNT=10",
    ],
)
def test_rules_that_keep_the_standard_are_taken_as_they_are(rule):
    assert parse_repeat(rule).text == rule
    assert parse_repeat(rule).until is None


def test_small_letters_spaces_and_the_word_before_the_rule_are_forgiven():
    assert parse_repeat("RRULE: freq=weekly; byday=mo, th;").text == "FREQ=WEEKLY;BYDAY=MO,TH"


def test_the_last_day_of_a_rule_is_taken_out_of_it():
    taken = parse_repeat("FREQ=WEEKLY;UNTIL=20261231;BYDAY=MO")
    assert (taken.text, taken.until) == ("FREQ=WEEKLY;BYDAY=MO", date(2026, 12, 31))


@pytest.mark.parametrize(
    ("rule", "fault"),
    [
        ("every Monday", "'every Monday': FREQ= and how often, such as FREQ=WEEKLY;BYDAY=MO,TH"),
        ("weekly", "'weekly': FREQ= and how often, such as FREQ=WEEKLY"),
        ("BYDAY=MO", "'BYDAY=MO': FREQ= and how often, such as FREQ=WEEKLY;BYDAY=MO,TH"),
        ("FREQ=HOURLY", "'FREQ=HOURLY': FREQ=DAILY, WEEKLY, MONTHLY or YEARLY"),
        ("FREQ=FORTNIGHTLY", "'FREQ=FORTNIGHTLY': FREQ=DAILY, WEEKLY, MONTHLY or YEARLY"),
        ("FREQ=DAILY;BYHOUR=9", "'BYHOUR=9': parts that are of whole days: chores have no hour"),
        ("FREQ=WEEKLY;BYDAYS=MO", "'BYDAYS=MO': 'BYDAY='?"),
        (
            "FREQ=WEEKLY;RSCALE=GREGORIAN",
            "'RSCALE=GREGORIAN': parts such as FREQ=WEEKLY;BYDAY=MO,TH (RFC 5545, 3.3.10)",
        ),
        ("FREQ=WEEKLY;FREQ=DAILY", "FREQ twice: each part once"),
        ("FREQ=WEEKLY;INTERVAL=0", "'INTERVAL=0': a whole number from 1 to 1000, such as INTERVAL=2"),
        ("FREQ=WEEKLY;INTERVAL=1001", "'INTERVAL=1001': a whole number from 1 to 1000, such as INTERVAL=2"),
        ("FREQ=WEEKLY;COUNT=0", "'COUNT=0': how many times in all, such as COUNT=10"),
        ("FREQ=WEEKLY;UNTIL=20260231", "'UNTIL=20260231': a day without an hour, such as UNTIL=20261231"),
        (
            "FREQ=WEEKLY;UNTIL=20261231T000000Z",
            "'UNTIL=20261231T000000Z': a day without an hour, such as UNTIL=20261231",
        ),
        ("FREQ=WEEKLY;BYDAY=Mon", "'BYDAY=MON': 'MO'?"),
        ("FREQ=WEEKLY;BYDAY=XX", "'BYDAY=XX': MO, TU, WE, TH, FR, SA, SU"),
        ("FREQ=WEEKLY;BYDAY=1MO", "'BYDAY=1MO': MO alone: only months and years number their weekdays"),
        ("FREQ=MONTHLY;BYDAY=6MO", "'BYDAY=6MO': a number from 1 to 5, or from -1 to -5 from the end"),
        ("FREQ=MONTHLY;BYDAY=0MO", "'BYDAY=0MO': a number from 1 to 5, or from -1 to -5 from the end"),
        ("FREQ=YEARLY;BYWEEKNO=1;BYDAY=1MO", "'BYDAY=1MO': MO alone beside BYWEEKNO"),
        ("FREQ=MONTHLY;BYMONTHDAY=32", "'BYMONTHDAY=32': 1 to 31, or -1 to -31 from the end"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "'BYMONTHDAY=0': 1 to 31, or -1 to -31 from the end"),
        ("FREQ=YEARLY;BYMONTH=13", "'BYMONTH=13': 1 to 12"),
        ("FREQ=YEARLY;BYMONTH=-1", "'BYMONTH=-1': 1 to 12"),
        ("FREQ=WEEKLY;BYMONTHDAY=1", "BYMONTHDAY with FREQ=WEEKLY: FREQ=DAILY, MONTHLY or YEARLY"),
        ("FREQ=MONTHLY;BYWEEKNO=1", "BYWEEKNO with FREQ=MONTHLY: FREQ=YEARLY"),
        ("FREQ=DAILY;BYYEARDAY=1", "BYYEARDAY with FREQ=DAILY: FREQ=YEARLY"),
        ("FREQ=DAILY;COUNT=3;UNTIL=20261231", "COUNT beside UNTIL: one of the two alone"),
        ("FREQ=MONTHLY;BYSETPOS=1", "BYSETPOS alone: the days it picks from beside it, such as BYDAY=MO"),
        ("FREQ=DAILY;BYDAY=MO;BYSETPOS=2", "BYSETPOS=2 with FREQ=DAILY: 1, for a day has one day alone"),
        ("FREQ=WEEKLY;BYDAY=MO;BYSETPOS=-8", "BYSETPOS=-8 with FREQ=WEEKLY: 7, or -7 from the end, at most"),
        ("FREQ=DAILY;COUNT", "'COUNT': 'COUNT=' and its value"),
        ("BYDAY=MO;FREQ", "'BYDAY=MO;FREQ': FREQ= and how often, such as FREQ=WEEKLY;BYDAY=MO,TH"),
        (
            "FREQ=YEARLY;BYMONTH=2,2;BYMONTHDAY=30",
            "'BYMONTH=2,2;BYMONTHDAY=30': a day that some of these months have",
        ),
    ],
)  # fmt: skip
def test_what_breaks_the_standard_is_told_with_what_would_do(rule, fault):
    assert told(rule) == [fault]
    with pytest.raises(Refused):
        parse_repeat(rule)


def test_every_fault_of_a_rule_is_told_at_once():
    assert len(told("FREQ=WEEKLY;INTERVAL=x;BYDAY=MO,XY,2TU;UNTIL=never")) == 4


def test_a_fault_has_the_cell_of_its_rule_and_other_faults_of_the_book_beside_it(tmp_path):
    rows = (
        "chore,rule,from,minutes,when_closed\n"
        "Flush,weekly,2026-03-02,10,\n"
        "Flush,FREQ=DAILY,2026-03-02,-1,\n"
        "Drain,FREQ=DAILY,,5,later\n"
    )
    assert faults_of(tmp_path, chores=rows) == [
        "chores!B2: found 'weekly'; expected FREQ= and how often, such as FREQ=WEEKLY",
        "chores!A3: found 'Flush' again; expected a name of its own (chores!A2 has it)",
        "chores!D3: found '-1'; expected 0 to 6000 (min)",
        "chores!C4: found a blank cell; expected from, such as 2026-03-02",
        "chores!E4: found 'later'; expected keep, before, after or skip (did you mean after?)",
    ]
