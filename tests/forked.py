"""Processes forked from one that has loaded all of raftway: each begins at once and shares nothing."""

import gc
import json
import os
import resource
from collections.abc import Callable, Iterator, Sequence
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from typing import Any

import scheduler
from scheduler.outputs.fonts import load_charts

LAZY = ("openpyxl", "jinja2", "icalendar", "rich.console", "matplotlib.figure")

IN_ONE = 25
"""Pieces of work that one process does before another takes its place; a fork costs as much as a check."""


def load_all() -> None:
    """Load what commands load when they are asked for, so that no fork has to."""
    for module in walk_packages(scheduler.__path__, "scheduler."):
        import_module(module.name)
    load_charts()
    for name in LAZY:
        import_module(name)
    gc.freeze()


def each_apart(
    work: Callable[[int], object], numbers: Sequence[int], seconds: int, in_one: int = IN_ONE
) -> Iterator[tuple[int, Any, int]]:
    """Do numbered work in one forked process after another.

    Args:
        work: gives an answer that JSON can hold.
        numbers: of the pieces of work.
        seconds: of the processor for one piece, after which the system ends its process.
        in_one: pieces that one process does.

    Yields:
        (number, answer, 0), or (number, None, exit code) of the piece that ended its process.
    """
    left = list(numbers)
    while left:
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            _do(work, left[:in_one], seconds, writing)
        os.close(writing)
        most = len(left) - in_one
        with os.fdopen(reading, encoding="utf-8") as file:
            for line in file:
                if line.endswith("\n"):
                    yield left.pop(0), json.loads(line), 0
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        if len(left) > max(most, 0):
            yield left.pop(0), None, code


def lines_of(path: Path) -> list[dict[str, Any]]:
    """Return the answers that a file keeps; a last line that a killed run left unfinished is cut off."""
    if not path.exists():
        return []
    text = path.read_text(encoding="utf-8")
    whole = text[: text.rfind("\n") + 1]
    if whole != text:
        path.write_text(whole, encoding="utf-8")
    return [json.loads(line) for line in whole.splitlines()]


def add_line(path: Path, answer: object) -> None:
    """Add an answer to a file."""
    with path.open("a", encoding="utf-8") as file:
        file.write(json.dumps(answer) + "\n")


def _do(work: Callable[[int], object], numbers: Sequence[int], seconds: int, writing: int) -> None:
    with os.fdopen(writing, "w", encoding="utf-8") as file:
        for number in numbers:
            used = resource.getrusage(resource.RUSAGE_SELF)
            until = int(used.ru_utime + used.ru_stime) + seconds
            resource.setrlimit(resource.RLIMIT_CPU, (until, resource.RLIM_INFINITY))
            file.write(json.dumps(work(number)) + "\n")
            file.flush()
    os._exit(0)
