"""The rules that judge the calendar files notice each fault they are there for."""

import pytest
from outputs.calendars.calendar_samples import MONDAY, publish
from outputs.calendars.ics_rules import faults
from outputs.calendars.parsers import Libical

SOUND = publish(*MONDAY, alarm=420)["tasks.ics"]


def test_a_sound_file_has_no_fault():
    assert faults(SOUND) == []


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (b"\r\n", b"\n", "something else than CRLF"),
        (b"END:VCALENDAR\r\n", b"END:VCALENDAR", "no end"),
        (b"SUMMARY:", b"SUMMARY:" + b"x" * 80, "octets"),
        (b"SUMMARY:Sow", b"SUMMARY:\xc3\r\n \xa9", "cut within a letter"),
        (b"SUMMARY:Sow", b"SUMMARY:\x00", "control sign"),
        (b"SUMMARY:Sow", b"SUMMARY:\r\n\r\nX:", "is empty"),
        (b"\\, Basil", b", Basil", "without its backslash"),
        (b"\r\nUID:", b"\r\nX-UID:", "0 x UID"),
        (b"SEQUENCE:0", b"SEQUENCE:0\r\nSEQUENCE:1", "2 x SEQUENCE"),
        (b"DTEND;VALUE=DATE:20260303", b"DTEND;VALUE=DATE:20260302", "no day at all"),
        (b"DTEND;VALUE=DATE:20260303", b"DTEND:20260303T000000Z", "DTEND"),
        (b"DTSTAMP:20260302T000000Z", b"DTSTAMP:20260302T000000", "DTSTAMP is"),
        (b"REFRESH-INTERVAL;VALUE=DURATION", b"REFRESH-INTERVAL", "no parameter"),
        (b"STATUS:CONFIRMED", b"STATUS:CANCELLED", "rings"),
        (b"CALSCALE", b"METHOD:PUBLISH\r\nCALSCALE", "ORGANIZER"),
        (b"TRIGGER:PT7H", b"TRIGGER:PT", "TRIGGER is"),
        (b"END:VEVENT\r\nEND:VCALENDAR", b"END:VCALENDAR", "closes something else"),
    ],
)
def test_a_fault_is_told(old, new, told):
    assert old in SOUND
    assert any(told in fault for fault in faults(SOUND.replace(old, new)))


def test_a_name_twice_and_a_calendar_without_events_are_told():
    event = SOUND[SOUND.index(b"BEGIN:VEVENT") : SOUND.index(b"END:VCALENDAR")]
    assert any("2 times" in fault for fault in faults(SOUND.replace(event, event + event)))
    assert "a calendar without any event" in faults(SOUND.replace(event, b""))


@pytest.mark.libical
def test_libical_notices_what_its_restrictions_forbid(libical_path):
    libical = Libical(libical_path)
    assert libical.faults(SOUND) == []
    for old, new in (
        (b"SEQUENCE:0", b"SEQUENCE:0\r\nSEQUENCE:1"),
        (b"CALSCALE", b"METHOD:PUBLISH\r\nCALSCALE"),
        (b"DTSTAMP:20260302T000000Z", b"DTSTAMP:yesterday"),
    ):
        assert libical.faults(SOUND.replace(old, new)) != [], old
