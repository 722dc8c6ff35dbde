"""Every command that writes, on one small book, for tests of what may befall its writing.

``prepare`` fills a folder with what they need; names in their words lie in that folder.
"""

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from helpers import write_book

from scheduler.book.guard import csv_text

QUICK = ("--seconds", "1", "--deterministic")
ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-05-08,2026-05-22\n"
)
MAP = "column,measures,unit,place\nTime,moment,,\nWater,water,C,North trough\n"
SCENARIO = 'name = "East"\n[[change]]\ndo = "add trough"\ntrough = "East trough"\n'


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
ASKED = ("offer", "book", "--product", "Butterhead head", "--amount", "4", "--weekday", "Fri")
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
    "replan elsewhere": Case(
        ("replan", *BOOK_OF_RECORDS, "--plan", "plan", "--today", "2026-03-17", "--out", "again", *QUICK),
        "again",
        again=True,
    ),
    "offer": Case(
        (*ASKED, "--plan", "plan", "--out", "offered", *QUICK),
        "offered",
        again=True,
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
    "restore": Case(
        ("record", "book", "restore", "old.sqlite", "--records", "r.sqlite"),
        "r.sqlite",
        again=True,
        beside=("r.sqlite.before-restore-1",),
    ),
    "next book": Case(("record", "book", "book", "x", "--on", "2026-03-17", "--records", "r.sqlite"), "x"),
    "learn": Case(("learn", *BOOK_OF_RECORDS, "--csv", "t.csv"), "t.csv"),
    "trace": Case(("trace", *BOOK_OF_RECORDS, "--lot", "BUT-260316", "--csv", "t.csv"), "t.csv", again=True),
    "page of a trace": Case(
        ("trace", *BOOK_OF_RECORDS, "--lot", "BUT-260316", "--html", "t.html"), "t.html", again=True
    ),
    "labels": Case(("labels", "plan", "--out", "l.html"), "l.html", again=True),
    "draw": Case(("draw", "plan", "flow", "North trough", "--out", "d.svg"), "d.svg"),
    "drawing of readings": Case(("readings", "book", "log.csv", "--svg", "w.svg"), "w.svg"),
    "readings": Case(("readings", "book", "log.csv", "--out", "t"), "t"),
}


def prepare(base: Path, run_in: Callable[[Path, tuple[str, ...]], int]) -> None:
    """Make a book, a workbook, plans, records and the rest in a folder.

    Args:
        base: the folder; it is made.
        run_in: runs a command in a folder and returns its code.
    """
    write_book(base, orders=ORDERS, reading_columns=MAP, settings={"weeks": "12", "sow_days": "Mon"})
    (base / "e.toml").write_text(SCENARIO)
    rows = [(f"2026-03-02 {hour:02}:00", "18") for hour in range(0, 24, 6)]
    (base / "log.csv").write_text(csv_text([("Time", "Water"), *rows]))
    for words in (
        ("convert", "book", "w.xlsx"),
        ("plan", "book", "--out", "plan", *QUICK),
        ("record", "book", "done", "sow BUT-260316", "--plan", "plan", "--records", "r.sqlite"),
        ("record", "book", "backup", "old.sqlite", "--records", "r.sqlite"),
    ):
        if run_in(base, words) != 0:
            raise SystemExit(f"{words} did not work")
    shutil.copytree(base / "plan", base / "edited")
    note = json.loads((base / "edited/plan.json").read_text())
    (base / "edited/plan.json").write_text(json.dumps(note | {"alarm_minutes": 60}))
