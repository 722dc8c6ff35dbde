"""A plan folder opened again: it holds a copy of its book, so it needs nothing else."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from scheduler.book.book import typed_book
from scheduler.book.faults import BookFaults, Fault, FaultLog, quoted
from scheduler.book.from_csv import read_folder
from scheduler.book.place import Cell
from scheduler.book.plain_copy import book_copy, book_digest
from scheduler.book.raw import RawBook
from scheduler.book.schema import load_schema
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.outputs.csv_folder import facts_of, read_note, read_plan
from scheduler.outputs.everything import BOOK
from scheduler.outputs.folder import NOTE
from scheduler.plan.rows import TABLES, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """A plan folder, read.

    Attributes:
        farm: the farm as it was planned.
        plan: its plan.
        book: file name -> contents of the copy of the book.
        note: how the plan was made.
    """

    farm: Farm
    plan: Plan
    book: Mapping[str, bytes]
    note: Mapping[str, Any]


def open_plan(folder: Path, wanted: Collection[str] = TABLES) -> tuple[Farm, Plan]:
    """Return farm and plan of a plan folder.

    Args:
        folder: the plan folder.
        wanted: tables of the plan that are read; it has no rows of the others.

    Raises:
        BookFaults: it is no plan folder, or something in it is damaged; each fault has its file and cell.
    """
    saved = open_saved(folder, wanted)
    return saved.farm, saved.plan


def open_saved(folder: Path, wanted: Collection[str] = TABLES) -> Saved:
    """Read a plan folder, all of it unless only some tables of the plan are wanted.

    Raises:
        BookFaults: see :func:`open_plan`.
    """
    note = note_of(folder)
    with _told_from(BOOK, load_schema().tables):
        raw = _read_copy(folder)
        book = typed_book(raw)
        copy = book_copy(raw)
        farm = build_farm(book, today=_today(note))
    log = FaultLog()
    if note.get("book_sha256") != book_digest(copy):
        expected = "the one the plan was made from: plan the changed book instead"
        log.add(Cell(BOOK), "another book", expected, "other-book")
    try:
        with _told_from("tables", TABLES):
            plan = read_plan(folder, farm.calendar, wanted)
    except BookFaults as damaged:
        log.extend(damaged.faults)
    _check_facts(note, farm, log)
    log.raise_if_any()
    return Saved(farm=farm, plan=plan, book=copy, note=note)


def note_of(folder: Path) -> dict[str, Any]:
    """Return the note of a plan folder, and read nothing else of it.

    Raises:
        BookFaults: it is no plan folder, or its note is damaged.
    """
    _check_is_plan(folder)
    return read_note(folder)


def _check_facts(note: Mapping[str, Any], farm: Farm, log: FaultLog) -> None:
    """Tell what the note says of the book that is not so; a note without it says nothing wrong."""
    for name, fact in facts_of(farm).items():
        if name in note and note[name] != fact:
            found, expected = f"{quoted(str(note[name]))} as {name}", f"{fact or 'none'}, as in the book"
            log.add(Cell(NOTE), found, expected, "other-fact")
    made = note["made"].get("today", note["today"])
    if made != note["today"]:
        log.add(Cell(NOTE), f"{quoted(str(note['today']))} as today", f"{made}, as under made", "other-fact")


def _check_is_plan(folder: Path) -> None:
    if folder.is_dir() and (folder / NOTE).is_file():
        return
    if not folder.exists():
        found = "nothing there"
    elif not folder.is_dir():
        found = "a file"
    elif any((folder / f"{table}.csv").is_file() for table in load_schema().tables):
        found = "a book"
    else:
        found = f"a folder without {NOTE}"
    expected = "a folder that raftway plan wrote"
    raise BookFaults([Fault(place=Cell(str(folder)), found=found, expected=expected, code="no-plan")])


def _read_copy(folder: Path) -> RawBook:
    """Read the grids of the copy of the book; like the plan's tables, it may not lie elsewhere."""
    log, inside = FaultLog(), folder.resolve()
    if not (folder / BOOK).is_dir():
        expected = "the copy of the book that newer versions keep with a plan: plan the book again"
        log.add(Cell(BOOK), "no such folder", expected, "no-book")
    else:
        for path in (folder / BOOK, *sorted((folder / BOOK).iterdir())):
            if not path.resolve().is_relative_to(inside):
                name = path.relative_to(folder).as_posix()
                log.add(Cell(name), "a link out of the folder", "a part of the plan folder", "outside")
    log.raise_if_any()
    return read_folder(folder / BOOK)


def _today(note: Mapping[str, Any]) -> date:
    told = str(note.get("today", ""))
    try:
        return date.fromisoformat(told)
    except ValueError:
        fault = Fault(place=Cell(NOTE), found=f"{quoted(told)} as today", expected="a date", code="bad-note")
        raise BookFaults([fault]) from None


@contextmanager
def _told_from(part: str, tables: Iterable[str]) -> Iterator[None]:
    """Name the file of each fault: some tables of a book are called like tables of a plan."""
    named = frozenset(tables)
    try:
        yield
    except BookFaults as damaged:
        faults = [
            replace(fault, place=replace(fault.place, table=f"{part}/{fault.place.table}.csv"))
            if fault.place.table in named
            else fault
            for fault in damaged.faults
        ]
        raise BookFaults(faults, more_may_show=damaged.more_may_show) from None
