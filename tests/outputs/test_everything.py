"""A plan folder holds everything, is written in one step, and keeps the plan whatever page fails."""

import json
import re
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from folders import ORDERS, every_byte, planned, write_tables
from samples import small_farm, small_plan

from scheduler.outputs import everything
from scheduler.outputs.csv_folder import read_note, read_plan
from scheduler.outputs.everything import (
    PAGES,
    Edition,
    NotAllMade,
    published,
    versions_now,
    write_plan,
)
from scheduler.outputs.folder import FolderRefused
from scheduler.plan.rows import OPTIONAL_TABLES, TABLES


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return planned(tmp_path_factory.mktemp("everything"))


@pytest.fixture(scope="module")
def files(made):
    """Name -> bytes of every file of a plan, pages and all."""
    return files_of(made)


@pytest.fixture
def no_pages(monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {})


def files_of(made, **edition):
    with TemporaryDirectory() as folder:
        write_plan(Path(folder) / "plan", made.farm, made.plan, made.copy, Edition(**edition))
        return every_byte(Path(folder) / "plan")


def test_all_files_of_a_plan_are_there_and_the_note_lists_them(made, files):
    assert {name for name in files if name.startswith("tables/")} == {
        f"tables/{name}.csv" for name in set(TABLES) - OPTIONAL_TABLES
    }
    assert {name: files[f"book/{name}"] for name in made.copy} == made.copy
    assert {"tasks.ics", "report.html", "plan.xlsx", "labels.html", "plan.json"} <= set(files)
    assert json.loads(files["plan.json"])["files"] == sorted(files)


def test_the_same_plan_gives_the_same_bytes(made, files):
    assert files_of(made) == files


def test_no_page_of_a_plan_names_an_address(files):
    for name, contents in files.items():
        if name.endswith((".html", ".csv", ".json")):
            text = re.sub(r"http" r"://www\.w3\.org/(2000/svg|1999/xlink)\"", "", contents.decode())
            assert not re.search(r"https?://", text), name


def test_the_note_tells_what_the_files_follow(made, no_pages):
    note = json.loads(files_of(made, alarm_minutes=420)["plan.json"])
    assert (note["alarm_minutes"], note["versions"]) == (420, versions_now())
    assert set(versions_now()) == {"raftway", "python", "ortools"}
    assert note["written_with"].startswith("raftway ")
    assert Edition.of_note(note) == Edition(alarm_minutes=420)


@pytest.mark.parametrize("alarm", [None, "07:00", -1, 1440, 1e9, [7]])
def test_an_alarm_that_makes_no_sense_is_left_out(alarm):
    assert Edition.of_note({"alarm_minutes": alarm, "versions": 3}) == Edition()


def test_the_versions_of_a_plan_stay_those_that_made_it(made, no_pages):
    older = {"raftway": "0.0.1"}
    note = json.loads(files_of(made, versions=older)["plan.json"])
    assert note["versions"] == older
    assert Edition.of_note(note).versions == older


def test_phones_ring_only_if_asked(made, no_pages):
    assert b"VALARM" not in files_of(made)["tasks.ics"]
    assert b"VALARM" in files_of(made, alarm_minutes=420)["tasks.ics"]


def test_a_page_that_fails_does_not_cost_the_plan(made, tmp_path, monkeypatch):
    pages = {"one.html": lambda farm, plan: b"one", "two.html": lambda farm, plan: 1 / 0}
    monkeypatch.setattr(everything, "PAGES", pages)
    with pytest.raises(NotAllMade, match=r"could not make two\.html: ZeroDivisionError: division by zero"):
        files_of(made)
    with pytest.raises(NotAllMade) as caught:
        write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    assert list(caught.value.faults) == ["two.html"]
    written = every_byte(tmp_path / "plan")
    assert written["one.html"] == b"one"
    assert "two.html" not in written
    assert read_plan(tmp_path / "plan", made.farm.calendar) == made.plan
    assert read_note(tmp_path / "plan")["files"] == sorted(written)


def test_calendars_that_fail_leave_those_of_the_older_plan(made, tmp_path, monkeypatch, no_pages):
    write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    before = every_byte(tmp_path / "plan")
    monkeypatch.setattr(everything, "calendar_files", lambda *_: 1 / 0)
    with pytest.raises(NotAllMade, match=r"tasks\.ics"):
        write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    assert every_byte(tmp_path / "plan") == before


def test_calendars_follow_those_published_in_the_same_folder(tmp_path, no_pages):
    first = planned(tmp_path)
    write_plan(tmp_path / "plan", first.farm, first.plan, first.copy, Edition())
    assert b"SEQUENCE:1" not in (tmp_path / "plan" / "tasks.ics").read_bytes()
    later = planned(tmp_path, orders=ORDERS.replace("2026-04-24", "2026-05-01"))
    write_plan(tmp_path / "plan", later.farm, later.plan, later.copy, Edition())
    assert b"SEQUENCE:1" in (tmp_path / "plan" / "tasks.ics").read_bytes()


def test_only_calendars_of_a_plan_of_the_same_farm_are_taken_up(made, tmp_path, no_pages):
    folder = tmp_path / "plan"
    assert published(folder, made.farm) == {}
    write_plan(folder, made.farm, made.plan, made.copy, Edition())
    found = published(folder, made.farm)
    assert found
    assert found == {name: data for name, data in every_byte(folder).items() if name.endswith(".ics")}
    assert published(folder, small_farm(name="Another")) == {}
    (folder / "plan.json").write_text("{}")
    assert published(folder, made.farm) == {}


def test_links_among_the_calendars_are_left_aside(made, tmp_path, no_pages):
    folder = tmp_path / "plan"
    write_plan(folder, made.farm, made.plan, made.copy, Edition())
    (folder / "tasks.ics").rename(tmp_path / "tasks.ics")
    (folder / "tasks.ics").symlink_to(tmp_path / "tasks.ics")
    assert "tasks.ics" not in published(folder, made.farm)


def test_files_an_older_plan_had_and_this_one_has_not_are_gone(made, tmp_path, monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {"old.html": lambda farm, plan: b"old"})
    write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    monkeypatch.setattr(everything, "PAGES", {"new.html": lambda farm, plan: b"new"})
    write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    assert {name for name in every_byte(tmp_path / "plan") if name.endswith(".html")} == {"new.html"}


def test_a_folder_written_by_an_older_version_is_replaced(made, tmp_path, no_pages):
    write_tables(tmp_path / "plan", small_plan(), small_farm())
    write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    assert read_plan(tmp_path / "plan", made.farm.calendar) == made.plan


def test_a_folder_with_something_else_in_it_is_refused(made, tmp_path, no_pages):
    (tmp_path / "mine.txt").write_text("keep")
    with pytest.raises(FolderRefused):
        write_plan(tmp_path, made.farm, made.plan, made.copy, Edition())
    assert list(every_byte(tmp_path)) == ["mine.txt"]


def test_every_page_is_made_for_a_plan_without_anything_in_it(tmp_path):
    nothing = planned(tmp_path, orders=ORDERS.replace(",12,", ",0,"))
    assert nothing.plan.lots == ()
    assert nothing.farm.date_of(0) == date(2026, 3, 2)
    for name, make in PAGES.items():
        assert make(nothing.farm, nothing.plan), name
