"""Kills commands at chosen moments of their writing and looks at what is left; a program of its own.

kills.py FOLDER NUMBER SEED [NAME...] prints what is wrong, one a line, and nothing when all is well. Each
command is run once to count its moments: files opened to be written, pushed to the disk, renamed, removed.
Then it is killed at NUMBER of them, each time in a fresh copy of the same folder, and run once more.

Each run is a fork of this process, which has loaded all that is needed and searches nothing itself.
"""

import contextlib
import os
import shutil
import signal
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path
from random import Random

from forked import load_all
from writing import CASES, Case, prepare

from scheduler.cli import record_command, record_telling, replan_command, status_command
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.records.backup import checked
from scheduler.sweep import executors

EVENTS = ("os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "sqlite3.connect")
DONE = (0, 3)
IS_THERE = 2


def main(folder: Path, number: int, seed: int, names: list[str]) -> None:
    """Try every case and print what is wrong."""
    base = folder / "base"
    prepare(base, lambda base, words: _forked(base, words, None))
    random = Random(seed)
    for name, case in CASES.items():
        if names and name not in names:
            continue
        for fault in _tried(folder, case, number, random):
            sys.stdout.write(f"{name}: {fault}\n")
            sys.stdout.flush()


def _tried(folder: Path, case: Case, number: int, random: Random) -> list[str]:
    whole = _copy(folder)
    before = _contents(whole, case.target)
    code = _forked(whole, case.words, -1)
    moments = int((whole / ".moments").read_text())
    (whole / ".moments").unlink()
    after = _contents(whole, case.target)
    if code not in DONE or after is None or moments == 0:
        return [f"code {code}, {moments} moments"]
    expected = _names(whole)
    faults = []
    for moment in sorted(random.sample(range(1, moments + 1), min(number, moments))):
        here = _copy(folder)
        code = _forked(here, case.words, moment)
        told = f"killed at {moment} of {moments}"
        if code != -signal.SIGKILL:
            faults.append(f"{told}: not killed, code {code}")
        left = _contents(here, case.target)
        if left not in (before, after) and not _is_begun_line(left, after):
            faults.append(f"{told}: neither the old nor the new")
        if _names(here) - expected:
            faults.append(f"{told}: left {sorted(_names(here) - expected)} in sight")
        code = _forked(here, case.words, None)
        done_before = left == after and not case.again
        if code not in ((IS_THERE,) if done_before else DONE):
            faults.append(f"{told}: then ended with {code}")
        if _contents(here, case.target) != after:
            faults.append(f"{told}: then not the new")
        hidden = [path.name for path in here.iterdir() if path.name.startswith(".") and ".new-" in path.name]
        # the plan before is kept once more, or the new one is, and both are whole
        more = {f"{name}-2" for name in case.beside} | {"plan-2026-03-17", "r.sqlite.before-restore-2"}
        if (hidden and not done_before) or _names(here) - more != expected:
            faults.append(f"{told}: then left {hidden}, {sorted(_names(here) ^ expected)}")
        shutil.rmtree(here)
    return faults


def _copy(folder: Path) -> Path:
    here = folder / "run"
    shutil.rmtree(here, ignore_errors=True)
    shutil.copytree(folder / "base", here)
    return here


def _names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir() if not path.name.startswith(".")}


def _contents(folder: Path, name: str) -> object:
    path = folder / name
    if not path.exists():
        return None
    if path.suffix == ".sqlite":
        return checked(path)
    if path.is_file():
        return path.read_bytes()
    return {
        each.relative_to(path).as_posix(): each.read_bytes() for each in path.rglob("*") if each.is_file()
    }


def _is_begun_line(left: object, after: object) -> bool:
    """Say whether a file of lines has the first of them, the last of which may have been begun."""
    return (
        isinstance(left, bytes) and isinstance(after, bytes) and after[:1] == b"{" and after.startswith(left)
    )


def _forked(folder: Path, words: tuple[str, ...], moment: int | None) -> int:
    """Run a command in a process of its own and return its code; -1 as moment counts them into a file."""
    child = os.fork()
    if child == 0:
        os.chdir(folder)
        with contextlib.redirect_stdout(None), contextlib.redirect_stderr(None):
            sys.stdout = sys.stderr = open(os.devnull, "w")  # noqa: SIM115, PTH123
            count = _watched(folder, moment) if moment is not None else lambda: 0
            code = run(words)
            if moment == -1:
                (folder / ".moments").write_text(str(count()))
        os._exit(code)
    status = os.waitpid(child, 0)[1]
    return os.waitstatus_to_exitcode(status)


def _watched(folder: Path, moment: int) -> Callable[[], int]:
    """Count the moments of this process from now on, and kill it at one of them; return what tells them."""
    seen = 0

    def at() -> None:
        nonlocal seen
        seen += 1
        if seen == moment:
            os.kill(os.getpid(), signal.SIGKILL)

    def hook(event: str, given: tuple[object, ...]) -> None:
        if event == "open":
            name, mode, flags = given
            writes = any(sign in str(mode or "") for sign in "wax+") or int(str(flags)) & (
                os.O_WRONLY | os.O_RDWR
            )
            if writes and str(folder) in os.path.abspath(str(name)):  # noqa: PTH100
                at()
        elif event in EVENTS:
            at()

    push = os.fsync
    os.fsync = lambda handle: (at(), push(handle))[1]  # type: ignore[assignment,func-returns-value]
    sys.addaudithook(hook)
    return lambda: seen


def _stand_ins() -> None:
    """Leave out pages, which are made before anything is written, clocks, and processes of workers."""
    everything.PAGES.clear()
    for module in (record_telling, record_command, replan_command, status_command):
        module.today = lambda: date(2026, 3, 16)
    executors.local = lambda _workers: lambda: ThreadPoolExecutor(1)


if __name__ == "__main__":
    load_all()
    _stand_ins()
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4:])
