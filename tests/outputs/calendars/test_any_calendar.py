"""Whatever growers write and however plans change: sound files, and phones that show the plan."""

from datetime import timedelta

import pytest
from farms import FIRST_DAY
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from outputs.calendars.calendar_samples import events, publish
from outputs.calendars.ics_rules import faults
from outputs.calendars.parsers import Libical, by_vobject
from outputs.calendars.phone import Phone
from samples import demand, small_farm, task

HOSTILE = (
    "BEGIN:VEVENT",
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:mine",
    "a\nSTATUS:CANCELLED",
    "a;b,c:d\\e\\n\\N",
    "\\",
    "👩‍🌾🥬" * 40,
    "‮مزرعة‬ שוק",
    "\u2028\u2029\x85\x0b\x0c\x00\x1b[2J",
    "é" * 74 + "𝄞" * 30,
    "=1+1",
    "<b>&amp;</b>",
    "../../x",
    "x" * 3000,
    " ",
    "e\u0301" * 200,
)
TEXTS = st.sampled_from(HOSTILE) | st.text(st.characters(exclude_categories=["Cs"]), max_size=90)
WORKS = st.sampled_from(["sow", "cut", "deliver", "order", "raft"])
NO_EVENTS = b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"
QUICK = settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


@st.composite
def hostile(draw):
    """A farm, tasks and demands whose every text is hostile."""
    rows = draw(st.lists(st.tuples(st.integers(0, 27), WORKS | TEXTS, TEXTS, TEXTS), max_size=5))
    tasks = tuple(
        task(f"{at} {crop}", day, work, lot=lot, crop=crop, note=lot, to=crop, where=lot, unit_kind=crop)
        for at, (day, work, crop, lot) in enumerate(rows)
    )
    asked = draw(st.lists(st.tuples(st.integers(0, 27), TEXTS, TEXTS), max_size=4))
    demands = tuple(
        demand(f"{name} {at}", day, customer=name, product=product, order=product)
        for at, (day, name, product) in enumerate(asked)
    )
    return small_farm(name=draw(TEXTS.filter(lambda text: text.strip() != ""))), tasks, demands


@QUICK
@given(hostile(), st.none() | st.integers(0, 1439))
def test_hostile_texts_make_sound_files_that_are_known_again(given_, alarm):
    farm, tasks, demands = given_
    files = publish(*tasks, farm=farm, demands=demands, alarm=alarm)
    for data in files.values():
        assert faults(data) == []
    assert publish(*tasks, farm=farm, demands=demands, alarm=alarm, before=files) == files
    assert len(events(files["tasks.ics"])) == len({(row.day, row.work) for row in tasks})
    called_off = publish(farm=farm, before=files)
    assert called_off.keys() >= files.keys() - {"calendars/week.ics"}
    assert all(faults(data) == [] for data in called_off.values())


@QUICK
@given(hostile())
def test_another_parser_reads_every_title_on_one_line_and_nothing_is_slipped_in(given_):
    farm, tasks, demands = given_
    for data in publish(*tasks, farm=farm, demands=demands).values():
        read = by_vobject(data)
        assert len(read) == data.count(b"\r\nBEGIN:VEVENT\r\n")
        assert all(uid.endswith("@raftway.invalid") and "\n" not in title for uid, _, title, _ in read)


@pytest.mark.libical
@settings(QUICK, max_examples=15)
@given(hostile())
def test_libical_has_nothing_against_hostile_texts(libical_path, given_):
    farm, tasks, demands = given_
    libical = Libical(libical_path)
    for data in publish(*tasks, farm=farm, demands=demands).values():
        assert libical.faults(data) == []


@st.composite
def seasons(draw):
    """Several plans of one farm, each with its today; lots come, move, part, join and go."""
    lots = [f"{crop}-{number}" for crop in ("BUT", "BAS") for number in range(3)]
    plans = []
    today = 0
    for _ in range(draw(st.integers(2, 6))):
        tasks = {
            f"{work} {lot}": task(f"{work} {lot}", draw(st.integers(today, 27)), work, lot=lot, crop=lot[:3])
            for lot in lots
            for work in ("sow", "cut")
            if draw(st.integers(0, 3))
        }
        asked = {
            name: demand(name, draw(st.integers(today, 27)), customer=name[:5], product=name, order=name[:7])
            for name in ("Zoe A 1", "Zoe A 2", "Linda 3")
            if draw(st.booleans())
        }
        plans.append((today, tuple(tasks.values()), tuple(asked.values())))
        today = min(today + draw(st.sampled_from([0, 0, 1, 3, 7])), 27)
    return plans


@settings(QUICK, max_examples=12)
@given(seasons())
def test_a_phone_that_imports_every_publication_shows_the_latest_plan(plans):
    check_that_phones_follow(plans)


@pytest.mark.soak
@settings(QUICK, max_examples=400)
@given(seasons())
def test_phones_follow_many_seasons(plans):
    check_that_phones_follow(plans)


def check_that_phones_follow(plans):
    phones: dict[str, Phone] = {}
    files: dict[str, bytes] = {}
    for today, tasks, demands in plans:
        farm = small_farm(today=today)
        files = publish(*tasks, farm=farm, demands=demands, before=files)
        fresh = publish(*tasks, farm=farm, demands=demands)
        first_day = FIRST_DAY + timedelta(days=today)
        assert files.keys() >= fresh.keys()
        for name, data in files.items():
            phone, expected = phones.setdefault(name, Phone()), Phone()
            phone.take(data)
            expected.take(fresh.get(name, NO_EVENTS))
            assert phone.ignored == 0
            assert phone.shows(first_day) == expected.shows(first_day)
            assert faults(data) == []
    assert publish(*tasks, farm=farm, demands=demands, before=files) == files


@settings(QUICK, max_examples=15)
@given(seasons())
@example([(0, (task("a", 1, "sow"),), ()), (0, (), ()), (0, (task("a", 1, "sow"),), ())])
def test_an_event_never_changes_its_name_for_a_lower_number_or_an_older_time(plans):
    files: dict[str, bytes] = {}
    ranks: dict[tuple[str, str], tuple] = {}
    for today, tasks, demands in plans:
        files = publish(*tasks, farm=small_farm(today=today), demands=demands, before=files)
        for name, data in files.items():
            for event in events(data):
                rank = (int(event["SEQUENCE"]), event.DTSTAMP)
                assert rank >= ranks.get((name, str(event["UID"])), rank)
                ranks[name, str(event["UID"])] = rank
