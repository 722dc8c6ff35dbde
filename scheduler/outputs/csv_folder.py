"""A plan as a folder: its tables as CSV, and a note of how it was made.

Same plan, same bytes: fixed column order, line feeds as line ends, no clock. Text that a spreadsheet would
take for a formula gets an apostrophe in front, which is taken off when the folder is read.
"""

import csv
import json
import math
from collections.abc import Collection, Iterable, Mapping
from itertools import chain
from pathlib import Path
from typing import Any

from scheduler.book.faults import BookFaults, FaultLog
from scheduler.book.guard import bare, csv_text, guarded
from scheduler.book.place import Cell
from scheduler.farm.calendar import Calendar
from scheduler.farm.farm import Farm
from scheduler.outputs.folder import MARK, NOTE, OR_AGAIN
from scheduler.plan.collecting import nothing_collected
from scheduler.plan.reading import read_rows
from scheduler.plan.rows import OPTIONAL_TABLES, TABLES, GoalRow, Plan
from scheduler.plan.tables import cells_of, written_columns, written_tables

FORM = 1
"""Number of the folder's form; it goes up when an older reader would misread a newer folder."""

NOT_UTF_8 = ("letters that are not UTF-8", "a file saved as UTF-8", "bad-encoding")
"""What is told of a file in another encoding: found, expected, code."""

LARGEST_FILE = 200_000_000
"""Bytes of the largest file that is read; a plan of years is a tenth of it (estimate)."""


def table_files(calendar: Calendar, plan: Plan) -> dict[str, bytes]:
    """Return file name -> contents of every table."""
    return {f"tables/{table}.csv": text.encode() for table, text in csv_tables(calendar, plan).items()}


def note_file(plan: Plan, farm: Farm, names: Iterable[str], made_from: Mapping[str, Any]) -> bytes:
    """Return the note of how a plan was made.

    Args:
        plan: the plan.
        farm: the farm it is for.
        names: files of the folder besides the note.
        made_from: what else is told, such as the digest of the book.
    """
    today = farm.date_of(farm.today).isoformat()
    told = {MARK: FORM, **facts_of(farm), "today": today, "made": plan.made, **made_from}
    told["rows"] = {table: len(getattr(plan, table)) for table in written_tables(plan)}
    told["files"] = sorted([*names, NOTE])
    return (json.dumps(told, indent=1, ensure_ascii=False) + "\n").encode()


def read_plan(folder: Path, calendar: Calendar, wanted: Collection[str] = TABLES) -> Plan:
    """Read a plan folder, also one edited by hand.

    Args:
        folder: whose tables are as :func:`table_files` gives them.
        calendar: gives the day number of each date.
        wanted: tables that are read; the plan has no rows of the others, and their damage is not told.

    Raises:
        BookFaults: files, columns or cells are missing or damaged; every fault is listed with its place.
    """
    log = FaultLog()
    note: dict[str, Any] = {"made": {}}
    try:
        note = read_note(folder)
    except BookFaults as damaged:
        log.extend(damaged.faults)
    rows: dict[str, tuple[Any, ...]] = {}
    with nothing_collected():
        for table in TABLES:
            absent = table in OPTIONAL_TABLES and not (folder / f"tables/{table}.csv").exists()
            read = table in wanted and not absent
            rows[table] = _read_table(folder, table, calendar, log) if read else ()
    _check_goals(note, rows["goals"], log)
    log.raise_if_any()
    return Plan(**rows, made=dict(note["made"]))


def _check_goals(note: Mapping[str, Any], goals: Iterable[GoalRow], log: FaultLog) -> None:
    """Hold the goals in the note of an older folder against the table, which alone has them now.

    A table emptied by hand, as one may, says nothing against them.
    """
    told = [
        {
            "level": row.level,
            "goal": row.goal,
            "value": row.value if math.isfinite(row.value) else None,
            "unit": row.unit,
            "status": row.status,
        }
        for row in goals
    ]
    if told and note.get("goals", told) != told:
        found = "goals other than those of tables/goals.csv"
        log.add(
            Cell(NOTE),
            found,
            f"the same, or no goals in {NOTE}: newer versions keep none there",
            "other-goals",
        )


def read_note(folder: Path) -> dict[str, Any]:
    """Read the note of how a plan was made.

    Raises:
        BookFaults: there is none, or it is not that of a plan this version can read.
    """
    log = FaultLog()
    note: dict[str, Any] = {}
    path = _usable(folder, NOTE, NOTE, log)
    if path is not None:
        expected = f"the note that raftway wrote: {folder} is damaged, so {OR_AGAIN}"
        try:
            note = json.loads(path.read_bytes().decode("utf-8-sig"))
        except (ValueError, RecursionError):  # letters that are not UTF-8 too
            log.add(Cell(NOTE), "text that is not JSON", expected, "bad-note")
        else:
            if not isinstance(note, dict) or MARK not in note or not isinstance(note.get("made"), dict):
                log.add(Cell(NOTE), "something else", expected, "bad-note")
            elif note[MARK] != FORM:
                log.add(
                    Cell(NOTE), f"form {note[MARK]!r}", f"form {FORM}, which this version reads", "bad-note"
                )
    log.raise_if_any()
    return note


def csv_tables(calendar: Calendar, plan: Plan) -> dict[str, str]:
    """Return every table as CSV text; optional ones only with rows in them.

    Row by row: the cells of all tables of a large farm at once take a gigabyte (measured).
    """
    texts = {}
    for table in written_tables(plan):
        texted = [column.type == "text" for column in written_columns(plan, table)]
        rows = cells_of(calendar, plan, table)
        head = next(rows)
        guarded_rows = ([guarded(c) if t else c for c, t in zip(row, texted, strict=True)] for row in rows)
        texts[table] = csv_text(chain([head], guarded_rows))
    return texts


def facts_of(farm: Farm) -> dict[str, str]:
    """Return what the note of a plan folder tells of the book, and what the book itself says."""
    calendar = farm.calendar
    return {
        "farm": farm.name,
        "currency": farm.currency,
        "first_day": calendar.first_day.isoformat(),
        "last_day": calendar.date_of(calendar.days - 1).isoformat(),
    }


def _read_table(folder: Path, table: str, calendar: Calendar, log: FaultLog) -> tuple[Any, ...]:
    """Read one table line by line: all cells of a large plan at once take a gigabyte (measured)."""
    path = _usable(folder, f"tables/{table}.csv", table, log)
    if path is None:
        return ()
    told = FaultLog()
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = read_rows(calendar, table, csv.reader(file, strict=True), told, bare)
    except csv.Error as error:
        # what was told of its cells may come of the quotation marks, so it is told once
        log.add(Cell(table), f"text that is not CSV ({error})", "quotation marks in pairs", "bad-quotes")
    except UnicodeDecodeError:
        log.add(Cell(table), *NOT_UTF_8)
    else:
        log.extend(told)
        return rows
    return ()


def _usable(folder: Path, name: str, place: str, log: FaultLog) -> Path | None:
    """Return the path of a file that may be read; why one may not goes into the log."""
    path, expected = folder / name, f"the file {name} of a plan folder"
    if not path.is_file():
        log.add(Cell(place), "no such file", expected, "missing-file")
    elif not path.resolve().is_relative_to(folder.resolve()):
        log.add(Cell(place), "a link out of the folder", expected, "outside")
    elif path.stat().st_size > LARGEST_FILE:
        log.add(Cell(place), f"{path.stat().st_size} bytes", f"at most {LARGEST_FILE} bytes", "too-large")
    else:
        return path
    return None
