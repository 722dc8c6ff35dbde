"""Scenarios from TOML: a file, or single changes on the command line.

TOML and not a table: each kind of change has keys of its own, so that a table would be mostly blank. Every
key is read like a cell of a book: it is refused rather than guessed, and every fault is told at once.
"""

import tomllib
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from fractions import Fraction
from pathlib import Path
from typing import Any

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant, plain
from scheduler.book.parse import Value
from scheduler.book.place import Cell
from scheduler.book.rows import parse_cell
from scheduler.book.schema import load_schema
from scheduler.farm.units import cents
from scheduler.scenario.kinds import DATED, FILE, Kind, load_kinds, table_names
from scheduler.scenario.scenario import Change, Scenario
from scheduler.scenario.toml_words import bad_toml

MOST_BYTES = 1_000_000
MOST_CHANGES = 200
SUFFIX = ".toml"
ON_LINE = "command line"
DO, CHANGES = "do", "change"
OPENED = f"{CHANGES} = {{ "
"""What is put in front of a change of the command line."""

NO_VALUE = {dict: "a table", datetime: "a date with a time", time: "a time", list: "a list of other things"}
"""Kinds of values of TOML that no cell of a book could hold, in words."""

NAME_LETTERS = 40
"""Most letters of a scenario's name: it heads a column."""


def read_scenario(path: Path) -> Scenario:
    """Read a scenario from a file.

    Raises:
        BookFaults: with every fault of the file, each with its key.
    """
    log = FaultLog()
    text = _text_of(path, log)
    log.raise_if_any()
    return parse_scenario(text, path.name, path.stem)


def parse_scenario(text: str, source: str, name: str) -> Scenario:
    """Read a scenario from text; ``source`` is told in faults, ``name`` is taken where it gives none.

    Raises:
        BookFaults: with every fault, each with its key.
    """
    log = FaultLog()
    found = _toml(text, source, log)
    log.raise_if_any()
    scenario = _scenario(found, source, name, log)
    log.raise_if_any()
    return scenario


def scenario_of_options(options: Sequence[str]) -> Scenario:
    """Read changes given as ``do = "widen trough", trough = "North trough"``, each one option.

    Raises:
        BookFaults: with every fault, each with its key.
    """
    log = FaultLog()
    made = [
        _toml(f"{OPENED}{option} }}", f"{ON_LINE}: change {number}", log, len(OPENED)).get(CHANGES, {})
        for number, option in enumerate(options, start=1)
    ]
    log.raise_if_any()
    scenario = _scenario({CHANGES: made}, ON_LINE, "as asked", log)
    log.raise_if_any()
    return scenario


def _text_of(path: Path, log: FaultLog) -> str:
    place = Cell(path.name)
    if path.suffix.lower() != SUFFIX:
        log.add(place, f"a file whose name ends in {quoted(path.suffix)}", f"one in {SUFFIX}", "no-scenario")
        return ""
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= MOST_BYTES else b""
    except OSError as error:
        log.add(place, f"a file that cannot be opened ({error.strerror})", "a file to read", "unreadable")
        return ""
    if size > MOST_BYTES:
        log.add(place, f"{size:,} bytes", f"at most {MOST_BYTES:,}", "too-large")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        log.add(place, "bytes that are not UTF-8", "text in UTF-8", "bad-encoding")
        return ""


def _toml(text: str, source: str, log: FaultLog, before: int = 0) -> dict[str, Any]:
    """Return what TOML says; ``before`` letters of it were put in front of what the grower wrote."""
    text = text.replace("\r\n", "\n")
    try:
        # numbers stay as written, so that 0.1 is a tenth
        return tomllib.loads(text, parse_float=str)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        bad = bad_toml(error, text, before)
        place = f"{source}, {bad.where}" if bad.where else source
        log.add(Cell(place), bad.found, bad.expected, "bad-toml")
        return {}


def _scenario(found: Mapping[str, Any], source: str, name: str, log: FaultLog) -> Scenario:
    kinds = load_kinds()
    own = {key: value for key, value in found.items() if key != CHANGES}
    values, _ = _values(own, kinds[FILE], source, log)
    listed = found.get(CHANGES, [])
    if not isinstance(listed, list) or not all(isinstance(each, dict) for each in listed):
        log.add(
            Cell(f"{source}, {CHANGES}"), "something else than tables", "[[change]] above each", "bad-change"
        )
        listed = []
    elif not 0 < len(listed) <= MOST_CHANGES:
        log.add(
            Cell(source), f"{len(listed)} changes", f"1 to {MOST_CHANGES}, each under [[change]]", "no-change"
        )
        listed = []
    start = values.get("from")
    changes = [
        _change(each, f"{source}: change {number}", start if isinstance(start, date) else None, log)
        for number, each in enumerate(listed, start=1)
    ]
    told = values.get("name")
    called = told if isinstance(told, str) else " ".join(name.split())
    if len(called) > NAME_LETTERS:
        expected = f"at most {NAME_LETTERS}: it heads a column"
        log.add(Cell(f"{source}, name"), f"{len(called)} characters", expected, "long-name")
    made = [change for change in changes if change is not None]
    return Scenario(
        name=called,
        source=source,
        changes=tuple(made),
        cost=_cents(values.get("cost")) + sum(_cents(change.values.get("cost")) for change in made),
        cost_per_week=_cents(values.get("cost_per_week")),
    )


def _change(found: Mapping[str, Any], place: str, start: date | None, log: FaultLog) -> Change | None:
    kinds = {name: kind for name, kind in load_kinds().items() if name != FILE}
    word = found.get(DO)
    if not isinstance(word, str) or not word.strip():
        log.add(Cell(f"{place}, {DO}"), "no kind of change", meant("", kinds, most=len(kinds)), "no-change")
        return None
    kind = next((kind for name, kind in kinds.items() if plain(name) == plain(word)), None)
    if kind is None:
        log.add(Cell(f"{place}, {DO}"), quoted(word), meant(word, kinds, most=len(kinds)), "unknown-change")
        return None
    place = f"{place} ({kind.name})"
    values, columns = _values({key: v for key, v in found.items() if key != DO}, kind, place, log)
    own = values.get("from")
    return Change(
        kind=kind.name,
        place=place,
        values=values,
        columns=columns,
        given=_given(found, kind),
        start=(own if isinstance(own, date) else start) if kind.dated else None,
    )


def _given(found: Mapping[str, Any], kind: Kind) -> frozenset[str]:
    """Return the keys of a kind that were written, by the names they have there."""
    written = {plain(key) for key in found}
    return frozenset(name for name in kind.keys if plain(name) in written)


def _values(
    found: Mapping[str, Any], kind: Kind, place: str, log: FaultLog
) -> tuple[dict[str, Value], dict[str, str]]:
    """Return the typed keys of a change, and the texts of columns that may stand beside them."""
    known = {plain(name): name for name in kind.keys}
    values: dict[str, Value] = {}
    texts: dict[str, str] = {}
    others: dict[str, str] = {}
    refused: set[str] = set()
    for key, value in found.items():
        cell = Cell(f"{place}, {key}")
        text = _text(value, cell, log)
        name = known.get(plain(key))
        if text is None:
            refused.add(name or key)
        elif name in texts:
            log.add(cell, f"{name} again", "each key once", "double-key")
        elif name is not None:
            texts[name] = text
        else:
            others[key] = text
    for name, rule in kind.keys.items():
        if name not in refused:
            values[name] = parse_cell(texts.get(name, ""), rule, Cell(f"{place}, {name}"), log)
    return values, _columns(others, kind, values, place, log)


def _columns(
    others: Mapping[str, str], kind: Kind, values: Mapping[str, Value], place: str, log: FaultLog
) -> dict[str, str]:
    """Return the columns of a table among keys that are none of the kind's own; the rest are faults."""
    table = values.get("table") if kind.columns_of == "*" else kind.columns_of
    known: dict[str, str] = {}
    if isinstance(table, str) and table in table_names():
        known = {plain(column.name): column.name for column in load_schema().tables[table].columns}
    elif kind.columns_of == "*":
        if isinstance(table, str):
            log.add(
                Cell(f"{place}, table"), quoted(table), meant(table, table_names(), most=40), "unknown-table"
            )
        return {}
    columns = {}
    for key, text in others.items():
        if plain(key) in known:
            columns[known[plain(key)]] = text
        else:
            options = [*kind.keys, *known.values()]
            if plain(key) == DATED.name:
                expected = "no day: this kind of change holds from the first day of the book on"
                log.add(Cell(f"{place}, {key}"), "a day", expected, "no-day")
                continue
            log.add(Cell(f"{place}, {key}"), "unknown key", meant(key, options, most=40), "unknown-key")
    return columns


def _text(value: Any, cell: Cell, log: FaultLog) -> str | None:
    """Return a value as the cell of a book would hold it; None for one that no cell could hold."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list) and all(isinstance(each, (str, int)) for each in value):
        return "; ".join(map(str, value))
    if isinstance(value, (str, int)):
        return str(value)
    if isinstance(value, date) and type(value) is date:
        return value.isoformat()
    found = next((told for kind, told in NO_VALUE.items() if isinstance(value, kind)), "another thing")
    log.add(cell, f"{found} as a value", "text, a number, a date, true, false or a list", "bad-value")
    return None


def _cents(value: Value) -> int:
    return cents(Fraction(value)) if isinstance(value, (int, Fraction)) else 0
