"""The crew's events: readable days, cautions where the work is, and weeks at a glance."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from farms import FIRST_DAY, make_greens
from outputs.calendars.calendar_samples import MONDAY, events, publish, unfolded, weeks
from outputs.calendars.ics_rules import faults
from samples import CALENDAR, demand, small_farm, task

from scheduler.outputs.calendars.entries import LONGEST_TITLE
from scheduler.plan.rows import HoursRow


def one(files, work="sow"):
    (found,) = [event for event in events(files["tasks.ics"]) if event.categories == [work]]
    return found


def test_a_day_has_one_event_for_each_kind_of_work_in_the_order_of_the_work():
    files = publish(task("c", 1, "cut"), task("r", 0, "raft"), *MONDAY)
    assert [(event.start, event.categories[0]) for event in events(files["tasks.ics"])] == [
        (date(2026, 3, 2), "raft"),
        (date(2026, 3, 2), "sow"),
        (date(2026, 3, 3), "cut"),
    ]


def test_an_event_says_at_a_glance_what_and_in_its_text_each_lot():
    event = one(publish(*MONDAY))
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
    last = one(publish(task("a", 0, work)), work).description.split("\n")[-1]
    assert caution in last
    assert last.endswith("Local rules and licensed practice decide.")


def test_each_kind_of_work_has_a_file_with_the_same_events_as_the_file_of_all_work():
    files = publish(task("c", 1, "cut"), *MONDAY, task("x", 2, "prune"))
    assert sorted(files) == [
        "calendars/cut.ics",
        "calendars/other.ics",
        "calendars/sow.ics",
        "calendars/week.ics",
        "tasks.ics",
    ]
    single = [event.to_ical() for name in sorted(files)[:4] for event in _all(files[name])]
    assert sorted(single) == sorted(event.to_ical() for event in _all(files["tasks.ics"]))
    assert "NAME:Alder Quay tasks: sow" in unfolded(files["calendars/sow.ics"])


def _all(data):
    return [*events(data), *weeks(data)]


def test_calendars_of_one_farm_have_names_of_their_own_that_stay():
    def names(files):
        return [line for name in sorted(files) for line in unfolded(files[name])[:10] if line[:4] == "UID:"]

    files = publish(*MONDAY, demands=(demand("R1 a", 9), demand("R2 a", 9, customer="Linnet")))
    assert len(set(names(files))) == len(files) == 5
    assert names(files) == names(
        publish(task("a", 5, "sow"), demands=(demand("R", 1), demand("S", 1, customer="Linnet")))
    )


def test_a_week_says_on_its_first_work_day_what_it_holds():
    hours = (
        HoursRow(day=7, work="sow", minutes=40_50, crew=None),
        HoursRow(day=9, work="cut", minutes=120_00, crew=None),
    )
    files = publish(
        task("s", 7, "sow", units=2, plants=196),
        task("b", 8, "transplant", units=3, plants=100),
        task("r", 8, "raft", units=1, plants=36),
        task("c", 9, "cut", units=1, plants=1034),
        task("d", 10, "deliver", units=0, plants=24),
        task("o", 10, "order", units=1, plants=500),
        hours=hours,
    )
    (event,) = weeks(files["calendars/week.ics"])
    assert event.start == date(2026, 3, 9)
    assert event.summary == (
        "Week of 9 Mar: 2.7 h, cut 1,034 heads, 1 delivery, sow 196 cells, 3 boards, 1 raft"
    )
    assert event.description.split("\n") == [
        "Order: 1 order of seed and packaging",
        "Sow: 196 cells in 2 trays",
        "Boards: 3 boards, 100 plants",
        "Rafts: 1 raft, 36 plants",
        "Cut: 1,034 heads",
        "Deliver: 1 delivery",
        "Work: 2.7 h (Mon 9 Mar 41 min, Wed 11 Mar 2.0 h)",
    ]


def test_a_week_tells_open_trays_apart_from_cells_and_from_trays_that_have_cells():
    farm = small_farm()
    farm = replace(farm, crops=farm.crops | {"Shoots": make_greens("Shoots", days=9, window=6, grams=300)})
    shoots = {"lot": "SHO-260309", "crop": "Shoots", "unit_kind": "open tray"}
    cells, open_trays = (
        task("s", 7, "sow", units=2, plants=196),
        task("g", 7, "sow", units=7, plants=7, **shoots),
    )
    both, alone = (
        weeks(publish(*tasks, farm=farm)["tasks.ics"])[0] for tasks in ((cells, open_trays), (open_trays,))
    )
    assert both.summary == "Week of 9 Mar: sow 196 cells, 7 open trays"
    assert both.description == "Sow: 196 cells in 2 trays, 7 open trays"
    assert (alone.summary, alone.description) == ("Week of 9 Mar: sow 7 open trays", "Sow: 7 open trays")
    event = one(publish(cells, open_trays, farm=farm))
    assert "Microgreens: only seed whose label tells of no treatment." in event.description
    assert "Treated seed" not in event.description


def test_the_week_opens_later_where_the_farm_rests_and_says_where_the_plan_begins():
    resting = replace(CALENDAR, closed={work: frozenset({7, 8}) for work in CALENDAR.closed})
    farm = replace(small_farm(today=3), calendar=resting)
    first, second = weeks(publish(task("a", 3, "thin"), task("b", 9, "thin"), farm=farm)["tasks.ics"])
    assert (first.start, first.summary) == (date(2026, 3, 5), "Week of 2 Mar, from Thu 5 Mar: 1 task")
    assert (second.start, second.summary) == (date(2026, 3, 11), "Week of 9 Mar: 1 task")
    assert second.description == "1 task"


def test_a_plan_without_work_says_so_since_a_calendar_must_have_an_event():
    files = publish()
    assert sorted(files) == ["calendars/week.ics", "tasks.ics"]
    (event,) = weeks(files["tasks.ics"])
    assert (event.start, event.summary) == (FIRST_DAY, "No work in this plan")
    assert faults(files["tasks.ics"]) == []


def test_events_of_the_crew_ring_when_asked_and_those_of_customers_never():
    delivery = demand("R1 a", 9)
    quiet, loud = (
        publish(*MONDAY, demands=(delivery,)),
        publish(*MONDAY, demands=(delivery,), alarm=7 * 60 + 30),
    )
    assert not [name for name in quiet if b"VALARM" in quiet[name]]
    for name, data in loud.items():
        rings = unfolded(data).count("TRIGGER:PT7H30M")
        assert rings == (0 if "deliveries" in name else data.count(b"BEGIN:VEVENT")), name
        assert faults(data) == []


@pytest.mark.parametrize(
    ("minutes", "trigger"), [(0, "P0D"), (7 * 60, "PT7H"), (5, "PT5M"), (1439, "PT23H59M")]
)
def test_an_alarm_is_counted_from_midnight_and_read_again_the_same(minutes, trigger):
    files = publish(*MONDAY, alarm=minutes)
    assert f"TRIGGER:{trigger}" in unfolded(files["tasks.ics"])
    assert publish(*MONDAY, alarm=minutes, before=files) == files


@pytest.mark.parametrize("minutes", [-1, 24 * 60])
def test_an_alarm_of_another_day_is_refused(minutes):
    with pytest.raises(ValueError, match="not within one day"):
        publish(*MONDAY, alarm=minutes)


def test_days_past_the_reported_ones_are_left_out():
    last = publish(task("a", 27, "sow"), task("b", 28, "sow"))
    assert [event.start for event in events(last["tasks.ics"])] == [FIRST_DAY + timedelta(days=27)]


def test_two_tasks_of_one_key_are_refused():
    with pytest.raises(ValueError, match="two tasks have the key 'a'"):
        publish(task("a", 0, "sow"), task("a", 1, "sow"))


@pytest.mark.parametrize("day", ["2028-02-28", "2028-02-29", "2027-02-28", "2026-12-31"])
def test_an_event_ends_the_day_after_it_begins_in_leap_years_and_over_new_year_too(day):
    began = date.fromisoformat(day)
    farm = replace(small_farm(), calendar=replace(CALENDAR, first_day=began - timedelta(days=3)))
    (event,) = events(publish(task("a", 3, "sow"), farm=farm)["tasks.ics"])
    assert (event.start, event.end) == (began, began + timedelta(days=1))


def test_a_title_is_cut_where_no_phone_would_show_it():
    event = one(publish(task("a", 0, "sow", crop="Long " * 4000)))
    assert len(event.summary) <= LONGEST_TITLE
    assert event.summary.endswith("…")
    assert event.description.count("Long") == 4000


def test_the_file_tells_programs_how_to_treat_it():
    text = unfolded(publish(*MONDAY, farm=small_farm(name="Café Quay"))["tasks.ics"])
    for line in (
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        "X-PUBLISHED-TTL:PT6H",
        "NAME:Café Quay tasks",
        "X-WR-CALNAME:Café Quay tasks",
        "TRANSP:TRANSPARENT",
        "DTSTAMP:20260302T000000Z",
        "DTSTART;VALUE=DATE:20260302",
        "DTEND;VALUE=DATE:20260303",
    ):
        assert line in text
    assert not [line for line in text if line.startswith("METHOD")]
