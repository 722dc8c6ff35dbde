"""Task sheets that were filled in: the sheets ``tasks`` of a plan's workbook, or ``tables/tasks.csv``.

What is read is the task's key and the columns done, counted, who, seed lot and the second note (or
remark); everything else stands in the plan itself, whatever the sheet says by now.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import plain as without_case
from scheduler.book.place import Cell
from scheduler.records.drafts import Told
from scheduler.records.filled import Grid, filled_grids
from scheduler.records.misspelt import task_meant
from scheduler.records.tasks import Done, Tasks

COLUMNS = {
    "task": "key",
    "key": "key",
    "done": "done",
    "counted": "counted",
    "who": "who",
    "seed_lot": "seed_lot",
    "remark": "note",
}
"""Heading, case and blanks aside -> what the column holds."""

YES = ("yes", "y", "x", "ok", "done", "true", "1")
NO = ("", "no", "n", "false", "0")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """What is filled in of one task, each with its cell."""

    number: int
    texts: Mapping[str, str]
    cells: Mapping[str, Cell] = field(default_factory=dict)

    def text(self, name: str) -> str:
        return self.texts.get(name, "").strip()


def told_in_sheet(path: Path, tasks: Tasks, log: FaultLog) -> list[Told]:
    """Return the entries of the tasks that a sheet says are done; what is wrong goes to the log.

    A task counts as done when ``done`` is filled in, other than with no, or ``counted`` is. What stands
    in ``done`` may also be the day it was done, or who did it.

    Raises:
        BookFaults: the file is no such sheet.
    """
    found: list[Done] = []
    order = {key: at for at, key in enumerate(tasks.by_key)}
    for grid in filled_grids(path, log):
        for row in _rows(grid, log):
            done = _done(row, tasks, log)
            if done is not None:
                found.append(done)
    # rafts of one day stand in the order in which they are told, however the rows of a sheet were sorted
    found.sort(key=lambda done: order[done.key])
    return [told for done in found for told in tasks.told(done)]


def _rows(grid: Grid, log: FaultLog) -> Iterator[_Row]:
    """Yield the rows in which something says that a task is done, or is not."""
    table, heading = grid.name, [without_case(cell) for cell in grid.heading]
    columns: dict[str, int] = {}
    before = len(log)
    for at, title in enumerate(heading):
        found = "note" if title == "note" and "note" in heading[:at] else COLUMNS.get(title)
        if found in columns:
            log.add(Cell(table, 1, at + 1), f"a second {title}", "each column once", "double-column")
        elif found is not None:
            columns[found] = at
    for wanted in ("key", "done"):
        if wanted not in columns:
            said = "the column task, or key" if wanted == "key" else f"the column {wanted}"
            log.add(Cell(table, 1, 1), f"no column {wanted}", said, "missing-column")
    if len(log) > before:
        return
    saying = [columns[name] for name in ("done", "counted") if name in columns]
    for number, cells in grid.rows:
        if not any(cells[at].strip() for at in saying if at < len(cells)):
            continue
        texts = {found: cells[at] if at < len(cells) else "" for found, at in columns.items()}
        places = {found: Cell(table, number, at + 1) for found, at in columns.items()}
        yield _Row(number=number, texts=texts, cells=places)


def _key(text: str, tasks: Tasks) -> str:
    """Return the key a row names; some programs leave the apostrophe with which text was typed."""
    return text if text in tasks.by_key else text.removeprefix("'")


def _done(row: _Row, tasks: Tasks, log: FaultLog) -> Done | None:
    """Return what one row says; None when it is not done, or wrong."""
    said, counted, before = row.text("done"), row.text("counted"), len(log)
    if without_case(said) in NO and not counted:
        return None
    if without_case(said) in NO[1:]:
        log.add(row.cells["counted"], f"{quoted(counted)} counted, and not done", "yes as done", "not-done")
    key = _key(row.text("key"), tasks)
    if key not in tasks.by_key:
        near = task_meant(key, tasks.by_key) if key else "the name of the task"
        log.add(
            row.cells["key"], quoted(key) if key else "a blank cell", f"a task of the plan: {near}", "no-task"
        )
    if counted and not re.fullmatch(r"[0-9]{1,7}", counted):
        log.add(row.cells["counted"], quoted(counted), "a whole number, such as 36", "bad-whole")
    when, who = _when_and_who(row, said, log)
    if len(log) > before:
        return None
    cells = {**row.cells, "when": row.cells["done"]}
    return Done(
        key=key,
        when=when,
        counted=int(counted) if counted else None,
        who=row.text("who") or who,
        seed_lot=row.text("seed_lot"),
        note=row.text("note"),
        where=row.cells["key"],
        cells=cells,
    )


def _when_and_who(row: _Row, said: str, log: FaultLog) -> tuple[date | None, str]:
    if without_case(said) in (*YES, *NO):
        return None, ""
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", said):
        try:
            return date.fromisoformat(said), ""
        except ValueError:
            pass
    if re.match(r"[-+]?[0-9]", said):
        log.add(row.cells["done"], quoted(said), "yes, no, a date such as 2026-03-02, or a name", "bad-done")
        return None, ""
    return None, said
