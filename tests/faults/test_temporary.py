"""Where no temporary file can be written a search goes on and its plan is kept; what is missing is told."""

import errno
import gc
import os
import re
import shutil
import tempfile
from pathlib import Path
from types import SimpleNamespace

import pytest
from faults.test_disks import small_disk
from folders import ORDERS, every_byte, planned
from helpers import write_book
from writing import QUICK

from scheduler.cli.main import run
from scheduler.model import solve
from scheduler.model.settings import Outcome
from scheduler.outputs import everything
from scheduler.outputs.saved import open_plan

FULL = "No space left on device"
PLAN = ("plan", "book", "--out", "plan", *QUICK)


@pytest.fixture
def temporary(tmp_path, monkeypatch):
    """A book in the working folder, a folder for temporary files, and of all pages the workbook."""
    write_book(tmp_path, orders=ORDERS)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(everything, "PAGES", {"plan.xlsx": everything.PAGES["plan.xlsx"]})
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return folder


@pytest.fixture
def found(temporary, monkeypatch):
    """A search that has its plan at once, and what is done meanwhile; and that folder."""
    made = planned(temporary.parent)
    given = SimpleNamespace(folder=temporary, meanwhile=lambda: None)

    def plan_farm(*_):
        given.meanwhile()
        return Outcome(plan=made.plan, status="filled")

    monkeypatch.setattr("scheduler.model.solve.plan_farm", plan_farm)
    return given


def during_the_search(patch, do):
    """Do something once a search has told of its first phase."""
    say = solve._Search._say  # noqa: SLF001
    done = []

    def told(*given):
        if not done:
            done.append(do())
        return say(*given)

    patch.setattr(solve._Search, "_say", told)  # noqa: SLF001
    return done


@pytest.mark.parametrize("small", [1_500, -1], ids=["solved whole", "begun from a week"])
def test_the_folder_for_temporary_files_may_go_while_a_plan_is_looked_for(
    temporary, monkeypatch, capsys, small
):
    monkeypatch.setattr(solve, "SMALL_BOOK", small)
    monkeypatch.delattr(os, "memfd_create", raising=False)
    gone = during_the_search(monkeypatch, lambda: shutil.rmtree(temporary))
    assert run(PLAN) == 2
    assert gone
    said = capsys.readouterr().err.splitlines()
    assert said[-2] == "The plan is in plan; raftway publish plan makes the rest once this is mended."
    assert said[-1] == (
        "could not make plan.xlsx: No such file or directory; make room for temporary files in "
        f"{temporary}, or name another folder for them with TMPDIR"
    )
    farm, plan = open_plan(temporary.parent / "plan")
    assert all(row.filled == row.amount for row in plan.demands if row.reported)
    temporary.mkdir()
    assert run(["publish", "plan"]) == 0
    assert (temporary.parent / "plan/plan.xlsx").is_file()


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")  # of half a workbook
def test_a_disk_for_temporary_files_that_is_full_costs_no_plan(temporary, monkeypatch, capsys):
    with small_disk(temporary / "disk", 64 * 1024) as disk:
        if disk is None:
            return  # the test above takes the folder away instead
        monkeypatch.setattr(tempfile, "tempdir", str(disk))
        (disk / "stuff").write_bytes(b"x" * 64 * 1024)
        monkeypatch.delattr(os, "memfd_create", raising=False)
        assert run(PLAN) == 2
        told = f"could not make plan.xlsx: {FULL}; make room for temporary files in {disk}"
        assert capsys.readouterr().err.splitlines()[-1].startswith(told)
        assert open_plan(temporary.parent / "plan")[1].tasks
        assert run(["convert", "book", "book.xlsx"]) == 2
        room = f"make room on the disk, or for temporary files in {disk} (TMPDIR names another folder)"
        assert capsys.readouterr().err == f"raftway cannot go on: {FULL}; {room}, and try again\n"
        gc.collect()
        assert not (temporary.parent / "book.xlsx").exists()


def test_without_any_folder_for_temporary_files_it_is_said_which_were_looked_at(
    temporary, monkeypatch, capsys
):
    monkeypatch.setattr(tempfile, "tempdir", None)
    monkeypatch.setattr(tempfile, "_candidate_tempdir_list", lambda: ["/proc"])
    assert run(["convert", "book", "book.xlsx"]) == 2
    said = capsys.readouterr().err
    assert "No usable temporary directory found in ['/proc']; make room for temporary files" in said
    assert "name another folder for them with TMPDIR" in said


KEPT = re.compile(r"The plan that was found is kept in (\S+); move it to a place of its own\.")


def test_a_plan_whose_folder_may_be_written_no_more_once_it_is_found_is_kept(found, capsys):
    folder = found.folder.parent / "plan"
    assert run(PLAN) == 0
    before = every_byte(folder)
    found.meanwhile = lambda: (folder / ".~lock.plan.xlsx#").write_text("someone")
    assert run((*PLAN, "--alarm", "07:00")) == 2
    said = capsys.readouterr().err
    assert "plan.xlsx is open in another program: close it there" in said.splitlines()[-1]
    there = Path(KEPT.search(said)[1])
    assert there.parent == found.folder
    assert "VALARM" in (there / "tasks.ics").read_text()
    assert open_plan(there)[1].tasks
    (folder / ".~lock.plan.xlsx#").unlink()
    assert every_byte(folder) == before


def test_a_plan_that_its_disk_does_not_take_is_kept_where_there_is_room(found, capsys, monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {})
    with small_disk(found.folder.parent / "disk", 64 * 1024) as disk:
        if disk is None:
            return  # the test above has another fault of the folder
        words = ("plan", "book", "--out", str(disk / "plan"), *QUICK)
        assert run(words) == 2
        said = capsys.readouterr().err
        assert said.splitlines()[-1].startswith(
            f"{disk / 'plan'}: {FULL}; nothing was changed there; make room"
        )
        assert list(disk.iterdir()) == []
        assert open_plan(Path(KEPT.search(said)[1]))[1].tasks
        monkeypatch.setattr(tempfile, "tempdir", str(disk))
        assert run(words) == 2
        assert "kept in" not in capsys.readouterr().err
        assert list(disk.iterdir()) == []


@pytest.mark.parametrize("fault", [MemoryError(), OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))])
def test_a_page_that_the_machine_has_no_room_for_is_no_fault_of_raftway(found, monkeypatch, capsys, fault):
    def no_room(_farm, _plan):
        raise fault

    monkeypatch.setattr(everything, "PAGES", {"one.html": no_room})
    assert run(PLAN) == 2
    said = capsys.readouterr().err
    assert "could not make one.html: " in said
    assert "fault of its own" not in said
    monkeypatch.setattr(everything, "PAGES", {"one.html": no_room, "two.html": lambda *_: 1 / 0})
    assert run(PLAN) == 5
    assert "fault of its own" in capsys.readouterr().err


def test_too_little_memory_is_told_with_what_to_do(temporary, monkeypatch, capsys):
    def no_room(*_):
        raise MemoryError

    monkeypatch.setattr("scheduler.model.solve.plan_farm", no_room)
    assert run(PLAN) == 2
    said = capsys.readouterr().err.splitlines()[-1]
    assert said.startswith("raftway cannot go on: not enough memory; close other programs")


def test_rows_that_the_memory_has_no_room_for_end_as_a_search_without_a_plan(temporary, monkeypatch, capsys):
    def no_room(*_):
        raise MemoryError

    assert run(PLAN) == 0
    before = every_byte(Path("plan"))
    monkeypatch.setattr("scheduler.model.made.lay_out", no_room)
    assert run(PLAN) == 4
    said = capsys.readouterr().err.splitlines()[-1]
    assert said.startswith("No plan was found before the memory of this machine was taken; close other")
    assert said.endswith("Nothing was written.")
    assert every_byte(Path("plan")) == before
