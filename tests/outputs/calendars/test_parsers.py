"""Other programs read the files of a whole season without a fault, and read the same in them."""

from pathlib import Path

import pytest
from outputs.calendars.ics_rules import faults
from outputs.calendars.parsers import Libical, by_icalendar, by_vobject

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.outputs.calendars import calendar_files
from scheduler.outputs.csv_folder import read_plan

EXAMPLE = Path(__file__).parents[3] / "examples" / "alder-quay"


@pytest.fixture(scope="module")
def season():
    """The example's files, published once, and again with every second event changed and some called off."""
    farm = build_farm(read_book(EXAMPLE / "book"))
    plan = read_plan(EXAMPLE / "plan", farm.calendar)
    first = calendar_files(farm, plan, {}, 420)
    fewer = type(plan)(
        **{name: getattr(plan, name) for name in plan.__slots__}
        | {"tasks": plan.tasks[::2], "demands": plan.demands[::2]}
    )
    return first, calendar_files(farm, fewer, first, 420)


def test_every_file_keeps_the_rules(season):
    for files in season:
        assert {name: faults(data) for name, data in files.items()} == dict.fromkeys(files, [])


def test_two_parsers_read_the_same_events(season):
    for files in season:
        for name, data in files.items():
            read = by_vobject(data)
            assert by_icalendar(data) == read, name
            assert len(read) == data.count(b"BEGIN:VEVENT"), name


@pytest.mark.libical
def test_libical_has_nothing_against_them(season, libical_path):
    libical = Libical(libical_path)
    for files in season:
        assert {name: libical.faults(data) for name, data in files.items()} == dict.fromkeys(files, [])


def test_the_second_publication_corrects_and_calls_off(season):
    _, second = season
    assert b"STATUS:CANCELLED" in second["tasks.ics"]
    assert b"SEQUENCE:1" in second["calendars/cut.ics"]
