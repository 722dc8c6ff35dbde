"""A command with all processes it begins: their processor time and the most memory they held at once.

A browser's pages live in processes that nobody waits for, so what the system counts for finished children
leaves most of them out; here all of them are looked at again and again while they run. Linux only.
"""

import os
import resource
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from time import sleep

TICKS = os.sysconf("SC_CLK_TCK")
PROC = Path("/proc")
EVERY = 0.2
"""Seconds between two looks: what a process does after the last of them is missed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """What a command took: seconds of processors, MiB at most (pages that several share counted once)."""

    seconds: float
    mib: float
    code: int
    said: str


def watched(words: Sequence[str], most: float = 3600) -> Used:
    """Run a command to its end, or for ``most`` seconds of processors, and tell what it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    taken: dict[int, float] = {}
    mib = 0.0
    with tempfile.TemporaryFile() as out:
        # what runs is one of the commands of big.py
        running = subprocess.Popen(words, stdout=out, stderr=subprocess.STDOUT)
        while running.poll() is None:
            now: dict[int, float] = {}
            # one whose parent is gone belongs to no tree any more, but was seen in it before
            for known in (running.pid, *taken):
                _look(known, now)
            taken.update(now)
            mib = max(mib, sum(map(_mib, now)))
            if sum(taken.values()) > most:
                running.kill()
            sleep(EVERY)
        out.seek(0)
        said = out.read().decode(errors="replace")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    waited = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Used(seconds=max(sum(taken.values()), waited), mib=mib, code=running.returncode, said=said)


def _look(process: int, found: dict[int, float]) -> None:
    """Add a process and those it began, each with the seconds it has taken."""
    if process in found:
        return
    try:
        told = (PROC / f"{process}/stat").read_text().rpartition(")")[2].split()
        found[process] = (int(told[11]) + int(told[12])) / TICKS
        for each in (PROC / f"{process}/task").iterdir():
            for child in (each / "children").read_text().split():
                _look(int(child), found)
    except (FileNotFoundError, ProcessLookupError):
        return


def _mib(process: int) -> float:
    """Return what a process holds, its part of what several share; nothing for one that is gone."""
    try:
        lines = (PROC / f"{process}/smaps_rollup").read_text().splitlines()
    except (FileNotFoundError, ProcessLookupError):
        return 0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("Pss:")), 0)
