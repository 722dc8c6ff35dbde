"""Search for a plan while somebody watches: progress on stderr, and Ctrl-C that keeps the best plan.

The search runs in a thread of its own, because Python hears Ctrl-C only in its first thread.
"""

import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

from rich.console import Console
from rich.live import Live
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.model.settings import Outcome, Progress, SolveSettings

TICK = 0.1
LINE_EVERY = 5.0
"""Seconds between two lines when the output is no terminal."""

HEARD = "Ctrl-C was heard: ending with the best plan so far; once more quits without it"

Solve = Callable[[Farm, SolveSettings, Callable[[Progress], None] | None, threading.Event | None], Outcome]


def solve_watched(farm: Farm, settings: SolveSettings, console: Console | None = None) -> Outcome:
    """Search for a plan; the first Ctrl-C ends the search and keeps its best plan.

    Args:
        farm: what to plan.
        settings: how.
        console: where progress goes; stderr unless given.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice.
        Exception: whatever the search raised.
    """
    console = console or Console(stderr=True)
    stop = threading.Event()
    search = _Search(farm, settings, stop)
    screen = _on_terminal if console.is_terminal else _as_lines
    with _ctrl_c(stop, console), screen(console) as show:
        search.start()
        start = time.monotonic()
        heard = False
        while search.is_alive():
            search.join(TICK)
            if stop.is_set() and not heard:
                # not left to the line of progress, which comes only every few seconds in a pipe
                console.print(Text(HEARD), soft_wrap=True)
                heard = True
            spent = time.monotonic() - start
            show(said(search.latest, settings, spent, stopping=stop.is_set()), spent)
    return search.result()


class _Search(threading.Thread):
    """The search itself; ``latest`` is what it told last."""

    def __init__(self, farm: Farm, settings: SolveSettings, stop: threading.Event) -> None:
        super().__init__(name="search", daemon=True)
        self.latest: Progress | None = None
        self._asked = (farm, settings, self._told, stop)
        self._outcome: Outcome | None = None
        self._error: BaseException | None = None

    def _told(self, progress: Progress) -> None:
        self.latest = progress

    def run(self) -> None:
        try:
            from scheduler.model.solve import plan_farm

            self._outcome = plan_farm(*self._asked)
        except BaseException as error:  # noqa: BLE001
            self._error = error

    def result(self) -> Outcome:
        if self._error is not None:
            raise self._error
        assert self._outcome is not None
        return self._outcome


def said(progress: Progress | None, settings: SolveSettings, spent: float, *, stopping: bool) -> str:
    """Return one line on where the search stands."""
    if stopping:
        return "Stopping"
    if progress is None:
        return "Getting ready"
    parts = [progress.phase]
    if progress.short < 0:
        parts.append("no plan yet")
    else:
        parts.append(
            f"{progress.short:,} units short" if progress.short else "every reachable firm delivery filled"
        )
    if not settings.deterministic:
        parts.append(f"{max(0.0, settings.seconds - spent):.0f} s left")
    return " | ".join(parts)


@contextmanager
def _ctrl_c(stop: threading.Event, console: Console) -> Iterator[None]:
    """Make the first Ctrl-C set ``stop``; the second interrupts as usual."""

    def pressed(_number: int, _frame: FrameType | None) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()

    before = signal.signal(signal.SIGINT, pressed)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _on_terminal(console: Console) -> Iterator[Callable[[str, float], None]]:
    with Live(console=console, transient=True, auto_refresh=False) as live:
        last_line = ""

        def show(line: str, _spent: float) -> None:
            nonlocal last_line
            if line != last_line:
                live.update(Text(line, no_wrap=True, overflow="ellipsis"), refresh=True)
                last_line = line

        yield show


@contextmanager
def _as_lines(console: Console) -> Iterator[Callable[[str, float], None]]:
    last_line, last_time = "", -LINE_EVERY

    def show(line: str, spent: float) -> None:
        nonlocal last_line, last_time
        if spent - last_time >= LINE_EVERY and line != last_line:
            console.print(Text(line), soft_wrap=True)
            last_line, last_time = line, spent

    yield show
