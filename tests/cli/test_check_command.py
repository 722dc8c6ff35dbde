"""``raftway check`` tells every fault of a book with its cell, and how a sound book was understood."""

import json

import pytest
from helpers import TABLES, write_book
from openpyxl import Workbook

from scheduler.cli.main import run


@pytest.fixture
def faulty(tmp_path):
    crops = TABLES["crops"].replace("Butterhead,14,", "Butterhead,soon,")
    return str(write_book(tmp_path, {"weeks": "many"}, crops=crops))


def test_a_sound_book_is_told_in_words(tmp_path, capsys):
    assert run(["check", str(write_book(tmp_path))]) == 0
    shown = capsys.readouterr()
    lines = shown.out.splitlines()
    assert lines[0] == "Alder Quay Greens: no faults in the book"
    assert "North trough: 2 rows of 6 rafts, 12 in all; no water stays open" in lines
    assert "Shelf A: 2 tiers of 4 trays" in lines
    assert "North trough: 2 rows of 4 rafts, North trough boards for 4 boards" in lines
    butterhead = next(line for line in lines if line.startswith("Butterhead: "))
    days, holes = "14 days in the tray, 14 on the board, 21 on the raft", "all 72 holes of a board"
    assert butterhead == f"Butterhead: {days}; {holes}, all 36 holes of a raft"
    assert [line for line in lines if line.startswith("Note: orders!A2: 14 deliveries")]
    assert shown.err == ""


def test_what_a_trough_holds_is_told_once_where_its_measures_say_it(tmp_path, capsys):
    crops = "crop,card,days_board\nButterhead,lettuce_butterhead,0\n"
    assert run(["check", str(write_book(tmp_path, crops=crops, board_zones=None))]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line for line in lines if line.startswith("North trough: ")] == [
        "North trough: 2 rows of 6 rafts, 12 in all; no water stays open"
    ]


def test_every_fault_is_told_on_stderr_with_its_cell(faulty, capsys):
    assert run(["check", faulty]) == 1
    shown = capsys.readouterr()
    lines = shown.err.splitlines()
    assert len(lines) == 3
    assert lines[0].startswith("settings!B4: found 'many'; expected ")
    assert lines[1].startswith("crops!B2: found 'soon'; expected ")
    assert lines[2] == f"2 faults in {faulty}; mend these and check again, for more may show"
    assert shown.out == ""


def test_faults_are_also_told_as_json(faulty, capsys):
    assert run(["check", faulty, "--json"]) == 1
    shown = capsys.readouterr()
    assert [fault["place"] for fault in json.loads(shown.out)["faults"]] == ["settings!B4", "crops!B2"]
    assert shown.err == ""


def test_a_sound_book_as_json_has_no_faults_and_the_same_words(tmp_path, capsys):
    assert run(["check", str(write_book(tmp_path)), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["faults"], told["farm"]) == ([], "Alder Quay Greens")
    assert "Shelf A: 2 tiers of 4 trays" in told["holds"]
    assert told["notes"][0]["place"] == "orders!A2"
    assert told["notes"][0]["code"]


def test_the_workbook_of_a_plan_is_no_book(tmp_path, capsys):
    workbook = Workbook()
    for name in ("summary", "tasks", "deliveries", "made"):
        workbook.create_sheet(name)
    workbook.save(tmp_path / "plan.xlsx")
    assert run(["check", str(tmp_path / "plan.xlsx")]) == 1
    assert "found the workbook of a plan; expected an .xlsx workbook" in capsys.readouterr().err


def test_a_folder_without_tables_is_no_book(tmp_path, capsys):
    assert run(["check", str(tmp_path)]) == 1
    assert "found a folder without any CSV file" in capsys.readouterr().err
