"""Runs every command on a book whose names are hostile; a program of its own, so that all of it is watched.

every_command.py FOLDER does this in FOLDER/work, which has ``book``, ``east.toml`` and ``log.csv``. What a
command said and its exit code go into FOLDER/said.json.
"""

import io
import json
import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from scheduler.cli.main import COMMANDS, run

QUICK = ("--seconds", "1", "--deterministic")
RECORDS = ("--records", "out/records.sqlite")


def calls(names: dict[str, str]) -> dict[str, list[str]]:
    """Return a name for each call, and its arguments."""
    crop, trough, note, words = (names[key] for key in ("crop", "trough", "note", "words"))
    return {
        "check": ["book"],
        "plan": ["book", "--out", "out/plan", *QUICK, "--alarm", "07:00"],
        "audit": ["book", "out/plan"],
        "publish": ["out/plan"],
        "show": ["out/plan", "week"],
        "show crop": ["out/plan", "crop", crop],
        "show customer": ["out/plan", "customer", names["customer"]],
        "show short": ["out/plan", "short"],
        "show money": ["out/plan", "money"],
        "show nothing": ["out/plan", "crop", note],
        "water": ["out/plan"],
        "draw": ["out/plan", "trough", trough, "--day", "2026-04-20", "--out", "out/trough.svg"],
        "draw png": ["out/plan", "trough", trough, "--day", "2026-04-20", "--out", "out/trough.png"],
        "draw flow": ["out/plan", "flow", trough, "--out", "out/flow.svg"],
        "draw nothing": ["out/plan", "flow", note, "--out", "out/none.svg"],
        "labels": ["out/plan", "--out", "out/labels.html"],
        "explain": ["out/plan", "--deliveries", "1", "--seconds", "1"],
        "offer": ["book", "--product", names["product"], "--amount", "4", "--weekday", "Tue", *QUICK],
        "compare": ["book", "--with", "east.toml", "--out", "out/compared", *QUICK],
        "limit": [
            "book",
            "--bound-only",
            "--mix",
            f"{names['product']}=9",
            "--frontier",
            "rows",
            "--out",
            "out/limit",
            *QUICK,
        ],
        "stress": ["out/plan", "--runs", "20", "--out", "out/stress"],
        "sweep": [
            *("book", "--with", "east.toml", "--runs", "5", "--workers", "1", *QUICK),
            *("--results", "out/sweep.jsonl", "--out", "out/sweep.csv"),
        ],
        "record": [
            *("book", "sown", "--lot", "AAA-260302", "--units", "1", "--plants", "98", "--crop", crop),
            *("--to", f"{names['shelf']} 1", "--on", "2026-03-02", "--seed-lot", words),
            *("--who", words, "--note", words, *RECORDS),
        ],
        "record nothing": ["book", "sown", "--lot", note, "--note", note, "--crop", note, *RECORDS],
        "record planned": ["book", "planned", "2026-03-12", "--plan", "out/plan", "--who", words, *RECORDS],
        "record list": ["book", "list", *RECORDS],
        "record backup": ["book", "backup", "out/backup.sqlite", *RECORDS],
        "record book": ["book", "book", "out/next", "--on", "2026-03-16", *RECORDS],
        "status": ["book", "--plan", "out/plan", "--today", "2026-03-16", *RECORDS],
        "trace": [
            *("book", "--seed-lot", words, "--html", "out/trace.html", "--csv", "out/trace.csv", *RECORDS),
        ],
        "trace shown": ["book", "--seed-lot", words, *RECORDS],
        "trace nothing": ["book", "--lot", note, *RECORDS],
        "learn": ["book", "--csv", "out/learned.csv", *RECORDS],
        "replan": [
            *("book", "--plan", "out/plan", "--out", "out/replanned", "--today", "2026-03-16"),
            *(*QUICK, *RECORDS),
        ],
        "readings": ["book", "log.csv", "--svg", "out/log.svg", "--out", "out/read"],
        "convert": ["book", "out/book.xlsx"],
        "convert back": ["out/book.xlsx", "out/again"],
        "new": ["out/new.xlsx", "--first-day", "2026-03-02"],
        "crops": ["--group", "herb"],
        "completion": ["bash"],
    }


def main(folder: Path) -> None:
    """Run all calls in the order given."""
    os.chdir(folder / "work")
    told = {}
    asked = calls(json.loads((folder / "names.json").read_text(encoding="utf-8")))
    assert {name.split()[0] for name in asked} == set(COMMANDS)
    for name, given in asked.items():
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            code = run([name.split()[0], *given])
        told[name] = {"code": code, "out": out.getvalue(), "err": err.getvalue()}
    (folder / "said.json").write_text(json.dumps(told), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
