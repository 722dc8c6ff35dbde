"""The bad week of an example can be recorded on its book, whatever its plan is by then."""

import json
from datetime import date
from pathlib import Path

from scheduler.book.book import read_book
from scheduler.book.faults import FaultLog
from scheduler.farm.build import build_farm
from scheduler.records.lines import told_in_lines
from scheduler.records.recording import judge
from scheduler.records.state import replay

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "kestrel-bend"


def test_what_was_lost_can_be_told_and_leaves_less(tmp_path):
    data, log = (EXAMPLE / "bad-week.jsonl").read_bytes(), FaultLog()
    farm = build_farm(read_book(EXAMPLE / "book"))
    told = told_in_lines(data, "bad-week.jsonl", None, log)
    assert list(log) == []
    new = judge(farm, [], told, date(2026, 9, 6)).new
    lost = sum(json.loads(line)["plants"] for line in data.decode().splitlines())
    stood, stands = (
        sum(unit.plants for unit in replay(enumerate(some, start=1)).units)
        for some in (new[: -len(told)], new)
    )
    assert stood - stands == lost
