"""Processes forked from one that has loaded all of raftway: each begins at once and shares nothing with the next."""

import json
import os
import resource
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pkgutil import walk_packages
from typing import Any

import scheduler
from scheduler.outputs.fonts import load_charts

LAZY = ("openpyxl", "jinja2", "icalendar", "rich.console", "matplotlib.figure")


def load_all() -> None:
    """Load what commands load when they are asked for, so that no fork has to."""
    for module in walk_packages(scheduler.__path__, "scheduler."):
        import_module(module.name)
    load_charts()
    for name in LAZY:
        import_module(name)


@dataclass(frozen=True, kw_only=True)
class Ended:
    """How a forked process ended.

    Attributes:
        answer: what its function gave, None if it came to no answer.
        code: exit code, negative for the signal that ended it.
        seconds: of the processor.
        kilobytes: of memory, at most.
    """

    answer: Any
    code: int
    seconds: float
    kilobytes: int


def apart(work: Callable[[], object], seconds: int) -> Ended:
    """Do some work in a fork and return what came of it.

    Args:
        work: gives an answer that JSON can hold.
        seconds: of the processor, after which the system ends it.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        with os.fdopen(writing, "w", encoding="utf-8") as file:
            json.dump(work(), file)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as file:
        told = file.read()
    _, status, used = os.wait4(child, 0)
    code = os.waitstatus_to_exitcode(status)
    return Ended(
        answer=json.loads(told) if code == 0 else None,
        code=code,
        seconds=used.ru_utime + used.ru_stime,
        kilobytes=used.ru_maxrss,
    )
