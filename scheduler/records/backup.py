"""Copies of the log: made while others may be writing, checked before they are trusted."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import sqlalchemy as sa

from scheduler.disk.whole import beside, clear_leftovers, give_name, may_be_written, push
from scheduler.records.complaints import RecordsFailed, failures
from scheduler.records.state import replay
from scheduler.records.store import READS, Records, opened, take_turn
from scheduler.records.tables import ABOUT, ENTRIES, WRITINGS, guarded, unguarded
from scheduler.records.yard import Refused

COPIED = (ABOUT, WRITINGS, ENTRIES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What came back: how many entries, and where those that stood there before were put; None for none."""

    entries: int
    before: Path | None


def back_up(records: Records, target: Path, written: str) -> int:
    """Write a copy of all entries into a new file, and return how many there are.

    The copy is an SQLite file whatever the log is kept in, and is checked before it gets its name.

    Raises:
        RecordsFailed: something is there already, or the copy could not be written.
    """
    if target.is_symlink() or target.exists():
        raise RecordsFailed(f"{target} is there already; name another, for nothing is written over it")
    if not target.parent.is_dir():
        raise RecordsFailed(f"{target.parent} is not a folder; make it first")
    if not may_be_written(target.parent):
        raise RecordsFailed(f"{target.parent} may not be written to; name another folder")
    # in a folder of its own, for the database puts files of its own beside the copy
    with beside(target) as folder:
        folder.mkdir()
        new = folder / target.name
        if records.is_file:
            with failures(f"{target}, copied from {records.name}"), closing(sqlite3.connect(new)) as copy:
                # a reader alone would leave the database's own files beside the log
                _copy_pages(Path(records.name), copy, mode="rw")
                # one file, without the log of changes beside it: it can be carried elsewhere as it is
                copy.execute("PRAGMA journal_mode=DELETE")
        else:
            _copy_rows_to(records, new, written)
        number = checked(new)
        give_name(new, target)
        push(target.absolute().parent)
        return number


def checked(path: Path, name: str | None = None) -> int:
    """Go through all entries of a copy, and return how many there are; ``name`` is what it is called.

    Raises:
        RecordsFailed: it is damaged, or no file of records.
    """
    name = name or str(path)
    with failures(name), closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as copy:
        sound = copy.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        if not sound or copy.execute("PRAGMA foreign_key_check").fetchall():
            raise RecordsFailed(f"{name} is damaged; take another backup")
    with _open_copy(path, name) as records:
        log = records.read()
    try:
        replay((each.number, each.entry) for each in log)
    except Refused as refused:
        raise RecordsFailed(f"{name} is damaged; take another backup: {refused}") from None
    return len(log)


def restore(records: Records, source: Path, farm: str) -> Restored:
    """Put a copy back in the place of all entries; those that stood there are kept in a file beside it.

    Records on PostgreSQL must be empty: nothing is written over there. The copy itself is left as it is.

    Raises:
        RecordsFailed: the copy is damaged or of another farm, or the database cannot be written.
    """
    with sound_copy(source, farm) as (copy, number):
        return Restored(entries=number, before=_put_back(copy, records))


@contextmanager
def sound_copy(source: Path, farm: str) -> Iterator[tuple[Records, int]]:
    """Open a copy of a backup that was gone through, with the number of its entries.

    Raises:
        RecordsFailed: the backup is damaged or of another farm.
    """
    if not source.is_file():
        raise RecordsFailed(f"{source} is not there; name a backup that raftway record backup wrote")
    with TemporaryDirectory(prefix="raftway-") as folder:
        copied = Path(folder) / source.name
        name = f"{source}, copied to {folder}"
        with failures(name), closing(sqlite3.connect(copied)) as copy:
            _copy_pages(source, copy)
        number = checked(copied, name)
        with _open_copy(copied, name) as copy_of:
            theirs = copy_of.farm()
            if theirs not in (None, farm):
                raise RecordsFailed(
                    f"{source} holds the records of '{theirs}', and the book is of '{farm}'; "
                    "name the backup of this farm"
                )
            yield copy_of, number


def _put_back(copy: Records, records: Records) -> Path | None:
    """Exchange all rows in one transaction; return where those before were put."""
    before, kept = _set_aside(records)
    with failures(records.name), records.engine.begin() as target:
        take_turn(target)
        there = target.scalar(sa.select(sa.func.count()).select_from(ENTRIES)) or 0
        if there and not records.is_file:
            raise RecordsFailed(f"{records.name} holds entries already; restore into an empty database")
        if there != kept:
            raise RecordsFailed(f"{records.name}: someone was writing; nothing was restored, try again")
        unguarded(target)
        for table in reversed(COPIED):
            target.execute(table.delete())
        with copy.engine.connect().execution_options(**{READS: True}) as source:
            _copy_rows(source, target)
        guarded(target)
    return before


def _set_aside(records: Records) -> tuple[Path | None, int]:
    """Keep what stands in a file of records in a new file beside it, and say how many entries those are."""
    if not records.is_file or not records.read():
        return None, 0
    target = Path(records.name)
    for number in range(1, 10_000):
        path = target.with_name(f"{target.name}.before-restore-{number}")
        if not path.exists():
            return path, back_up(records, path, "")
        # one that was killed once its copy had a name is not followed by another of that name
        clear_leftovers(path)
    raise RecordsFailed(f"{target.parent} is full of files that were set aside; move them away")


@contextmanager
def _open_copy(path: Path, name: str) -> Iterator[Records]:
    records = opened(str(path), "", make=False)
    if records is None:
        raise RecordsFailed(f"{name} is empty; take another backup")
    try:
        yield records
    finally:
        records.close()


def _copy_pages(source: Path, target: sqlite3.Connection, mode: str = "ro") -> None:
    """Copy a whole database as it is at one moment, even while others write."""
    with closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode={mode}", uri=True)) as connection:
        connection.backup(target)


def _copy_rows_to(records: Records, path: Path, written: str) -> None:
    copy = opened(str(path), written)
    assert copy is not None
    try:
        with failures(records.name), records.engine.connect() as connection:
            reading = connection.execution_options(isolation_level="REPEATABLE READ")
            with failures(copy.name), copy.engine.begin() as target:
                _copy_rows(reading, target)
    finally:
        copy.close()
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("PRAGMA journal_mode=DELETE")


def _copy_rows(source: sa.Connection, target: sa.Connection) -> None:
    for table in COPIED:
        order = list(table.primary_key.columns)
        rows = [dict(row) for row in source.execute(sa.select(table).order_by(*order)).mappings()]
        if rows:
            target.execute(table.insert(), rows)
