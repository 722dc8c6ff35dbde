"""Entries as lines of JSON: one entry a line, from a file or from another program."""

import hashlib
import io
import json
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant
from scheduler.book.place import Cell
from scheduler.records.drafts import FIELDS, Told
from scheduler.records.misspelt import task_meant
from scheduler.records.tasks import Done, Tasks

MOST_BYTES = 20_000_000
MOST_LINES = 50_000
LONGEST = 20_000
OF_TASK = ("task", "when", "counted", "who", "seed_lot", "note", "op")
"""What may stand in a line that names a task of the plan and no kind of entry."""


def told_in_lines(data: bytes, name: str, tasks: Tasks | None, log: FaultLog) -> list[Told]:
    """Return the entries of lines of JSON; what is wrong goes to the log.

    A line without ``op`` is known again by its words, and by how often they stood in the lines before it.

    Args:
        data: the lines, UTF-8.
        name: what the lines are called in messages.
        tasks: the plan whose tasks may be named; None without a plan.
        log: takes the faults.
    """
    if len(data) > MOST_BYTES:
        log.add(Cell(name), f"{len(data)} bytes", f"at most {MOST_BYTES}", "too-large")
        return []
    try:
        # not splitlines(): it takes signs for line ends that JSON lets stand in a text
        text = io.StringIO(data.decode("utf-8-sig"), newline=None)
        lines = [line.removesuffix("\n") for line in text]
    except UnicodeDecodeError:
        log.add(Cell(name), "letters that are not UTF-8", "lines saved as UTF-8", "bad-encoding")
        return []
    if len(lines) > MOST_LINES:
        log.add(Cell(name), f"{len(lines)} lines", f"at most {MOST_LINES}", "too-many-rows")
        return []
    seen: Counter[str] = Counter()
    told: list[Told] = []
    for number, line in enumerate(lines, start=1):
        if line.strip():
            where = Cell(f"{name} line {number}")
            given = _object(line, where, log)
            if given is not None:
                told += _entries(given, where, (tasks, seen), log)
    return told


def _object(line: str, where: Cell, log: FaultLog) -> dict[str, Any] | None:
    expected = 'one entry, such as {"what": "lost", "lot": "BUT-260302", "plants": 2, "when": "2026-03-09"}'
    if len(line) > LONGEST:
        log.add(where, f"{len(line)} characters", f"at most {LONGEST}", "too-large")
        return None
    try:
        found = json.loads(line, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        said = str(error) if isinstance(error, _Doubled) else "text that is not JSON"
        log.add(where, said, expected, "bad-line")
        return None
    if not isinstance(found, dict):
        log.add(where, quoted(line), expected, "bad-line")
        return None
    return found


class _Doubled(ValueError):
    """A name that stands twice in one object."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        name = next(name for name, number in Counter(name for name, _ in pairs).items() if number > 1)
        raise _Doubled(f"{quoted(name)} twice")
    return found


def _entries(
    given: Mapping[str, Any], where: Cell, context: tuple[Tasks | None, Counter[str]], log: FaultLog
) -> Iterator[Told]:
    tasks, seen = context
    cells = {name: Cell(f"{where.table} {name}") for name in (*FIELDS, "counted", "op", *given)}
    words = {name: value for name, value in given.items() if name != "op"}
    op = given.get("op")
    if op is not None and not (isinstance(op, str) and 0 < len(op) <= 100 and op.isprintable()):
        log.add(cells["op"], quoted(str(op)), "text of at most 100 signs", "bad-op")
        return
    if "what" not in given and "task" in given:
        yield from _of_task(words, (where, cells), tasks, log)
        return
    text = json.dumps(words, ensure_ascii=False, sort_keys=True)
    seen[text] += 1
    # JSON may escape half a character, which no encoding takes; its field is refused later, in its place
    made = hashlib.sha256(f"{text}\n{seen[text]}".encode(errors="surrogatepass")).hexdigest()[:32]
    yield Told(op=op or f"line {made}", given=words, where=where, cells=cells)


def _of_task(
    given: Mapping[str, Any], place: tuple[Cell, dict[str, Cell]], tasks: Tasks | None, log: FaultLog
) -> Iterator[Told]:
    where, cells = place
    key = str(given["task"])
    wrong = [name for name in given if name not in OF_TASK]
    if tasks is None:
        log.add(cells["task"], f"task {quoted(key)}", "--plan, the plan it stands in", "no-plan")
    elif key not in tasks.by_key:
        log.add(cells["task"], quoted(key), task_meant(key, tasks.by_key), "no-task")
    for name in wrong:
        log.add(cells[name], quoted(name), meant(name, OF_TASK), "unknown-field")
    counted = given.get("counted")
    if counted is not None and (isinstance(counted, bool) or not isinstance(counted, int) or counted < 0):
        log.add(cells["counted"], quoted(str(counted)), "a whole number, such as 36", "bad-whole")
        return
    if tasks is not None and key in tasks.by_key and not wrong:
        words = {name: str(given.get(name, "")) for name in ("who", "seed_lot", "note")}
        yield from tasks.told(
            Done(
                key=key,
                when=given.get("when"),
                counted=counted,
                where=where,
                cells=cells,
                **words,
            )
        )
