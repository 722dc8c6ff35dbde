"""Plan folders for tests: tables alone, or whole ones of a small book that is planned in no time."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from helpers import write_book

from scheduler.book.book import read_raw, typed_book
from scheduler.book.plain_copy import book_copy
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.outputs.csv_folder import note_file, table_files
from scheduler.outputs.folder import NOTE, replace_folder
from scheduler.plan.rows import Plan

EFFORT = SolveSettings(seconds=0.3, deterministic=True)
ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-04-24,2026-04-24\n"
)


def write_tables(folder: Path, plan: Plan, farm: Farm) -> None:
    """Write a folder of a plan's tables and its note, and nothing else."""
    files = table_files(farm.calendar, plan)
    files[NOTE] = note_file(plan, farm, files, {"book_sha256": "abc"})
    replace_folder(folder, files)


@dataclass(frozen=True)
class Planned:
    """A small book and the plan of it."""

    book: Path
    copy: dict[str, bytes]
    farm: Farm
    plan: Plan


def planned(folder: Path, today: str | None = None, effort: SolveSettings = EFFORT, **tables: str) -> Planned:
    """Write the small book with one delivery into a folder, and plan it."""
    book = write_book(folder, **{"orders": ORDERS, **tables})
    raw = read_raw(book)
    farm = build_farm(typed_book(raw), today=None if today is None else date.fromisoformat(today))
    found = plan_farm(farm, effort).plan
    assert found is not None
    return Planned(book, book_copy(raw), farm, found)


def every_byte(folder: Path) -> dict[str, bytes]:
    """Return the contents of every file of a folder by its name within."""
    paths = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}
