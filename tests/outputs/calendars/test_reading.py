"""Older files: what was written here is known again, what is damaged or foreign is left aside."""

import pytest
from outputs.calendars.calendar_samples import MONDAY, days, publish, sow, uid_on
from outputs.calendars.ics_rules import faults
from samples import small_farm, task

from scheduler.outputs.calendars.reading import read
from scheduler.outputs.calendars.writing import write

FIRST = publish(sow("A", 9), task("t", 10, "thin"), alarm=425)


@pytest.mark.parametrize("name", sorted(FIRST))
def test_what_is_read_and_written_again_is_the_same_bytes(name):
    assert write(read(FIRST[name])) == FIRST[name]


@pytest.mark.parametrize(
    "damaged",
    [
        b"",
        b"no calendar at all",
        b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n",
        b"END:VCALENDAR\r\n",
        b"\xff\xfe",
        FIRST["tasks.ics"][:-20],
        FIRST["tasks.ics"].replace(b"END:VEVENT\r\n", b"", 1),
        FIRST["tasks.ics"].replace(b"X-RAFTWAY-FARM:", b"X-OTHER:"),
        FIRST["tasks.ics"].replace(b"NAME:", b"NAME:\xe9"),
        FIRST["tasks.ics"].replace(b"\r\nUID:", b"\r\nUID:x", 1),
        b"BEGIN:VCALENDAR\r\n" * 5000,
    ],
)
def test_a_file_damaged_as_a_whole_is_left_aside(damaged):
    assert publish(*MONDAY, before={"tasks.ics": damaged}) == publish(*MONDAY)


def test_a_lost_file_of_all_work_is_made_up_for_by_those_of_single_kinds():
    kinds = {name: data for name, data in FIRST.items() if name != "tasks.ics"}
    changed = publish(sow("A", 12), before=FIRST)
    assert publish(sow("A", 12), before=kinds) == changed
    assert publish(sow("A", 12), before={"tasks.ics": FIRST["tasks.ics"]}) == changed


def test_the_calendar_of_another_farm_is_left_aside():
    other = publish(*MONDAY, farm=small_farm(name="Other"))
    assert publish(*MONDAY, before=other) == publish(*MONDAY)


@pytest.mark.parametrize(
    ("line", "damage"),
    [
        (b"SEQUENCE:0", b"SEQUENCE:many"),
        (b"SEQUENCE:0", b"SEQUENCE:99999999999999999999"),
        (b"SEQUENCE:0", b"SEQUENCE:2147483647"),
        (b"SEQUENCE:0", b"SEQUENCE:0\r\nSEQUENCE:1"),
        (b"DTSTART;VALUE=DATE:20260311", b"DTSTART;VALUE=DATE:20260231"),
        (b"DTSTART;VALUE=DATE:20260311", b"DTSTART:20260311T080000"),
        (b"DTSTART;VALUE=DATE:20260311", b"DTSTART;VALUE=DATE:99991231"),
        (b"DTSTAMP:20260302T000000Z", b"DTSTAMP:20260302T990000Z"),
        (b"DTSTAMP:20260302T000000Z", b"X-STAMP:20260302T000000Z"),
        (b"CATEGORIES:sow", b"CATEGORIES:sow\\,thin"),
        (b"SUMMARY:Sow", b"SUMMARY;LANGUAGE=en:\r\nX-SAID:Sow"),
        (b"STATUS:CONFIRMED", b"STATUS:MAYBE"),
    ],
)
def test_of_a_file_with_a_damaged_event_the_others_are_still_known(line, damage):
    start = FIRST["tasks.ics"].index(b"SUMMARY:Sow")
    head, tail = FIRST["tasks.ics"][:start], FIRST["tasks.ics"][start:]
    assert line in tail
    files = publish(task("t", 11, "thin"), before={"tasks.ics": head + tail.replace(line, damage, 1)})
    assert days(files) == {uid_on(FIRST, 10, "thin"): (11, 1, "CONFIRMED")}


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.replace(b"\r\n", b"\n"),
        lambda data: b"\xef\xbb\xbf" + data,
        lambda data: data.replace(b"\r\n ", b"\r\n\t"),
        lambda data: data.replace(b"SUMMARY:", b"summary;X-A=1:"),
    ],
)
def test_a_file_that_another_program_has_only_wrapped_anew_is_still_known(change):
    again = publish(
        sow("A", 9), task("t", 10, "thin"), alarm=425, before={"tasks.ics": change(FIRST["tasks.ics"])}
    )
    assert again == FIRST


def test_an_event_that_was_put_in_twice_counts_as_it_was_changed_last():
    later = publish(sow("A", 12), task("t", 10, "thin"), before=FIRST, alarm=425)
    body = later["tasks.ics"].split(b"CALSCALE")[1].split(b"BEGIN:VEVENT", 1)[1]
    both = FIRST["tasks.ics"].replace(b"END:VCALENDAR\r\n", b"BEGIN:VEVENT" + body)
    assert publish(sow("A", 12), task("t", 10, "thin"), before={"tasks.ics": both}, alarm=425) == later


@pytest.mark.parametrize(
    "text", ["C:\\New", "a\\nb", "a\\\\N", "\\", "a;b,c:d", "\\,", '"^n^^"', "100%2C", " x "]
)
def test_backslashes_and_signs_of_a_text_are_read_as_they_were_written(text):
    first = publish(task("a", 9, "sow", note=text, crop=text), alarm=0)
    assert publish(task("a", 9, "sow", note=text, crop=text), alarm=0, before=first) == first
    assert [faults(data) for data in first.values()] == [[]] * len(first)
