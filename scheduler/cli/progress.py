"""Search for a plan while somebody watches: progress on stderr, and Ctrl-C that keeps the best plan."""

import math
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import floor
from typing import Protocol, TypeVar

from rich.console import Console
from rich.live import Live
from rich.text import Text

from scheduler.cli.background import softly
from scheduler.cli.stopping import BEFORE_A_PLAN, Ended, asked_once
from scheduler.farm.farm import Farm
from scheduler.model.settings import LAYING_OUT, Outcome, Progress, SolveSettings
from scheduler.plan.rows import Plan

Tell = Callable[[Progress], None]


class HasPlan(Protocol):
    """What a search gives: a plan, or None where there was no time for one."""

    @property
    def plan(self) -> Plan | None:
        """The plan."""


Found = TypeVar("Found", bound=HasPlan)

LINE_EVERY = 5.0
"""Seconds between two lines when the output is no terminal."""

HEARD = "Asked to end: ending with the best plan so far; once more quits without it"


MEMORY_TAKEN = "The memory that --memory allows is taken: this is the best plan so far"


def solve_watched(farm: Farm, settings: SolveSettings, console: Console | None = None) -> Outcome:
    """Search for a plan, and say when it was for want of memory that a search ended; see :func:`watched`."""
    taken = False

    def search(tell: Tell, stop: threading.Event) -> Outcome:
        from scheduler.model.solve import plan_farm

        def heard(progress: Progress) -> None:
            nonlocal taken
            # laying out takes more of it, and ends no search
            taken = progress.phase == LAYING_OUT and not stop.is_set() and memory_is_taken(settings)
            tell(progress)

        return plan_farm(farm, settings, heard, stop)

    found = watched(search, settings, console)
    if taken and found.plan is not None:
        (console or Console(stderr=True)).print(Text(MEMORY_TAKEN), soft_wrap=True)
    return found


def memory_is_taken(settings: SolveSettings) -> bool:
    """Say whether the memory that a search may take is taken, so that it ends."""
    from scheduler.model.solver.engine import Engine

    return Engine(settings).memory_is_taken


def watched(
    search: Callable[[Tell, threading.Event], Found], settings: SolveSettings, console: Console | None = None
) -> Found:
    """Return what a search finds; the first Ctrl-C sets the event it is given, so that it ends soon.

    Args:
        search: the search; it calls what it is given first with its progress.
        settings: how it searches.
        console: where progress goes; stderr unless given.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice, or before there was a plan.
        Exception: whatever the search raised.
    """
    console = console or Console(stderr=True)
    told: list[Progress | None] = [None]

    def heard() -> None:
        # not left to the line of progress, which comes only every few seconds in a pipe
        console.print(Text(HEARD), soft_wrap=True)

    with (_on_terminal if console.is_terminal else _as_lines)(console) as show:
        start = time.monotonic()

        def look(stopping: bool) -> None:
            spent = time.monotonic() - start
            show(said(told[0], settings, spent, stopping=stopping), spent)

        found = softly(lambda stop: search(lambda progress: told.__setitem__(0, progress), stop), heard, look)
    if found.plan is None and asked_once():
        raise Ended(BEFORE_A_PLAN)
    return found


def said(progress: Progress | None, settings: SolveSettings, spent: float, *, stopping: bool) -> str:
    """Return one line on where the search stands."""
    if progress is not None and progress.phase == LAYING_OUT:
        return progress.phase.capitalize()
    if stopping:
        return "Stopping"
    if progress is None:
        return "Getting ready"
    parts = [progress.phase]
    if progress.short < 0:
        parts.append("no plan yet")
    elif not progress.short:
        parts.append("every reachable firm delivery filled")
    else:
        units = "unit" if progress.short == 1 else "units"
        parts.append(f"{progress.short:,} {units} short{_in_every_plan(progress)}")
    if not settings.deterministic and math.isfinite(settings.seconds):
        left = settings.seconds - spent
        parts.append(f"{left:.0f} s left" if left > 0 else "the time is up, this step is the last")
    return " | ".join(parts)


def _in_every_plan(progress: Progress) -> str:
    """Say how much of the firm shortage, by its weighted value, is proven to be short in every plan."""
    if progress.bound <= 0 or progress.value <= 0:
        return ""
    if progress.value <= progress.bound:
        return ", no plan leaves less"
    return f", at least {floor(100 * progress.bound / progress.value)} % of that by price in every plan"


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
