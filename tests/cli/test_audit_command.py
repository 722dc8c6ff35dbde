"""``raftway audit`` judges a plan folder, as written or edited by hand, against the book."""

import sys
from dataclasses import replace
from types import SimpleNamespace

import pytest
from farms import delivery, make_farm
from folders import write_tables
from plans import Batch, build

from scheduler.cli.audit_command import CHANGE, NOTES, OLDER, SOUND
from scheduler.cli.main import run
from scheduler.plan.exact import EDITION, KEY
from scheduler.plan.rows import GoalRow
from scheduler.plan.worth import GOAL_NAMES, unit_of


@pytest.fixture
def asked(monkeypatch):
    """The book is stood in for by a farm made in code; what was asked of it comes back."""
    asked = {}

    def build_farm(book, today=None):
        asked["today"] = today
        return farm()

    monkeypatch.setitem(sys.modules, "scheduler.book.book", SimpleNamespace(read_book=str))
    monkeypatch.setitem(sys.modules, "scheduler.farm.build", SimpleNamespace(build_farm=build_farm))
    return asked


def farm():
    return make_farm(demands=[delivery("Lettuce", 34, 12)])


@pytest.fixture
def folder(tmp_path):
    batch = Batch()
    lot = build(farm(), batch).lots[0].lot
    plan = build(farm(), batch, fills=[("Lettuce 34", lot, 34, 12)])
    write_tables(tmp_path / "plan", plan, farm())
    return tmp_path / "plan"


def edit(folder, table, before, after):
    path = folder / "tables" / f"{table}.csv"
    text = path.read_text()
    assert before in text
    path.write_text(text.replace(before, after, 1))


def test_a_plan_that_keeps_every_rule_ends_with_0(asked, folder, capsys):
    assert run(["audit", str(folder.parent), str(folder)]) == 0
    said = "The plan keeps every rule (reasons, and places and notes of tasks, are not judged).\n"
    assert capsys.readouterr().out == said
    assert asked["today"].isoformat() == "2026-03-02"


def test_what_is_not_judged_of_the_goals_is_told(asked, tmp_path, capsys):
    goals = [
        GoalRow(
            level=level, goal=name, value=0.0, unit=unit_of(farm(), level), bound=None, status="best found"
        )
        for level, name in GOAL_NAMES.items()
    ]
    short = replace(build(farm()), goals=(replace(goals[0], value=1_200_000.0), *goals[1:]))
    for number, (made, told) in enumerate(
        (({}, f"{OLDER}, and {CHANGE}, and {NOTES}"), ({KEY: EDITION}, None))
    ):
        write_tables(tmp_path / f"plan{number}", replace(short, made=made), farm())
        assert run(["audit", str(tmp_path), str(tmp_path / f"plan{number}")]) == 0
        assert capsys.readouterr().out == SOUND.format(told or f"{CHANGE}, and {NOTES}") + "\n"


def test_an_edited_plan_that_breaks_a_rule_ends_with_3_and_says_where(asked, folder, capsys):
    edit(folder, "positions", ",Trough 1,1,", ",Trough 1,7,")
    assert run(["audit", str(folder.parent), str(folder)]) == 3
    told = capsys.readouterr()
    assert "slots | Trough 1" in told.err
    assert "in the plan" in told.err.splitlines()[-1]
    assert told.out == ""


def test_the_plan_of_another_farm_is_told_in_one_line(asked, folder, capsys):
    note = folder / "plan.json"
    note.write_text(note.read_text().replace(f'"farm": "{farm().name}"', '"farm": "Elsewhere"'))
    assert run(["audit", str(folder.parent), str(folder)]) == 2
    told = capsys.readouterr().err.splitlines()[-1]
    assert told == f"Error: {folder} is a plan of Elsewhere, not of {farm().name}; name the plan of this book"


def test_a_damaged_plan_ends_with_1_and_says_every_cell(asked, folder, capsys):
    edit(folder, "lots", "2026-03-02", "in March")
    edit(folder, "positions", ",Trough 1,1,", ",Trough 1,first,")
    assert run(["audit", str(folder.parent), str(folder)]) == 1
    told = capsys.readouterr().err
    assert "lots!D2: found 'in March'; expected a date, such as 2026-03-02" in told
    assert "found 'first'; expected a whole number, such as 12" in told


def test_a_folder_that_is_no_plan_ends_with_1(asked, tmp_path, capsys):
    assert run(["audit", str(tmp_path), str(tmp_path)]) == 1
    assert (
        "plan.json: found no such file; expected the file plan.json of a plan folder"
        in capsys.readouterr().err
    )


def test_a_plan_in_place_of_the_book_is_told_whatever_stands_in_place_of_the_plan(asked, folder, capsys):
    workbook = folder.parent / "book.xlsx"
    workbook.write_bytes(b"")
    for other in (folder.parent, workbook, folder):
        assert run(["audit", str(folder), str(other)]) == 2
        last = capsys.readouterr().err.splitlines()[-1]
        assert (
            last == f"Error: {folder} looks like a plan folder; the book comes first: raftway audit BOOK PLAN"
        )


def test_a_file_in_place_of_the_plan_is_told(asked, folder, capsys):
    assert run(["audit", str(folder.parent), str(folder / "plan.json")]) == 2
    assert "is a file; name the folder that raftway plan wrote" in capsys.readouterr().err
