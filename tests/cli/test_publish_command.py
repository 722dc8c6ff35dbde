"""``raftway publish`` writes a saved plan's files again: the same for the same plan, and nothing unsound."""

import json
import shutil

import pytest
from folders import every_byte, planned

from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan


@pytest.fixture(scope="module")
def original(tmp_path_factory):
    folder = tmp_path_factory.mktemp("publish")
    made = planned(folder)
    write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition(alarm_minutes=420))
    return folder / "plan"


@pytest.fixture
def folder(original, tmp_path):
    return shutil.copytree(original, tmp_path / "plan")


def test_a_plan_that_was_not_changed_gives_the_same_bytes_everywhere(original, folder, capsys):
    assert run(["publish", str(folder)]) == 0
    assert capsys.readouterr().out == f"Written to {folder}\n"
    assert every_byte(folder) == every_byte(original)


def test_files_that_were_lost_damaged_or_are_new_are_made_again(original, folder):
    note = json.loads((folder / "plan.json").read_text())
    note["files"].remove("labels.html")
    (folder / "plan.json").write_text(json.dumps(note))
    (folder / "labels.html").unlink()
    (folder / "report.html").write_text("nothing")
    shutil.rmtree(folder / "calendars", ignore_errors=True)
    assert run(["publish", str(folder)]) == 0
    assert every_byte(folder) == every_byte(original)


def test_versions_that_made_the_plan_are_kept_whatever_publishes_it(folder):
    path = folder / "plan.json"
    note = json.loads(path.read_text())
    path.write_text(json.dumps({**note, "versions": {"raftway": "0.0.1"}}))
    assert run(["publish", str(folder)]) == 0
    assert json.loads(path.read_text()) == {**note, "versions": {"raftway": "0.0.1"}}


def test_a_plan_edited_so_that_it_breaks_a_rule_is_left_as_it_is(folder, capsys):
    cuts = folder / "tables" / "positions.csv"
    lines = cuts.read_text().splitlines()
    cuts.write_text("\n".join([*lines, lines[-1]]) + "\n")
    before = every_byte(folder)
    assert run(["publish", str(folder)]) == 3
    told = capsys.readouterr()
    assert told.err.splitlines()[-1].endswith(
        "in the plan; mend its tables, or plan again; nothing was written"
    )
    assert len(told.err.splitlines()) > 1
    assert told.out == ""
    assert every_byte(folder) == before


def test_a_damaged_plan_ends_with_1(folder, capsys):
    (folder / "tables" / "cuts.csv").unlink()
    assert run(["publish", str(folder)]) == 1
    assert "tables/cuts.csv: found no such file" in capsys.readouterr().err


def test_a_book_in_the_place_of_a_plan_ends_with_1(folder, capsys):
    assert run(["publish", str(folder / "book")]) == 1
    assert "found a book; expected a folder that raftway plan wrote" in capsys.readouterr().err


def test_a_folder_with_a_file_of_ones_own_is_left_alone(folder, capsys):
    (folder / "mine.txt").write_text("keep")
    before = every_byte(folder)
    assert run(["publish", str(folder)]) == 2
    assert "holds mine.txt" in capsys.readouterr().err
    assert every_byte(folder) == before


def test_what_could_not_be_made_is_told_and_ends_with_5(folder, capsys, monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {"report.html": lambda farm, plan: 1 / 0})
    assert run(["publish", str(folder)]) == 5
    assert "could not make report.html: ZeroDivisionError" in capsys.readouterr().err
