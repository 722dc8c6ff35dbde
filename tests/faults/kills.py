"""Kills commands at chosen moments of their writing and looks at what is left; a program of its own.

kills.py FOLDER NUMBER SEED [NAME...] prints what is wrong, one a line, and nothing when all is well. Each
command is run once to count its moments: files opened to be written, pushed to the disk, renamed, removed.
Then it is killed at NUMBER of them, each time in a fresh copy of the same folder, and run once more.

Each run is a fork of this process, which has loaded all that is needed and searches nothing itself.
"""

import contextlib
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from random import Random

from forked import load_all
from helpers import write_book

from scheduler.book.guard import csv_text
from scheduler.cli import record_command, record_telling, replan_command, status_command
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.records.backup import checked
from scheduler.sweep import executors

QUICK = ("--seconds", "1", "--deterministic")
EVENTS = ("os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "sqlite3.connect")
ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-05-08,2026-05-22\n"
)
MAP = "column,measures,unit,place\nTime,moment,,\nWater,water,C,North trough\n"
SCENARIO = 'name = "East"\n[[change]]\ndo = "add trough"\ntrough = "East trough"\n'
DONE = (0, 3)
IS_THERE = 2


@dataclass(frozen=True)
class Case:
    """A command that writes.

    Attributes:
        words: the command line; names in it lie in the folder of the run.
        target: what it writes.
        again: whether it may be run over its own result; others refuse that.
        beside: what else it may leave in the folder.
    """

    words: tuple[str, ...]
    target: str
    again: bool = False
    beside: tuple[str, ...] = field(default=())


BOOK_OF_RECORDS = ("book", "--records", "r.sqlite")
SOWN = (
    "record",
    "book",
    "sown",
    "--crop",
    "Butterhead",
    "--plants",
    "98",
    "--to",
    "Shelf A 2",
    "--units",
    "1",
)
CASES = {
    "new": Case(("new", "n", "--first-day", "2026-03-02"), "n"),
    "new workbook": Case(("new", "n.xlsx", "--first-day", "2026-03-02"), "n.xlsx"),
    "convert": Case(("convert", "book", "b.xlsx"), "b.xlsx"),
    "convert back": Case(("convert", "w.xlsx", "b"), "b"),
    "plan": Case(("plan", "book", "--out", "fresh", *QUICK), "fresh", again=True),
    "plan again": Case(("plan", "book", "--out", "plan", "--alarm", "07:00", *QUICK), "plan", again=True),
    "publish": Case(("publish", "edited"), "edited", again=True),
    "replan": Case(
        ("replan", *BOOK_OF_RECORDS, "--plan", "plan", "--today", "2026-03-17", *QUICK),
        "plan",
        again=True,
        beside=("plan-2026-03-02",),
    ),
    "compare": Case(("compare", "book", "--with", "e.toml", "--out", "c", *QUICK), "c"),
    "limit": Case(("limit", "book", "--bound-only", "--mix", "Butterhead head=9", "--out", "l"), "l"),
    "stress": Case(("stress", "plan", "--runs", "5", "--out", "s"), "s"),
    "sweep": Case(("sweep", "book", "--with", "e.toml", "--out", "s.csv", *QUICK), "s.csv"),
    "sweep results": Case(
        ("sweep", "book", "--with", "e.toml", "--results", "s.jsonl", *QUICK), "s.jsonl", again=True
    ),
    "record": Case(
        (*SOWN, "--on", "2026-03-05", "--op", "x", "--records", "r.sqlite"), "r.sqlite", again=True
    ),
    "backup": Case(("record", "book", "backup", "k.sqlite", "--records", "r.sqlite"), "k.sqlite"),
    "next book": Case(("record", "book", "book", "x", "--on", "2026-03-17", "--records", "r.sqlite"), "x"),
    "learn": Case(("learn", *BOOK_OF_RECORDS, "--csv", "t.csv"), "t.csv"),
    "trace": Case(("trace", *BOOK_OF_RECORDS, "--lot", "BUT-260316", "--csv", "t.csv"), "t.csv", again=True),
    "labels": Case(("labels", "plan", "--out", "l.html"), "l.html", again=True),
    "draw": Case(("draw", "plan", "flow", "North trough", "--out", "d.svg"), "d.svg"),
    "readings": Case(("readings", "book", "log.csv", "--out", "t"), "t"),
}


def main(folder: Path, number: int, seed: int, names: list[str]) -> None:
    """Try every case and print what is wrong."""
    base = folder / "base"
    _prepare(base)
    random = Random(seed)
    for name, case in CASES.items():
        if names and name not in names:
            continue
        for fault in _tried(folder, case, number, random):
            sys.stdout.write(f"{name}: {fault}\n")
            sys.stdout.flush()


def _prepare(base: Path) -> None:
    """Make a book, a workbook, plans, records and the rest in a folder."""
    write_book(base, orders=ORDERS, reading_columns=MAP, settings={"weeks": "12", "sow_days": "Mon"})
    (base / "e.toml").write_text(SCENARIO)
    rows = [(f"2026-03-02 {hour:02}:00", "18") for hour in range(0, 24, 6)]
    (base / "log.csv").write_text(csv_text([("Time", "Water"), *rows]))
    for words in (
        ("convert", "book", "w.xlsx"),
        ("plan", "book", "--out", "plan", *QUICK),
        ("record", "book", "done", "sow BUT-260316", "--plan", "plan", "--records", "r.sqlite"),
    ):
        if _forked(base, words, None) != 0:
            raise SystemExit(f"{words} did not work")
    shutil.copytree(base / "plan", base / "edited")
    note = json.loads((base / "edited/plan.json").read_text())
    (base / "edited/plan.json").write_text(json.dumps(note | {"alarm_minutes": 60}))


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
        more = {f"{name}-2" for name in case.beside} | {"plan-2026-03-17"}
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
