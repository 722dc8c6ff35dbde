"""Every parser of what comes from outside, as a function of bytes: it answers or refuses, and nothing else.

``PARSERS`` is name -> (function, seeds): the seeds are sound inputs to begin from.
"""

import re
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from fuzz.base_books import EXAMPLES, RAFTS, ROOT, base_book, csv_text
from fuzz.forms import plain_folder

from scheduler.book.book import Book, read_book, read_raw, typed_book
from scheduler.book.faults import BookFaults, FaultLog
from scheduler.book.from_csv import read_folder
from scheduler.book.parse import YEARS, Refused, parse
from scheduler.book.reading_map import reading_map
from scheduler.book.readings import parse_readings
from scheduler.book.repeats import parse_repeat, repeat_faults
from scheduler.book.rows import Row
from scheduler.book.schema import CellRule, CellType, load_schema
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.chores import due_days
from scheduler.outputs.csv_folder import read_plan
from scheduler.records.lines import told_in_lines
from scheduler.records.recording import judge
from scheduler.scenario.apply import changed
from scheduler.scenario.read import parse_scenario

LAST = date(2027, 3, 1)


@cache
def _folder() -> Path:
    return Path(tempfile.mkdtemp(prefix="parsers-"))


@cache
def _book(name: str) -> Path:
    folder = _folder() / name
    folder.mkdir()
    for file, data in plain_folder(base_book(name)).items():
        (folder / file).write_bytes(data)
    return folder


@cache
def _farm() -> Farm:
    return build_farm(read_book(_book("rafts")))


@cache
def _rules() -> Sequence[CellRule]:
    schema = load_schema()
    columns = [column for table in schema.tables.values() for column in table.columns]
    return [*schema.settings.values(), *columns]


def _said(words: Sequence[object]) -> None:
    assert words
    assert all(str(each) for each in words)


def cell(data: bytes) -> None:
    """Read a cell: the first two bytes choose the rule."""
    rule = _rules()[int.from_bytes(data[:2], "big") % len(_rules())]
    _cell(data[2:].decode("utf-8", "replace"), rule)


def _cell(text: str, rule: CellRule) -> None:
    try:
        value = parse(text, rule)
    except Refused as refused:
        _said((refused.found, refused.expected))
        return
    if rule.bounds is not None and isinstance(value, (int, Fraction)):
        assert rule.bounds[0] <= value <= rule.bounds[1]
    assert not isinstance(value, date) or value.year in YEARS
    assert not isinstance(value, str) or value.isprintable() or value


def _of_type(kind: CellType) -> Callable[[bytes], None]:
    def run(data: bytes) -> None:
        rules = [rule for rule in _rules() if rule.type is kind]
        _cell(data[1:].decode("utf-8", "replace"), rules[(data[0] if data else 0) % len(rules)])

    return run


def repeat(data: bytes) -> None:
    """Read a rule of repetition, and list its days."""
    text = data.decode("utf-8", "replace")
    faults = repeat_faults(text)
    try:
        parse_repeat(text)
    except Refused:
        assert faults
        return
    assert not faults
    days = list(due_days(_chore(text), _farm().calendar))
    assert days == sorted(set(days))


def _chore(rule: str) -> Row:
    row = _chores_row()
    return replace(row, values={**row.values, "rule": rule, "to": None})


@cache
def _chores_row() -> Row:
    return read_book(_book("rafts")).rows("chores")[0]


def lines(data: bytes) -> None:
    """Read entries as lines of JSON, and judge them against a farm."""
    log = FaultLog()
    told = told_in_lines(data, "lines", None, log)
    for fault in log:
        str(fault).encode("utf-8", "replace")
    try:
        judge(_farm(), [], told, LAST)
    except BookFaults as faults:
        _said(faults.faults)


def scenario(data: bytes) -> None:
    """Read a scenario, and make its changes in a book."""
    try:
        made = parse_scenario(data.decode("utf-8", "replace"), "x.toml", "x")
        build_farm(typed_book(changed(read_raw(_book("rafts")), [made]).raw))
    except BookFaults as faults:
        _said(faults.faults)


def table(data: bytes) -> None:
    """Read a book one table of which is these bytes: the first chooses which."""
    names = sorted(RAFTS)
    name = names[(data[0] if data else 0) % len(names)]
    folder = _book("rafts")
    path = folder / f"{name}.csv"
    path.write_bytes(data[1:])
    try:
        build_farm(typed_book(read_folder(folder)))
    except BookFaults as faults:
        _said(faults.faults)
    finally:
        path.write_bytes(csv_text(base_book("rafts")[name]).encode())


@cache
def _reading_book() -> Book:
    return read_book(_book("beds"))


def readings(data: bytes) -> None:
    """Read an instrument's export."""
    try:
        parse_readings(data, "log.csv", reading_map(_reading_book()))
    except BookFaults as faults:
        _said(faults.faults)


def plan_table(data: bytes) -> None:
    """Read a plan folder one table of which is these bytes: the first chooses which."""
    source = ROOT / "examples" / EXAMPLES[0] / "plan" / "tables"
    names = sorted(path.name for path in source.glob("*.csv"))
    folder = _folder() / "plan"
    if not folder.exists():
        (folder / "tables").mkdir(parents=True)
        (folder / "plan.json").write_bytes((source.parent / "plan.json").read_bytes())
        for name in names:
            whole = (source / name).read_text(encoding="utf-8").splitlines(keepends=True)
            (folder / "tables" / name).write_text("".join(whole[:4]), encoding="utf-8")
    path = folder / "tables" / names[(data[0] if data else 0) % len(names)]
    before = path.read_bytes()
    path.write_bytes(data[1:])
    try:
        read_plan(folder, _farm().calendar)
    except BookFaults as faults:
        _said(faults.faults)
    finally:
        path.write_bytes(before)


CELLS = (
    "12",
    "0.5",
    "2026-03-02",
    "Mon-Fri",
    "yes",
    "a;b",
    "12 kg",
    "1,5",
    "31.12.2026",
    "46118",
    "10 %",
    "€ 5",
)
RULES = (
    "FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,TH", "FREQ=MONTHLY;BYDAY=1MO,-1FR;INTERVAL=2",
    "FREQ=MONTHLY;BYMONTHDAY=-1",
    "FREQ=YEARLY;BYMONTH=3;BYDAY=SU;BYSETPOS=-1;WKST=SU", "RRULE:FREQ=WEEKLY;COUNT=5",
    "FREQ=DAILY;UNTIL=20260401",
    "FREQ=YEARLY;BYWEEKNO=20,53;BYDAY=MO", "FREQ=YEARLY;BYYEARDAY=1,-1",
)  # fmt: skip
LINES = (
    '{"what": "sown", "crop": "Basil", "to": "Shelf A 1", "plants": 98, "when": "2026-03-02"}\n',
    '{"what": "moved", "lot": "G2", "to": "North trough 1", "plants": 40, "left": 0, "when": "2026-03-03"}\n',
    '{"what": "cut", "lot": "G1", "plants": 5, "heads": 5, "when": "2026-03-04T08:00:00+01:00"}\n',
    '{"task": "sow BUT-260302"}\n{"what": "lost", "lot": "G1", "plants": 2, "when": "2026-03-03"}\n',
)  # fmt: skip
EXPORT = (
    "Instrument 7\nTime;Temp (F);pH\n2026-03-02 07:00;61,5;6.1\n2026-03-02 08:00;--;6,0\n",
    "Time,Temp (F),pH\n2026-03-02 07:00,61.5,6.1\n",
)


def _scenarios() -> list[bytes]:
    return [path.read_bytes() for path in sorted((ROOT / "examples").glob("*/scenarios/*.toml"))]


def _tables(folder: Path) -> list[bytes]:
    paths = sorted(folder.glob("*.csv"))
    return [bytes([number]) + path.read_bytes()[:1500] for number, path in enumerate(paths)]


def _coded(*texts: str) -> list[bytes]:
    return [text.encode() for text in texts]


def _seeds() -> dict[str, list[bytes]]:
    small = [
        bytes([at]) + csv_text(base_book("rafts")[name]).encode() for at, name in enumerate(sorted(RAFTS))
    ]
    return {
        "cells": [bytes([0, at]) + each for at, each in enumerate(_coded(*CELLS))],
        "dates": [b"\0" + each for each in _coded(*CELLS, "2026-02-30", "1/2/26")],
        "numbers": [b"\0" + each for each in _coded(*CELLS)],
        "weekdays": [b"\0" + each for each in _coded("Mon Thu", "daily", "Monday, Tue & fri", "sat to mon")],
        "repeats": _coded(*RULES),
        "records": _coded(*LINES),
        "scenarios": _scenarios(),
        "tables": small,
        "readings": _coded(*EXPORT),
        "plans": _tables(ROOT / "examples" / EXAMPLES[0] / "plan" / "tables"),
    }


FUNCTIONS: dict[str, Callable[[bytes], None]] = {
    "cells": cell,
    "dates": _of_type(CellType.DATE),
    "numbers": _of_type(CellType.NUMBER),
    "weekdays": _of_type(CellType.WEEKDAYS),
    "repeats": repeat,
    "records": lines,
    "scenarios": scenario,
    "tables": table,
    "readings": readings,
    "plans": plan_table,
}


def seeds(name: str) -> list[bytes]:
    """Return sound inputs of a parser."""
    return _seeds()[name]


def words(name: str) -> list[bytes]:
    """Return words of a parser's inputs, for a dictionary."""
    found: dict[bytes, Any] = {}
    for each in seeds(name):
        found |= dict.fromkeys(re.findall(rb"[A-Za-z_]{2,}|[0-9-]{4,}|[\";=,:\[\]{}]", each))
    return list(found)[:400]
