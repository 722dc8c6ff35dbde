"""A command that is to end does so in words, with its own code, and leaves nothing running or lying about."""

import errno
import multiprocessing
import os
import signal
import subprocess
import sys
import threading
import time
import types
from pathlib import Path

import pytest
from helpers import write_book

from scheduler.cli import main, stopping
from scheduler.cli.background import softly
from scheduler.cli.main import run
from scheduler.cli.progress import solve_watched
from scheduler.cli.stopping import BEFORE_A_PLAN
from scheduler.model.settings import Outcome, SolveSettings
from scheduler.sweep.executors import local

ROOT = Path(__file__).resolve().parents[2]
SECONDS = 60
"""What a process of these tests may take on a busy machine."""


@pytest.fixture(autouse=True)
def heard_nothing():
    stopping.begin()
    yield
    stopping.begin()


def begun(code, folder, **given):
    """Start a process of its own in a folder, whose temporary files lie in ``tmp`` there."""
    (folder / "tmp").mkdir()
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "TMPDIR": str(folder / "tmp")}
    return subprocess.Popen(
        [sys.executable, "-c", code],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **given,
    )


def searching(then):
    """Return a program that runs ``plan`` with a search that says when it has begun, and then ..."""
    return f"""
import signal, sys, tempfile, types, threading
for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
    signal.signal(number, signal.SIG_DFL)
signal.signal(signal.SIGINT, signal.default_int_handler)
from scheduler.model.settings import Outcome
def plan_farm(farm, settings, tell, stop):
    with tempfile.TemporaryDirectory():
        print("begun", flush=True)
        {then}
    return Outcome(plan=None, status="no plan")
sys.modules["scheduler.model.solve"] = types.SimpleNamespace(plan_farm=plan_farm)
from scheduler.cli.start import main
sys.argv[1:] = ["plan", "book", "--out", "fresh"]
main()
"""


@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)]
)
def test_a_signal_to_end_before_there_is_a_plan_has_its_own_code_and_says_so(tmp_path, number, code):
    write_book(tmp_path)
    process = begun(searching("stop.wait()"), tmp_path)
    assert process.stdout.readline() == "begun\n"
    process.send_signal(number)
    error = process.communicate(timeout=SECONDS)[1]
    assert process.returncode == code
    assert error.splitlines()[-1] == BEFORE_A_PLAN
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book", "tmp"]


def test_a_second_one_ends_at_once_and_takes_temporary_files_along(tmp_path):
    write_book(tmp_path)
    process = begun(searching("threading.Event().wait()"), tmp_path)
    assert process.stdout.readline() == "begun\n"
    process.send_signal(signal.SIGINT)
    while "Asked to end" not in process.stderr.readline():
        assert process.poll() is None
    assert list((tmp_path / "tmp").iterdir())
    process.send_signal(signal.SIGTERM)
    error = process.communicate(timeout=SECONDS)[1]
    assert (process.returncode, error.splitlines()[-1]) == (130, "Stopped.")
    assert list((tmp_path / "tmp").iterdir()) == []


def test_a_plan_whose_progress_nobody_reads_any_more_is_searched_and_told_by_its_code(tmp_path):
    write_book(tmp_path)
    process = begun(searching("import time; time.sleep(0.5)"), tmp_path)
    assert process.stdout.readline() == "begun\n"
    process.stderr.close()
    process.stdout.close()
    assert process.wait(SECONDS) == 4


class Loaded(types.ModuleType):
    """A module that is asked to end while names are taken from it."""

    def __getattr__(self, name):
        raise stopping.Ended


def test_a_signal_while_a_command_is_loaded_is_told_in_a_word(monkeypatch, capsys):
    monkeypatch.setitem(sys.modules, "scheduler.outputs.words", Loaded("words"))
    assert run(["check", "book"]) == 130
    assert capsys.readouterr().err == "Stopped.\n"


def test_a_signal_once_a_command_is_done_is_told_in_a_word(monkeypatch, capsys):
    def pressed(_words):
        raise stopping.Ended

    for name in ("listen", "listen_no_more"):
        monkeypatch.setattr(stopping, name, lambda: None)
    monkeypatch.setattr(main, "outlive_readers", lambda: None)
    monkeypatch.setattr(main, "run", pressed)
    with pytest.raises(SystemExit, match="130"):
        main.main()
    assert capsys.readouterr().err == "Stopped.\n"


def test_work_goes_on_where_nobody_can_be_told_of_it():
    def full(_stopping):
        raise OSError(28, "No space left on device")

    assert softly(lambda stop: stop.wait(0.3), lambda: None, full) is False


def test_a_signal_that_comes_while_python_cleans_up_is_not_lost(monkeypatch, capsys):
    class Signals:
        def __del__(self):
            signal.raise_signal(signal.SIGTERM)

    monkeypatch.setattr(sys, "unraisablehook", None)
    held = [Signals()]

    def cleaned_up():
        stopping.listen()
        held.clear()
        threading.Event().wait(SECONDS)

    with stopping.heard_by(stopping.raised), pytest.raises(stopping.Ended):
        cleaned_up()
    assert stopping.code() == 143
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(("debug", "shown"), [("", False), ("1", True)])
def test_what_a_disk_did_not_take_is_not_told_again_where_it_is_cleaned_up(monkeypatch, capsys, debug, shown):
    class Page:
        def __del__(self):
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(sys, "unraisablehook", None)
    monkeypatch.setenv("RAFTWAY_DEBUG", debug)
    with stopping.heard_by(stopping.raised):
        stopping.listen()
        Page()
    assert ("No space left" in capsys.readouterr().err) == shown


def test_a_signal_that_a_library_makes_another_error_of_ends_in_words(monkeypatch, capsys):
    def loaded(_arguments, **_):
        try:
            stopping.raised(signal.SIGHUP, None)
        except KeyboardInterrupt as pressed:
            # as compiled modules do that are stopped while they are loaded
            raise ImportError("initialization failed") from pressed

    monkeypatch.setattr(main.cli, "main", loaded)
    assert run(["crops"]) == 129
    assert capsys.readouterr().err == "Stopped.\n"


def test_what_follows_a_search_that_was_stopped_is_asked_to_end_from_its_start():
    def stopped(stop):
        os.kill(os.getpid(), signal.SIGINT)
        return stop.wait(20)

    told = []
    assert softly(stopped, lambda: told.append(1)) is True
    assert softly(lambda stop: stop.is_set(), lambda: told.append(2)) is True
    assert told == [1]


def test_no_plan_in_time_is_told_as_such_where_nobody_stopped(monkeypatch, tmp_path, capsys):
    write_book(tmp_path)
    monkeypatch.setattr("scheduler.cli.progress.solve_watched", lambda *_: Outcome(plan=None, status=""))
    assert run(["plan", str(tmp_path / "book"), "--out", str(tmp_path / "fresh")]) == 4
    assert "No plan was found in time" in capsys.readouterr().err


def alive(number):
    try:
        state = Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except OSError:
        return False
    return state != "Z"


def wait_until_gone(numbers):
    until = time.monotonic() + SECONDS
    while any(alive(number) for number in numbers):
        assert time.monotonic() < until, "processes of workers are left"
        time.sleep(0.05)


def test_processes_of_workers_end_when_their_work_is_broken_off():
    def broken_off():
        with local(1)() as executor:
            future = executor.submit(time.sleep, 600)
            while not future.running():
                time.sleep(0.01)
            children.extend(child.pid for child in multiprocessing.active_children())
            raise KeyboardInterrupt

    children = []
    with pytest.raises(KeyboardInterrupt):
        broken_off()
    assert children
    wait_until_gone(children)


def test_processes_of_workers_end_with_the_one_that_began_them_and_do_not_hear_ctrl_c(tmp_path):
    code = (
        "import os, signal, time\n"
        "from scheduler.sweep.executors import local\n"
        "if __name__ == '__main__':\n"
        "    with local(1)() as executor:\n"
        "        child = executor.submit(os.getpid).result()\n"
        "        os.kill(child, signal.SIGINT)\n"
        "        assert executor.submit(os.getpid).result() == child\n"
        "        executor.submit(time.sleep, 600)\n"
        "        print(child, flush=True)\n"
        "        os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    (tmp_path / "workers.py").write_text(code)
    process = subprocess.Popen(
        [sys.executable, "workers.py"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    child = int(process.stdout.readline())
    error = process.communicate(timeout=SECONDS)[1]
    wait_until_gone([child])
    assert "Traceback" not in error


def test_a_search_that_found_a_plan_keeps_it_when_it_is_stopped(monkeypatch):
    plan = object()

    def search(farm, settings, tell, stop):
        os.kill(os.getpid(), signal.SIGTERM)
        stop.wait(20)
        return Outcome(plan=plan, status="filled")

    monkeypatch.setattr("scheduler.model.solve.plan_farm", search)
    assert solve_watched(None, SolveSettings(seconds=30)).plan is plan


def test_signals_are_as_before_when_a_search_is_over():
    before = signal.getsignal(signal.SIGTERM)
    softly(lambda stop: threading.Event().wait(0.01), lambda: None)
    assert signal.getsignal(signal.SIGTERM) is before


def test_an_offer_that_was_stopped_before_the_order_was_looked_at_answers_nothing(
    tmp_path, monkeypatch, capsys
):
    def pressed(*_):
        os.kill(os.getpid(), signal.SIGINT)
        return Outcome(plan=object(), status="filled")

    def softly_pressed(*_):
        return softly(lambda stop: (pressed(), stop.wait(20))[0], lambda: None)

    monkeypatch.setattr("scheduler.cli.progress.solve_watched", softly_pressed)
    write_book(tmp_path)
    asked = ("--product", "Butterhead head", "--amount", "2", "--weekday", "Mon")
    assert run(["offer", str(tmp_path / "book"), *asked]) == 130
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.splitlines()[-1] == "Stopped before the order was looked at. Nothing was written."
