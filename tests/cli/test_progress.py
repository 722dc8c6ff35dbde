"""Somebody watches the search: lines when piped, a moving line on a terminal, Ctrl-C keeps the best plan."""

import io
import os
import signal
import sys
from types import SimpleNamespace

import pytest
from rich.console import Console
from samples import small_farm, small_plan

from scheduler.cli import progress, stopping
from scheduler.cli.progress import HEARD, MEMORY_TAKEN, said, solve_watched
from scheduler.model.settings import LAYING_OUT, Outcome, Progress, SolveSettings

NOTHING = Outcome(plan=None, status="no plan")
FOUND = Outcome(plan=small_plan(), status="filled")
SETTINGS = SolveSettings(seconds=30)


@pytest.fixture(autouse=True)
def heard_nothing():
    stopping.begin()
    yield
    stopping.begin()


def told(**changes):
    given = {"phase": "Filling", "short": 12, "value": 1234.5, "bound": 1200.0, "seconds": 3.0}
    return Progress(**(given | changes))


@pytest.fixture
def searching(monkeypatch):
    def use(search):
        monkeypatch.setitem(sys.modules, "scheduler.model.solve", SimpleNamespace(plan_farm=search))

    return use


@pytest.mark.parametrize(
    ("given", "line"),
    [
        (None, "Getting ready"),
        (told(short=-1), "Filling | no plan yet | 26 s left"),
        (told(bound=0.0), "Filling | 12 units short | 26 s left"),
        (told(), "Filling | 12 units short, at least 97 % of that by price in every plan | 26 s left"),
        (told(bound=1234.5), "Filling | 12 units short, no plan leaves less | 26 s left"),
        (
            told(short=0, bound=float("-inf")),
            "Filling | every reachable firm delivery filled | 26 s left",
        ),
    ],
)
def test_a_line_says_what_is_searched_the_best_so_far_and_the_time_left(given, line):
    assert said(given, SETTINGS, 4.0, stopping=False) == line


def test_a_deterministic_search_has_no_time_left_to_tell():
    settings = SolveSettings(seconds=30, deterministic=True)
    assert said(told(short=-1), settings, 4.0, stopping=False) == "Filling | no plan yet"


@pytest.mark.parametrize("stopping", [False, True])
def test_a_search_that_has_ended_tells_what_is_done_with_its_plan(stopping):
    given = told(phase=LAYING_OUT)
    assert said(given, SETTINGS, 40.0, stopping=stopping) == "Laying out the rows of the plan"


def test_time_past_the_limit_is_no_time_left():
    line = said(told(short=-1), SETTINGS, 40.0, stopping=False)
    assert line.endswith("| the time is up, this step is the last")


def test_the_outcome_of_the_search_comes_back(searching):
    searching(lambda farm, settings, on_progress, stop: NOTHING)
    assert solve_watched(small_farm(), SETTINGS, Console(file=io.StringIO())) is NOTHING


def test_an_error_of_the_search_comes_out(searching):
    def fail(*_):
        raise ZeroDivisionError("inside the search")

    searching(fail)
    with pytest.raises(ZeroDivisionError, match="inside the search"):
        solve_watched(small_farm(), SETTINGS, Console(file=io.StringIO()))


@pytest.mark.parametrize(
    ("memory", "pressed", "said_so"),
    [(2.0, False, True), (4.0, False, False), (None, False, False), (2.0, True, False)],
)
def test_a_search_that_ended_for_want_of_memory_says_so(searching, monkeypatch, memory, pressed, said_so):
    held = [1.0]
    monkeypatch.setattr("scheduler.model.solver.memory.used", lambda: held[0])

    def full(farm, settings, on_progress, stop):
        on_progress(told())
        held[0] = 1.9
        if pressed:
            stop.set()
        on_progress(told(phase=LAYING_OUT))
        held[0] = 9.0
        return FOUND

    searching(full)
    out = io.StringIO()
    solve_watched(small_farm(), SolveSettings(memory=memory), Console(file=out))
    assert (MEMORY_TAKEN in out.getvalue()) == said_so


def test_the_first_ctrl_c_ends_the_search_and_keeps_its_plan(searching):
    def until_stopped(farm, settings, on_progress, stop):
        os.kill(os.getpid(), signal.SIGINT)
        assert stop.wait(20)
        return FOUND

    before = signal.getsignal(signal.SIGINT)
    searching(until_stopped)
    assert solve_watched(small_farm(), SETTINGS, Console(file=io.StringIO())) is FOUND
    assert signal.getsignal(signal.SIGINT) is before


def test_it_is_said_at_once_and_once_that_ctrl_c_was_heard(searching):
    out = io.StringIO()

    def until_told(farm, settings, on_progress, stop):
        os.kill(os.getpid(), signal.SIGINT)
        while HEARD not in out.getvalue():
            assert stop.wait(20)
        return FOUND

    searching(until_told)
    solve_watched(small_farm(), SETTINGS, Console(file=out))
    assert out.getvalue().splitlines().count(HEARD) == 1


def test_the_second_ctrl_c_quits(searching):
    ended = []

    def deaf(farm, settings, on_progress, stop):
        os.kill(os.getpid(), signal.SIGINT)
        stop.wait(20)
        os.kill(os.getpid(), signal.SIGINT)
        ended.append(True)
        return NOTHING

    searching(deaf)
    with pytest.raises(KeyboardInterrupt):
        solve_watched(small_farm(), SETTINGS, Console(file=io.StringIO()))


def test_piped_lines_come_at_most_every_few_seconds_and_only_when_something_changed():
    out = io.StringIO()
    with progress._as_lines(Console(file=out)) as show:  # noqa: SLF001
        for second in range(31):
            show(f"line {second // 10}", float(second))
    assert out.getvalue().splitlines() == ["line 0", "line 1", "line 2", "line 3"]
    out = io.StringIO()
    with progress._as_lines(Console(file=out)) as show:  # noqa: SLF001
        for second in range(11):
            show(f"line {second}", float(second))
    assert out.getvalue().splitlines() == ["line 0", "line 5", "line 10"]


def test_a_terminal_shows_one_line_that_goes_away(searching):
    out = io.StringIO()

    def search(farm, settings, on_progress, stop):
        on_progress(told(phase="[b]Filling"))
        while "units short" not in out.getvalue():
            stop.wait(0.01)
        return NOTHING

    searching(search)
    solve_watched(small_farm(), SETTINGS, Console(file=out, force_terminal=True, width=80))
    assert "[b]Filling | 12 units short" in out.getvalue()
    assert "\x1b[2K" in out.getvalue()
