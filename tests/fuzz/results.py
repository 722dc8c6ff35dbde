"""What the long tests threw at raftway: each adds a line to a file; the README shows sums of the kept one.

``RAFTWAY_RESULTS=tests/fuzz/results.csv make soak`` keeps a new result; without it nothing is written.
A line is written when its test has passed, so every line tells of what held.
"""

import csv
import os
from datetime import date
from pathlib import Path

KEPT = Path(__file__).resolve().parent / "results.csv"
HEADING = ("thrown", "number", "also", "on")
ASKED = "RAFTWAY_RESULTS"


def note(thrown: str, number: int, also: int = 0) -> None:
    """Add a line, if a file is asked for; ``also`` counts what is told beside the number."""
    if name := os.environ.get(ASKED):
        path = Path(name)
        heading = [] if path.exists() else [HEADING]
        with path.open("a", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerows([*heading, (thrown, number, also, date.today().isoformat())])
