"""Files are written whole or not at all, errors name what was asked for, and leftovers of killed runs go."""

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from scheduler.disk.whole import beside, clear_leftovers, may_be_written, opened_by, replace_file, write_all

LONG_DEAD = 4_194_304
"""More than any process number of Linux."""


def test_a_file_is_replaced_in_one_step(tmp_path):
    for text in (b"first", b"second"):
        replace_file(tmp_path / "a.csv", text)
        assert (tmp_path / "a.csv").read_bytes() == text
        assert os.listdir(tmp_path) == ["a.csv"]  # noqa: PTH208


def test_a_disk_that_takes_no_more_is_told_of_the_file_that_was_asked_for(tmp_path):
    path = tmp_path / "a.csv"
    path.write_bytes(b"old")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, before[1]))
    try:
        with pytest.raises(OSError, match="nothing was changed there") as told:
            replace_file(path, b"x" * 100_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert told.value.filename == str(path)
    assert [each.name for each in tmp_path.iterdir()] == ["a.csv"]
    assert path.read_bytes() == b"old"


def test_what_a_killed_run_left_is_cleared_and_what_another_run_is_at_is_not(tmp_path):
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as other:
        left = [tmp_path / f".plan.new-{LONG_DEAD}", tmp_path / f".plan.new-{os.getpid()}"]
        for each in left:
            (each / "tables").mkdir(parents=True)
        kept = [
            tmp_path / f".plan.new-{other.pid}",
            tmp_path / ".plan.new-mine",
            tmp_path / f"plan.new-{LONG_DEAD}",
        ]
        for each in kept:
            each.mkdir()
        clear_leftovers(tmp_path / "plan")
        assert sorted(tmp_path.iterdir()) == sorted(kept)
        other.communicate(b"\n")


def test_a_link_in_the_place_of_a_leftover_is_taken_away_and_not_followed(tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "mine").write_text("mine")
    (tmp_path / f".a.csv.new-{os.getpid()}").symlink_to(outside / "mine")
    (tmp_path / f".b.csv.new-{os.getpid()}").symlink_to(outside, target_is_directory=True)
    replace_file(tmp_path / "a.csv", b"new")
    replace_file(tmp_path / "b.csv", b"new")
    assert (outside / "mine").read_text() == "mine"
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a.csv", "b.csv", "outside"]


def test_a_link_in_the_place_of_a_file_is_replaced_and_not_followed(tmp_path):
    (tmp_path / "mine").write_text("mine")
    (tmp_path / "a.csv").symlink_to(tmp_path / "mine")
    replace_file(tmp_path / "a.csv", b"new")
    assert (tmp_path / "mine").read_text() == "mine"
    assert not (tmp_path / "a.csv").is_symlink()


@pytest.mark.parametrize("name", ["../a", "/a", "b/../../a", "", "b\\..\\a", "c:a", "a:stream"])
def test_no_name_leads_out_of_a_folder(tmp_path, name):
    with pytest.raises(ValueError, match="leads out of the folder"), beside(tmp_path / "plan") as new:
        write_all(new, {"ok": b"", name: b""})
    assert list(tmp_path.iterdir()) == []


def test_trying_a_folder_leaves_nothing_in_it(tmp_path):
    assert may_be_written(tmp_path)
    assert list(tmp_path.iterdir()) == []
    assert not may_be_written(tmp_path / "none")


@pytest.mark.parametrize("mark", [".~lock.farm.xlsx#", "~$farm.xlsx"])
def test_a_document_that_is_open_elsewhere_is_known_by_its_mark(tmp_path, mark):
    assert opened_by(tmp_path / "farm.xlsx") is None
    (tmp_path / mark).touch()
    assert opened_by(tmp_path / "farm.xlsx") == tmp_path / mark
    assert opened_by(Path(tmp_path / "other.xlsx")) is None
