"""``raftway new`` writes a book that can be checked, built and planned as it is, and writes over nothing."""

from datetime import date
from pathlib import Path

import pytest
from workbooks import said

from scheduler.book.book import read_book
from scheduler.cli.main import run
from scheduler.farm.advice import advice
from scheduler.farm.build import build_farm

FIRST_DAY = ["--first-day", "2026-03-02"]


@pytest.mark.parametrize(
    ("name", "units"),
    [("my-farm.xlsx", "m"), ("my-farm", "ft"), ("my-farm", "m"), ("My Farm.XLSX", "ft")],
)
def test_a_new_book_has_no_fault_and_nothing_odd_in_either_form(tmp_path, capsys, name, units):
    path = tmp_path / name
    assert run(["new", str(path), "--units", units, *FIRST_DAY]) == 0
    assert said(path) == []
    book = read_book(path)
    farm = build_farm(book)
    assert [str(note) for note in advice(farm, book)] == []
    assert farm.length_unit == units
    assert {place.name: place.slots.on(0) for place in farm.places} == {
        "Nursery rack 1": 4,
        "Nursery rack 2": 4,
        "Nursery rack 3": 4,
        "East trough boards": 4,
        "East trough 1": 16,
        "West trough 1": 6,
        "West trough 2": 6,
    }
    assert {demand.customer for demand in farm.demands} == {"Heron Street Kitchen", "Three Bridges Boxes"}
    assert capsys.readouterr().err == ""


def test_both_forms_hold_the_same_book(tmp_path):
    for name in ("my-farm.xlsx", "my-farm"):
        assert run(["new", str(tmp_path / name), *FIRST_DAY]) == 0
    workbook, folder = read_book(tmp_path / "my-farm.xlsx"), read_book(tmp_path / "my-farm")
    for name, rows in folder.tables.items():
        if name != "settings":
            assert [row.values for row in workbook.tables[name]] == [row.values for row in rows]
    assert workbook.settings.values == folder.settings.values


def test_what_is_said(tmp_path, capsys):
    path = tmp_path / "my-farm.xlsx"
    assert run(["new", str(path), *FIRST_DAY]) == 0
    assert capsys.readouterr().out == (
        f"Written to {path}: 11 tables of an invented farm. Change them to yours, then:\n"
        f"  raftway check {path}\n"
        f"  raftway plan {path} --out plan\n"
    )
    assert list(tmp_path.iterdir()) == [path]


def test_all_dates_move_with_the_first_day(tmp_path):
    assert run(["new", str(tmp_path / "farm"), "--first-day", "2027-03-01"]) == 0
    book = read_book(tmp_path / "farm")
    assert book.settings.date("first_day") == date(2027, 3, 1)
    assert book.rows("orders")[0].date("from") == date(2027, 4, 20)
    assert (
        tmp_path / "farm" / "shelves.csv"
    ).read_bytes() == b"shelf,tiers,trays_per_tier\nNursery rack,3,4\n"


def test_without_a_first_day_it_is_the_next_monday(tmp_path):
    assert run(["new", str(tmp_path / "farm")]) == 0
    day = read_book(tmp_path / "farm").settings.date("first_day")
    assert day.weekday() == 0
    assert 0 <= (day - date.today()).days < 7


def test_an_empty_folder_is_filled(tmp_path):
    (tmp_path / "farm").mkdir()
    assert run(["new", str(tmp_path / "farm"), *FIRST_DAY]) == 0
    assert said(tmp_path / "farm") == []


def refused(tmp_path, capsys, path):
    before = {each: each.read_bytes() if each.is_file() else None for each in tmp_path.rglob("*")}
    assert run(["new", str(path), *FIRST_DAY]) == 2
    assert {each: each.read_bytes() if each.is_file() else None for each in tmp_path.rglob("*")} == before
    shown = capsys.readouterr()
    assert shown.out == ""
    return shown.err.splitlines()[-1]


def test_nothing_that_exists_is_written_over(tmp_path, capsys):
    (tmp_path / "farm.xlsx").write_text("mine")
    (tmp_path / "farm").mkdir()
    (tmp_path / "farm" / "note.txt").write_text("mine")
    (tmp_path / "file").write_text("mine")
    (tmp_path / "folder.xlsx").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    over = "is there already; name another, for nothing is written over it"
    for name in ("farm.xlsx", "file", "folder.xlsx", "link"):
        assert refused(tmp_path, capsys, tmp_path / name) == f"Error: {tmp_path / name} {over}"
    assert refused(tmp_path, capsys, tmp_path / "farm") == (
        f"Error: {tmp_path / 'farm'} is not empty; name a new folder, or empty this one"
    )


@pytest.mark.parametrize("name", ["farm.xls", "farm.ods", "farm.csv", "farm.xlsm"])
def test_other_kinds_of_files_are_not_written(tmp_path, capsys, name):
    assert refused(tmp_path, capsys, tmp_path / name) == (
        f"Error: {tmp_path / name}: a book is a folder, or a workbook whose name ends in .xlsx"
    )


def test_the_folder_it_would_lie_in_must_be_there(tmp_path, capsys):
    path = tmp_path / "nowhere" / "farm.xlsx"
    assert refused(tmp_path, capsys, path) == f"Error: {path.parent} is not a folder; make it first"


@pytest.mark.parametrize("name", ["farm.xlsx", "farm"])
def test_a_disk_that_refuses_leaves_nothing_behind(tmp_path, capsys, monkeypatch, name):
    def fail(_handle):
        raise OSError(28, "No space left on device", str(tmp_path / name))

    monkeypatch.setattr("scheduler.disk.whole.os.fsync", fail)
    assert run(["new", str(tmp_path / name), *FIRST_DAY]) == 2
    said = "No space left on device; nothing was changed there; make room on the disk and try again"
    assert capsys.readouterr().err == f"{tmp_path / name}: {said}\n"
    assert list(tmp_path.iterdir()) == []


def test_a_disk_without_hard_links_takes_the_file_too(tmp_path, monkeypatch):
    def fail(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("scheduler.disk.whole.os.link", fail)
    assert run(["new", str(tmp_path / "farm.xlsx"), *FIRST_DAY]) == 0
    assert [path.name for path in tmp_path.iterdir()] == ["farm.xlsx"]


def test_a_file_that_comes_while_it_is_written_is_kept(tmp_path, capsys, monkeypatch):
    path = tmp_path / "farm.xlsx"
    monkeypatch.setattr("scheduler.disk.whole.os.fsync", lambda _: path.write_text("mine"))
    assert run(["new", str(path), *FIRST_DAY]) == 2
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]
    assert f"{path} is there already" in capsys.readouterr().err


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="a folder nobody can write to")
@pytest.mark.parametrize("name", ["farm.xlsx", "farm"])
def test_the_folder_it_would_lie_in_must_take_files(capsys, name):
    assert run(["new", f"/proc/{name}", *FIRST_DAY]) == 2
    assert (
        capsys.readouterr().err.splitlines()[-1] == "Error: /proc may not be written to; name another folder"
    )


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "1989-12-31", "2200-01-01"])
def test_a_day_that_no_book_can_have_is_refused(tmp_path, capsys, day):
    assert run(["new", str(tmp_path / "farm"), "--first-day", day]) == 2
    assert "write one from 1990 to 2199, like 2026-03-02" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
