"""The crew's calendar file: readable days, names that stay, corrections that phones understand."""

import re
from datetime import date, timedelta

import pytest
from icalendar import Calendar
from samples import small_farm, task

from scheduler.outputs.calendar_file import calendar_file

MONDAY = (
    task("sow A", 0, "sow"),
    task("sow B", 0, "sow", lot="BAS-260302", crop="Basil", units=1, plants=98),
)


def events(data):
    return Calendar.from_ical(data).events


def one(data, work="sow"):
    (found,) = [event for event in events(data) if event.categories == [work]]
    return found


def unfolded(data):
    return data.decode().replace("\r\n ", "").split("\r\n")


def test_a_day_has_one_event_for_each_kind_of_work_in_the_order_of_the_day():
    tasks = (task("c", 1, "cut"), *MONDAY, task("r", 0, "raft"))
    found = [(event.start, event.categories[0]) for event in events(calendar_file(small_farm(), tasks))]
    assert sorted(found) == [
        (date(2026, 3, 2), "raft"),
        (date(2026, 3, 2), "sow"),
        (date(2026, 3, 3), "cut"),
    ]


def test_an_event_says_at_a_glance_what_and_in_its_text_each_lot():
    event = one(calendar_file(small_farm(), MONDAY))
    assert event.summary == "Sow 3 trays: Butterhead, Basil"
    assert event.description.split("\n")[:2] == [
        "BUT-260302 Butterhead: 2 x 98-cell tray, 196 cells; to Shelf A 1",
        "BAS-260302 Basil: 1 x 98-cell tray, 98 cells; to Shelf A 1",
    ]


@pytest.mark.parametrize(
    ("work", "caution"),
    [
        ("sow", "Treated seed: never for microgreens."),
        ("cut", "Clean hands and clean knives."),
        ("raft", "Wet rafts are heavy: lift with two."),
        ("lift", "Wet rafts are heavy: lift with two."),
        ("transplant", "Keep plugs and cords away from the water."),
    ],
)
def test_cautions_stand_where_the_work_is(work, caution):
    last = one(calendar_file(small_farm(), (task("a", 0, work),)), work).description.split("\n")[-1]
    assert caution in last
    assert last.endswith("Local rules and licensed practice decide.")


def test_the_file_keeps_the_rules_of_calendar_files():
    long = task("long", 0, "cut", note="Häuptel " * 40, crop="a, b; c\nd")
    data = calendar_file(small_farm(name="Café Quay"), (*MONDAY, long))
    lines = data.split(b"\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    assert all(line.decode() is not None for line in lines)
    assert data.endswith(b"END:VCALENDAR\r\n")
    text = unfolded(data)
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT6H" in text
    assert "X-PUBLISHED-TTL:PT6H" in text
    assert "NAME:Café Quay tasks" in text
    assert "X-WR-CALNAME:Café Quay tasks" in text
    assert not [line for line in text if line.startswith("METHOD")]
    assert text.count("DTSTAMP:20260302T000000Z") == 2
    assert text.count("TRANSP:TRANSPARENT") == 2
    assert Calendar.from_ical(data).to_ical() == data


def test_an_event_ends_the_day_after_it_begins():
    text = unfolded(calendar_file(small_farm(), MONDAY))
    assert "DTSTART;VALUE=DATE:20260302" in text
    assert "DTEND;VALUE=DATE:20260303" in text


def test_the_name_of_an_event_does_not_hang_on_its_date_but_on_farm_work_and_key():
    def uid(farm, *tasks):
        return str(events(calendar_file(farm, tasks))[0]["UID"])

    farm = small_farm()
    assert uid(farm, task("a", 0, "sow")) == uid(farm, task("a", 5, "sow"))
    others = {
        uid(farm, task("a", 0, "sow")),
        uid(farm, task("b", 0, "sow")),
        uid(farm, task("a", 0, "thin")),
        uid(small_farm(name="Other"), task("a", 0, "sow")),
    }
    assert len(others) == 4


def test_two_files_of_one_plan_are_the_same_bytes_and_so_is_publishing_it_again_later():
    first = calendar_file(small_farm(), MONDAY)
    assert calendar_file(small_farm(), MONDAY) == first
    ahead = (task("a", 9, "sow"),)
    published = calendar_file(small_farm(), ahead)
    assert calendar_file(small_farm(today=7), ahead, published) == published


def test_only_a_changed_event_gets_a_higher_number_and_a_new_time():
    first = calendar_file(small_farm(), (task("a", 9, "sow"), task("b", 9, "thin")))
    second = calendar_file(small_farm(today=2), (task("a", 10, "sow"), task("b", 9, "thin")), first)
    moved, same = one(second, "sow"), one(second, "thin")
    assert (moved["SEQUENCE"], moved.DTSTAMP.day, moved.start) == (1, 4, date(2026, 3, 12))
    assert (same["SEQUENCE"], same.DTSTAMP.day) == (0, 2)
    assert moved["UID"] == one(first, "sow")["UID"]


def test_an_event_that_left_the_plan_is_called_off_once_and_then_stays_as_it_is():
    first = calendar_file(small_farm(), (task("a", 9, "sow"),))
    second = calendar_file(small_farm(today=2), (), first)
    gone = one(second)
    assert (gone.status, gone["SEQUENCE"]) == ("CANCELLED", 1)
    assert gone.summary == "Cancelled: Sow 2 trays: Butterhead"
    assert calendar_file(small_farm(today=3), (), second) == second


def test_an_event_called_off_comes_back_with_a_higher_number():
    sowing = (task("a", 9, "sow"),)
    second = calendar_file(small_farm(), (), calendar_file(small_farm(), sowing))
    back = one(calendar_file(small_farm(), sowing, second))
    assert (back.status, back["SEQUENCE"], back.summary) == ("CONFIRMED", 2, "Sow 2 trays: Butterhead")


def test_work_of_past_days_is_kept_four_weeks_and_never_called_off():
    first = calendar_file(small_farm(), (task("a", 1, "sow"),))
    assert events(calendar_file(small_farm(today=2), (), first))[0].status == "CONFIRMED"
    assert len(events(calendar_file(small_farm(today=29), (), first))) == 1
    assert events(calendar_file(small_farm(today=30), (), first)) == []


@pytest.mark.parametrize("before", [b"", b"no calendar at all", b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n"])
def test_a_damaged_older_file_is_left_aside(before):
    assert calendar_file(small_farm(), MONDAY, before) == calendar_file(small_farm(), MONDAY)


def test_the_calendar_of_another_farm_is_left_aside():
    other = calendar_file(small_farm(name="Other"), MONDAY)
    assert calendar_file(small_farm(), MONDAY, other) == calendar_file(small_farm(), MONDAY)


def test_days_past_the_reported_ones_are_left_out():
    last = calendar_file(small_farm(), (task("a", 27, "sow"), task("b", 28, "sow")))
    assert [event.start for event in events(last)] == [date(2026, 3, 2) + timedelta(days=27)]


def test_two_tasks_of_one_key_are_refused():
    with pytest.raises(ValueError, match="two tasks have the key 'a'"):
        calendar_file(small_farm(), (task("a", 0, "sow"), task("a", 1, "sow")))


def test_control_signs_of_a_grower_do_not_reach_the_file():
    data = calendar_file(
        small_farm(), (task("a", 0, "sow", crop="Bas\x1b[2Jil\r\nBEGIN:VALARM", note="a\x00b"),)
    )
    assert not re.search(rb"[\x00-\x09\x0b\x0c\x0e-\x1f]", data)
    assert b"\r\nBEGIN:VALARM" not in data
