"""A plan that was found outlives one signal to end, wherever it comes; the second leaves what was there."""

import os
import shutil
import signal
import sys
from contextlib import contextmanager
from pathlib import Path

import pytest
from folders import every_byte, planned

from scheduler.cli import compare_command, keeping, placing, progress, side_by_side, stopping
from scheduler.cli.main import run
from scheduler.disk import whole
from scheduler.model.settings import Outcome
from scheduler.outputs import everything, folder
from scheduler.outputs.everything import Edition, write_plan
from scheduler.outputs.saved import open_plan
from scheduler.plan.audit import audit
from scheduler.plan.offered import Offered, Taken

ALL_PAGES = "tasks.ics, one.html, two.html"


@pytest.fixture(autouse=True)
def heard_nothing():
    stopping.begin()
    yield
    stopping.begin()


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return planned(tmp_path_factory.mktemp("keeping"))


@pytest.fixture
def found(made, monkeypatch):
    """A search that finds its plan at once, and two pages."""
    monkeypatch.setattr(
        "scheduler.model.solve.plan_farm", lambda *_: Outcome(plan=made.plan, status="filled")
    )
    pages = {"one.html": lambda farm, plan: b"one", "two.html": lambda farm, plan: b"two"}
    monkeypatch.setattr(everything, "PAGES", pages)
    return made


@pytest.fixture
def older(found, tmp_path):
    """The folder of an older plan."""
    write_plan(tmp_path / "plan", found.farm, found.plan, found.copy, Edition(alarm_minutes=420))
    return tmp_path / "plan"


def planning(found, out):
    return run(["plan", str(found.book), "--out", str(out)])


@pytest.fixture(autouse=True)
def listening():
    """Let Ctrl-C be heard as by a command of its own: what runs the tests may have it ignored."""
    before = signal.signal(signal.SIGINT, stopping.raised)
    yield
    signal.signal(signal.SIGINT, before)


def signalled(monkeypatch, where, name, numbers):
    """Let signals come when a function of a module first runs."""
    real, left = getattr(where, name), list(numbers)

    def pressed(*given, **named):
        while left:
            os.kill(os.getpid(), left.pop(0))
        return real(*given, **named)

    monkeypatch.setattr(where, name, pressed)


def nothing_hidden(parent):
    return [path.name for path in parent.iterdir() if path.name.startswith(".")] == []


@pytest.mark.parametrize(
    ("moment", "number", "code"),
    [("audit", signal.SIGINT, 130), ("audit", signal.SIGHUP, 129), ("tables", signal.SIGTERM, 143)],
)
def test_one_signal_while_a_plan_is_judged_or_its_tables_are_made_keeps_it_without_pages(
    found, monkeypatch, capfd, moment, number, code
):
    where, name = {
        "audit": (sys.modules[audit.__module__], "audit"),
        "tables": (everything, "table_files"),
    }[moment]
    signalled(monkeypatch, where, name, [number])
    out = found.book.parent / f"{moment}-{code}"
    assert planning(found, out) == code
    told = capfd.readouterr().err.splitlines()
    assert "Asked to end: the plan is kept, without pages that are not made yet; once more quits" in " ".join(
        told
    )
    assert f"The plan is in {out}; raftway publish {out} makes the rest." in told
    assert told[-1] == f"Stopped before {ALL_PAGES}."
    assert open_plan(out) == (found.farm, found.plan)
    assert not (out / "one.html").exists()
    assert nothing_hidden(out.parent)
    monkeypatch.undo()
    assert run(["audit", str(found.book), str(out)]) == 0


def test_one_before_the_search_has_begun_ends_at_once(found, older, monkeypatch, capsys):
    before = every_byte(older)
    signalled(monkeypatch, progress, "softly", [signal.SIGINT])
    assert planning(found, older) == 130
    assert capsys.readouterr().err.splitlines()[-1] == "Stopped."
    assert every_byte(older) == before


def test_the_calendars_of_an_older_plan_stay_where_there_was_no_time_for_new_ones(found, older, monkeypatch):
    before = (older / "tasks.ics").read_bytes()
    signalled(monkeypatch, everything, "table_files", [signal.SIGINT])
    assert planning(found, older) == 130
    assert (older / "tasks.ics").read_bytes() == before


def test_one_while_the_folder_is_written_changes_nothing_where_all_pages_are_made(
    found, tmp_path, monkeypatch, capsys
):
    signalled(monkeypatch, everything, "replace_folder", [signal.SIGINT])
    assert planning(found, tmp_path / "plan") == 0
    assert (tmp_path / "plan/two.html").read_bytes() == b"two"
    assert "Written to" in capsys.readouterr().out


def test_one_in_a_page_breaks_it_off_and_the_folder_is_written_without_it(found, tmp_path, monkeypatch):
    def slow(_farm, _plan):
        os.kill(os.getpid(), signal.SIGTERM)
        raise AssertionError("gone on after the signal")

    monkeypatch.setitem(everything.PAGES, "two.html", slow)
    assert planning(found, tmp_path / "plan") == 143
    assert (tmp_path / "plan/one.html").read_bytes() == b"one"
    assert not (tmp_path / "plan/two.html").exists()


@pytest.mark.parametrize(
    ("where", "name"),
    [
        (everything, "table_files"),
        (everything, "replace_folder"),
        (folder, "write_all"),
        (whole, "write_new"),
    ],
    ids=lambda each: each if isinstance(each, str) else "",
)
def test_the_second_ends_at_once_and_the_older_plan_is_whole(found, older, monkeypatch, capsys, where, name):
    before = every_byte(older)
    signalled(monkeypatch, where, name, [signal.SIGINT, signal.SIGINT])
    assert planning(found, older) == 130
    assert capsys.readouterr().err.splitlines()[-1] == "Stopped."
    assert every_byte(older) == before
    assert nothing_hidden(older.parent)


def test_one_that_ended_the_search_is_the_first(found, older, monkeypatch, made):
    def stopped(_farm, _settings, _tell, stop):
        os.kill(os.getpid(), signal.SIGINT)
        stop.wait(20)
        return Outcome(plan=made.plan, status="filled")

    monkeypatch.setattr("scheduler.model.solve.plan_farm", stopped)
    before = every_byte(older)
    assert planning(found, older) == 0
    assert every_byte(older) != before  # the phones do not ring in this one
    before = every_byte(older)
    signalled(monkeypatch, everything, "table_files", [signal.SIGINT])
    assert planning(found, older) == 130
    assert every_byte(older) == before


@contextmanager
def counted(from_now, at):
    """Let a signal come at a line that this thread runs once ``from_now`` holds, while signals are heard."""
    seen, unheard = 0, signal.getsignal(signal.SIGINT)
    traced = tuple(
        str(Path(everything.__file__).parents[1] / part) for part in ("cli", "outputs/everything.py", "disk")
    )

    def line(_frame, event, _given):
        nonlocal seen
        if event == "line" and from_now and signal.getsignal(signal.SIGINT) is not unheard:
            seen += 1
            if seen == at:
                signal.raise_signal(signal.SIGINT)
        return line

    before = sys.gettrace()
    sys.settrace(lambda frame, *_: line if frame.f_code.co_filename.startswith(traced) else None)
    try:
        yield lambda: seen
    finally:
        sys.settrace(before)


MOMENTS = 12


def test_at_no_line_between_search_and_folder_is_a_plan_lost_for_one_signal(
    found, tmp_path, monkeypatch, capsys
):
    is_found = []

    def search(*_):
        is_found.append(1)
        return Outcome(plan=found.plan, status="filled")

    monkeypatch.setattr("scheduler.model.solve.plan_farm", search)
    monkeypatch.setattr("scheduler.cli.judging.faults_told", lambda *_: 0)
    out = tmp_path / "plan"
    with counted(is_found, -1) as lines:
        assert planning(found, out) == 0
        total = lines()
    assert total > 100
    tried = {1 + round(k * (total - 1) / (MOMENTS - 1)) for k in range(MOMENTS)}
    for moment in sorted(tried):
        is_found.clear()
        shutil.rmtree(out)
        stopping.begin()
        with counted(is_found, moment):
            code = planning(found, out)
        assert code in (0, 130), capsys.readouterr().err
        assert open_plan(out) == (found.farm, found.plan), moment
        assert nothing_hidden(tmp_path)


def test_an_offer_and_its_plan_are_kept_too(found, tmp_path, monkeypatch, capsys):
    def answered(plan, _make, wanted, *_):
        taken = Taken(first=wanted.first, deliveries=1, earns=0, cost=None, less=(), plan=plan)
        return Offered(asked=0, days=(0,), early=0, taken=taken, displacing=None, greatest=None)

    write_plan(tmp_path / "plan", found.farm, found.plan, found.copy, Edition())
    monkeypatch.setattr("scheduler.model.offer.offer", answered)
    signalled(monkeypatch, everything, "table_files", [signal.SIGINT])
    asked = ("--product", "Butterhead head", "--amount", "2", "--weekday", "Fri", "--plan")
    out = tmp_path / "with"
    assert run(["offer", str(found.book), *asked, str(tmp_path / "plan"), "--out", str(out)]) == 130
    told = capsys.readouterr().err
    assert f"The plan is in {out}; raftway publish {out} makes the rest." in told
    assert "NEW-1" in (out / "book/orders.csv").read_text()


def test_a_limit_that_was_found_is_told_and_written(found, tmp_path, monkeypatch, capfd):
    signalled(monkeypatch, placing, "place_folder", [signal.SIGINT])
    out = tmp_path / "limit"
    words = ["limit", str(found.book), "--bound-only", "--mix", "Butterhead head=9", "--out", str(out)]
    assert run(words) == 0
    told = capfd.readouterr()
    assert told.err.splitlines()[-1].startswith("Asked to end: what was found is finished")
    assert told.out.splitlines()[-1] == f"Written to {out}"
    assert (out / "limit.html").is_file()


def test_farms_that_were_planned_are_compared(found, tmp_path, monkeypatch, capfd):
    signalled(monkeypatch, side_by_side, "_refuse_unsound", [signal.SIGINT])
    monkeypatch.setattr("scheduler.model.search.begun.plan_from", lambda *_: None)
    monkeypatch.setattr("scheduler.plan.audit.audit", lambda *_: [])
    monkeypatch.setattr(compare_command, "_files", lambda *_: {"compare.html": b"farms"})
    out = tmp_path / "compared"
    change = 'do = "add trough", trough = "East trough"'
    assert run(["compare", str(found.book), "--change", change, "--out", str(out)]) == 0
    assert "Asked to end: what was found is finished" in capfd.readouterr().err
    assert (out / "compare.html").is_file()


@pytest.mark.parametrize("page", [False, True])
def test_a_plan_that_is_published_again_stays_as_it_is_when_that_is_stopped(found, older, monkeypatch, page):
    def slow(_farm, _plan):
        raise KeyboardInterrupt

    before = every_byte(older)
    if page:
        monkeypatch.setitem(everything.PAGES, "two.html", slow)
    else:
        signalled(monkeypatch, everything, "table_files", [signal.SIGINT])
    (older / "one.html").write_bytes(b"an older one")
    assert run(["publish", str(older)]) == 130
    assert every_byte(older) == before | {"one.html": b"an older one"}
    assert nothing_hidden(older.parent)


@pytest.mark.parametrize("looked_at", [True, False])
def test_a_terminal_is_told_that_pages_are_made_and_a_pipe_is_not(
    found, tmp_path, monkeypatch, capsys, looked_at
):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: looked_at, raising=False)
    assert planning(found, tmp_path / "new") == 0
    assert (keeping.MAKING in capsys.readouterr().err) is looked_at
