"""Full disks, folders nobody may write to, documents open elsewhere: told, and old results are kept."""

import gc
import os
import resource
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import date
from errno import ENOSPC
from importlib import import_module
from pathlib import Path

import pytest
from folders import every_byte, planned
from helpers import write_book
from writing import CASES, prepare

from scheduler.cli import record_command, record_telling, replan_command
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan
from scheduler.outputs.happened import trace_page
from scheduler.outputs.happened.trace_table import COLUMNS
from scheduler.outputs.labels import page as labels_page
from scheduler.sweep import executors

ROOT = Path(__file__).resolve().parents[2]

ROOM = "make room on the disk and try again"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A book and its plan, without pages."""
    folder = tmp_path_factory.mktemp("disks")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        found = planned(folder)
        write_plan(folder / "plan", found.farm, found.plan, found.copy, Edition())
    return folder


@pytest.fixture(scope="module")
def ready(tmp_path_factory):
    """A folder with all that the commands that write need."""
    base = tmp_path_factory.mktemp("ready") / "base"
    with pytest.MonkeyPatch.context() as patch:
        as_quickly(patch)

        def run_in(folder, words):
            patch.chdir(folder)
            return run(words)

        prepare(base, run_in)
    return base


def as_quickly(patch):
    """Leave out pages, clocks and processes of workers."""
    patch.setattr(everything, "PAGES", {})
    for module in (record_telling, record_command, replan_command):
        patch.setattr(module, "today", lambda: date(2026, 3, 16))
    patch.setattr(executors, "local", lambda _workers: lambda: ThreadPoolExecutor(1))


@pytest.fixture
def here(ready, tmp_path, monkeypatch):
    """A copy of that folder, in which commands are run."""
    as_quickly(monkeypatch)
    folder = shutil.copytree(ready, tmp_path / "here")
    monkeypatch.chdir(folder)
    return folder


@contextmanager
def limited(most):
    """Let this process write no file larger than so many bytes, as on a disk that is full then."""
    before, highest = resource.getrlimit(resource.RLIMIT_FSIZE)
    unkept = sys.dont_write_bytecode
    # Python itself would keep what it compiles cut off at that length, and no later test could load it
    sys.dont_write_bytecode = True
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, highest))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (before, highest))
        sys.dont_write_bytecode = unkept


def kept(folder):
    """Return every byte of a folder, but for empty files of a database that could not be opened."""
    return {
        name: contents
        for name, contents in every_byte(folder).items()
        if not name.endswith((".sqlite-wal", ".sqlite-shm")) and (contents or not name.endswith(".sqlite"))
    }


MOST = [pytest.param(name, marks=pytest.mark.soak) if name == "offer" else name for name in CASES]
"""An offer searches for seconds, and what it finds is written as a plan is."""


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")  # of half a workbook
@pytest.mark.parametrize("name", MOST)
def test_a_disk_that_takes_no_more_leaves_everything_as_it_was_and_is_told(here, capsys, name):
    before = kept(here)
    with limited(60):
        code = run(CASES[name].words)
        gc.collect()
    said = capsys.readouterr().err.splitlines()[-1]
    assert (code, kept(here)) == (2, before), said
    assert "; make room on the disk" in said or "the disk does not take it" in said
    assert not [path.name for path in here.iterdir() if path.name.startswith(".")]


LARGE = ("plan", "replan", "stress", "convert", "new workbook")
"""Commands that the disk above stops at their temporary files, or that read records first."""


@pytest.mark.parametrize("name", LARGE)
def test_results_that_the_disk_does_not_take_are_told_of_where_they_were_to_be(
    here, capsys, monkeypatch, name
):
    def full(_file):
        raise OSError(ENOSPC, os.strerror(ENOSPC))

    before = kept(here)
    monkeypatch.setattr(os, "fsync", full)
    assert run(CASES[name].words) == 2
    said = capsys.readouterr().err.splitlines()[-1]
    asked = here / (CASES[name].beside or (CASES[name].target,))[0]
    assert said == f"{asked}: No space left on device; nothing was changed there; {ROOM}"
    assert kept(here) == before
    assert not [path.name for path in here.iterdir() if path.name.startswith(".")]


@contextmanager
def small_disk(folder, size):
    """Give a folder on a disk of its own with room for so many bytes, or None where nobody may mount one."""
    folder.mkdir()
    options = ["-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    mounted = subprocess.run(["mount", *options], capture_output=True, check=False).returncode == 0
    try:
        yield folder if mounted else None
    finally:
        if mounted:
            subprocess.run(["umount", str(folder)], check=True)


def test_a_full_disk_is_told_once_there_is_room_the_next_run_works(made, tmp_path, capsys):
    with small_disk(tmp_path / "disk", 64 * 1024) as disk:
        if disk is None:
            return  # the other tests of this file limit the size of files instead
        out = disk / "farm"
        (disk / "stuff").write_bytes(b"x" * 60 * 1024)
        assert run(["convert", str(made / "book"), f"{out}.xlsx"]) == 2
        said = "No space left on device; nothing was changed there; make room on the disk and try again"
        assert capsys.readouterr().err == f"{out}.xlsx: {said}\n"
        assert [path.name for path in disk.iterdir()] == ["stuff"]
        (disk / "stuff").unlink()
        assert run(["new", str(out)]) == 0
        assert sorted(path.name for path in disk.iterdir()) == ["farm"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a disk that is always full")
@pytest.mark.parametrize("unbuffered", ["1", ""])
def test_a_full_disk_under_what_is_printed_is_told(made, unbuffered):
    program = [
        sys.executable,
        "-c",
        "from scheduler.cli.main import main; main()",
        "check",
        str(made / "book"),
    ]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            program,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": unbuffered},
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert (done.returncode, done.stderr) == (2, f"raftway cannot go on: No space left on device; {ROOM}\n")


NOWHERE = "/proc"
"""A folder nobody can write to."""

TARGETS = {"--out", "--results", "--svg", "--csv", "--html", "--accept", "new", "backup"}
"""Words that stand before what is written."""


def elsewhere(words):
    """Return a command line with all that it writes in a folder nobody can write to, or None."""
    moved = [
        f"{NOWHERE}/{word}" if before in TARGETS or (at, words[0]) == (2, "convert") else word
        for at, (before, word) in enumerate(zip(("", *words), words, strict=False))
    ]
    if words[:4] == ("record", "book", "book", "x"):
        moved[3] = f"{NOWHERE}/x"
    return moved if moved != list(words) else None


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="a folder nobody can write to")
@pytest.mark.parametrize("name", [name for name, case in CASES.items() if elsewhere(case.words)])
def test_a_folder_nobody_may_write_to_is_told_before_anything_is_worked_out(here, capsys, monkeypatch, name):
    for worked_out in ("scheduler.model.solve.plan_farm", "scheduler.model.capacity.limit.limit_of"):
        monkeypatch.setattr(worked_out, lambda *_: pytest.fail("worked out"))
    before = kept(here)
    assert run(elsewhere(CASES[name].words)) == 2
    assert f"{NOWHERE} may not be written to" in capsys.readouterr().err
    assert kept(here) == before


def test_a_workbook_that_is_open_elsewhere_is_read_as_it_was_saved_and_that_is_said(made, tmp_path, capsys):
    book = tmp_path / "farm.xlsx"
    assert run(["convert", str(made / "book"), str(book)]) == 0
    capsys.readouterr()
    (tmp_path / ".~lock.farm.xlsx#").write_text("someone")
    before = book.read_bytes()
    assert run(["check", str(book)]) == 0
    said = capsys.readouterr()
    assert said.err == f"Note: {book} is open in another program; what was saved last is read.\n"
    assert "no faults in the book" in said.out
    assert book.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == [".~lock.farm.xlsx#", "farm.xlsx"]


@pytest.mark.parametrize("mark", [".~lock.tasks.ics#", "~$tasks.ics"])
def test_a_plan_of_which_a_file_is_open_elsewhere_is_left_alone_and_that_is_said(made, capsys, mark):
    plan = made / "plan"
    (plan / mark).write_text("someone")
    before = every_byte(plan)
    try:
        assert run(["publish", str(plan)]) == 2
        said = capsys.readouterr().err
        assert f"{plan / 'tasks.ics'} is open in another program: close it there" in said
        assert every_byte(plan) == before
    finally:
        (plan / mark).unlink()


PLANS = ("plan", "plan again", "publish", "replan", "replan elsewhere", "offer")
PAGES = {"trace": ",".join(COLUMNS), "page of a trace": trace_page.MARK, "labels": labels_page.MARK}
"""Command -> what was written there before."""


@pytest.mark.parametrize("name", [*PLANS, *PAGES])
def test_results_that_are_open_elsewhere_are_left_alone(here, capsys, monkeypatch, name):
    target = here / CASES[name].target
    if name in PAGES:
        target.write_text(PAGES[name])
    elif not target.exists():
        shutil.copytree(here / "plan", target)
    inside = target / "tasks.ics" if target.is_dir() else target
    inside.with_name(f".~lock.{inside.name}#").write_text("someone")
    monkeypatch.setattr("scheduler.model.solve.plan_farm", lambda *_: pytest.fail("worked out"))
    before = kept(here)
    assert run(CASES[name].words) == 2
    assert f"{inside.name} is open in another program: close it there" in capsys.readouterr().err
    assert kept(here) == before


@pytest.mark.parametrize(
    "words",
    [
        ("labels", "{}/plan", "--out", "{}/out"),
        ("learn", "{}/book", "--csv", "{}/out"),
        ("draw", "{}/plan", "flow", "North trough", "--out", "{}/out.svg"),
        ("new", "{}/out"),
        ("new", "{}/out.xlsx"),
        ("convert", "{}/book", "{}/out.xlsx"),
        ("plan", "{}/book", "--out", "{}/out"),
        ("stress", "{}/plan", "--runs", "2", "--out", "{}/out"),
        ("sweep", "{}/book", "--with", "{}/e.toml", "--out", "{}/out.csv"),
        ("sweep", "{}/book", "--with", "{}/e.toml", "--results", "{}/out.jsonl"),
        ("record", "{}/book", "backup", "{}/out"),
        ("record", "{}/book", "list", "--records", "{}/out"),
    ],
    ids=" ".join,
)
def test_a_link_where_a_file_is_to_be_written_is_not_followed(made, tmp_path, capsys, words):
    base = tmp_path / "base"
    base.mkdir()
    for name in ("book", "plan"):
        (base / name).symlink_to(made / name, target_is_directory=True)
    (base / "e.toml").write_text('name = "E"\n[[change]]\ndo = "add trough"\ntrough = "E"\n')
    mine = tmp_path / "mine"
    mine.write_text("mine")
    told = [word.format(base) for word in words]
    link = next(Path(word) for word in told if Path(word).name.startswith("out"))
    link.symlink_to(mine)
    assert run(told) == 2
    said = capsys.readouterr().err
    assert "is there already" in said or "is a link" in said or "nothing is recorded yet" in said
    assert mine.read_text() == "mine"
    assert link.is_symlink()


def test_a_results_file_of_something_else_is_not_cut_off(tmp_path, capsys):
    book = write_book(tmp_path)
    (tmp_path / "e.toml").write_text('name = "E"\n[[change]]\ndo = "add trough"\ntrough = "E"\n')
    notes = tmp_path / "notes.txt"
    notes.write_text("my notes, without an end of line")
    words = ["sweep", str(book), "--with", str(tmp_path / "e.toml"), "--results", str(notes)]
    assert run(words) == 2
    assert "no answer of a sweep" in capsys.readouterr().err
    assert notes.read_text() == "my notes, without an end of line"


def test_what_is_compiled_while_the_disk_is_full_is_not_kept_cut_off(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.syspath_prepend(tmp_path)
    source = "".join(f"name_{number} = {number}\n" for number in range(100))
    for name in ("loaded_before", "loaded_then", "loaded_later"):
        (tmp_path / f"{name}.py").write_text(source)
    import_module("loaded_before")
    with limited(60):
        import_module("loaded_then")
    import_module("loaded_later")
    kept_of = sorted(path.name.split(".")[0] for path in (tmp_path / "__pycache__").iterdir())
    assert kept_of == ["loaded_before", "loaded_later"]
