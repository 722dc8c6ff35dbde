"""What the long tests threw at raftway: each adds a line to a file; the README shows sums of the kept one.

``RAFTWAY_RESULTS=tests/fuzz/results.csv make soak`` keeps a new result; without it nothing is written.
A line is written when its test has passed, so every line tells of what held. ``RAFTWAY_KEPT`` names a folder
in which the runs that take hours keep what they have done, so that they can be stopped and go on.
"""

import csv
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

KEPT = Path(__file__).resolve().parent / "results.csv"
HEADING = ("thrown", "number", "also", "on")
ASKED = "RAFTWAY_RESULTS"
FOLDER = "RAFTWAY_KEPT"


def note(thrown: str, number: int, also: int = 0) -> None:
    """Add a line, if a file is asked for; ``also`` counts what is told beside the number."""
    if name := os.environ.get(ASKED):
        path = Path(name)
        heading = [] if path.exists() else [HEADING]
        with path.open("a", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerows([*heading, (thrown, number, also, date.today().isoformat())])


def kept_in(folder: Path) -> Path:
    """Return the folder in which long runs keep what they have done: the one asked for, or the one given."""
    return Path(os.environ.get(FOLDER, folder))


def long_run(program: str, *arguments: str) -> str:
    """Run one of the programs of this folder and return what it printed; what it found wrong is a failure."""
    command = [sys.executable, str(KEPT.with_name(program)), *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
    return done.stdout
