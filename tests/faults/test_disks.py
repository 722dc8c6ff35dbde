"""Full disks, folders nobody may write to, documents open elsewhere: told, and old results are kept."""

import os
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import pytest
from folders import every_byte, planned
from helpers import write_book

from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan

ROOT = Path(__file__).resolve().parents[2]

ROOM = "make room on the disk and try again"
TOO_LARGE = (
    "File too large; nothing was changed there; make room on the disk, "
    "or ask for the right to write larger files"
)

SMALL = """
import resource, sys
from scheduler.cli.main import run
from scheduler.outputs import everything
everything.PAGES.clear()
resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most}))
sys.exit(run(sys.argv[1:]))
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A book and its plan, without pages."""
    folder = tmp_path_factory.mktemp("disks")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        found = planned(folder)
        write_plan(folder / "plan", found.farm, found.plan, found.copy, Edition())
    return folder


def limited(most, *words):
    """Run a command that may write no file larger than so many bytes, as on a disk that is full then."""
    program = [sys.executable, "-c", SMALL.format(most=most), *map(str, words)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.run(program, env=environment, capture_output=True, text=True, check=False)


def test_a_disk_that_takes_no_more_leaves_the_old_plan_and_is_told_of_the_folder_asked_for(made):
    plan, before = made / "plan", every_byte(made / "plan")
    done = limited(2_000, "publish", plan)
    assert (done.returncode, done.stderr) == (2, f"{plan}: {TOO_LARGE}\n")
    assert every_byte(plan) == before
    assert sorted(path.name for path in made.iterdir()) == ["book", "plan"]


def test_a_disk_that_takes_no_more_leaves_no_half_book(made, tmp_path):
    done = limited(100, "new", tmp_path / "b")
    assert (done.returncode, done.stderr) == (2, f"{tmp_path / 'b'}: {TOO_LARGE}\n")
    assert list(tmp_path.iterdir()) == []


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


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="a folder nobody can write to")
@pytest.mark.parametrize(
    "words",
    [
        ("new", "/proc/farm.xlsx"),
        ("new", "/proc/farm"),
        ("convert", "{}/book", "/proc/b.xlsx"),
        ("plan", "{}/book", "--out", "/proc/plan"),
        ("labels", "{}/plan", "--out", "/proc/l.html"),
        ("stress", "{}/plan", "--out", "/proc/s"),
        ("limit", "{}/book", "--out", "/proc/s"),
        ("compare", "{}/book", "--change", 'do = "add trough", trough = "X"', "--out", "/proc/s"),
        ("learn", "{}/book", "--csv", "/proc/l.csv"),
        ("draw", "{}/plan", "flow", "North trough", "--out", "/proc/l.svg"),
    ],
    ids=lambda words: words[0],
)
def test_a_folder_nobody_may_write_to_is_told_before_anything_is_worked_out(made, capsys, words):
    assert run([word.format(made) for word in words]) == 2
    assert "/proc may not be written to" in capsys.readouterr().err


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


def test_labels_that_are_open_elsewhere_are_left_alone(made, tmp_path, capsys):
    out = tmp_path / "l.html"
    assert run(["labels", str(made / "plan"), "--out", str(out)]) == 0
    before = out.read_bytes()
    (tmp_path / ".~lock.l.html#").write_text("someone")
    capsys.readouterr()
    assert run(["labels", str(made / "plan"), "--out", str(out)]) == 2
    assert "is open in another program" in capsys.readouterr().err
    assert out.read_bytes() == before


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
