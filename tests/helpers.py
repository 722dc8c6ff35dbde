"""A small valid book as a folder of CSV files, any table of which a test may replace."""

import csv
from collections.abc import Mapping
from pathlib import Path

from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm

SETTINGS = {
    "farm": "Alder Quay Greens",
    "first_day": "2026-03-02",
    "weeks": "8",
    "sow_days": "Mon Thu",
    "transplant_days": "Mon Thu",
    "raft_days": "Mon Thu",
    "harvest_days": "Mon Wed Fri",
    "length_unit": "ft",
    "hold_days": "2",
}
"""The first day is a Monday; eight weeks are days 0 to 55."""

TABLES = {
    "shelves": "shelf,tiers,trays_per_tier\nShelf A,2,4\n",
    "troughs": "trough,width,length,raft_width,raft_length,lie\nNorth trough,4,24,2,4,along\n",
    "board_zones": "trough,slots_per_row\nNorth trough,2\n",
    "equipment": (
        "name,item,holes,rows,owned,wash_days\n"
        "98-cell tray,tray,98,14,40,1\n"
        "72-hole board,board,72,,20,1\n"
        "36-hole raft,raft,36,,40,1\n"
    ),
    "crops": (
        "crop,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_percent,"
        "survival_tray_percent,survival_board_percent,survival_raft_percent\n"
        "Butterhead,14,3,14,3,21,7,95,90,97,97\n"
    ),
    "products": "product,crop\nButterhead head,Butterhead\n",
    "orders": "order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,12,Tue Fri\n",
}


def settings_csv(**changes: str | None) -> str:
    """Return the settings table with some settings changed, added, or (None) left out."""
    settings = {**SETTINGS, **changes}
    rows = [f'{name},"{value}"' for name, value in settings.items() if value is not None]
    return "\n".join(["setting,value", *rows]) + "\n"


def write_book(
    folder: Path, settings: Mapping[str, str | None] | None = None, **tables: str | bytes | None
) -> Path:
    """Write the small book with some tables replaced or added; None leaves a table out."""
    book = folder / "book"
    book.mkdir(parents=True, exist_ok=True)
    written: dict[str, str | bytes | None] = {
        "settings": settings_csv(**(settings or {})),
        **TABLES,
        **tables,
    }
    for old in book.glob("*.csv"):
        old.unlink()
    for name, text in written.items():
        if text is not None:
            data = text if isinstance(text, bytes) else text.encode("utf-8")
            (book / f"{name}.csv").write_bytes(data)
    return book


def csv_of(row: Mapping[str, str | None]) -> str:
    """Return a table of one row; None leaves a column out."""
    kept = {name: text for name, text in row.items() if text is not None}
    return ",".join(kept) + "\n" + ",".join(f'"{text}"' for text in kept.values()) + "\n"


def crops_csv(**changes: str | None) -> str:
    """Return the crops table of the small book with some columns changed, added behind, or left out."""
    heading, row = TABLES["crops"].splitlines()
    return csv_of({**dict(zip(heading.split(","), row.split(","), strict=True)), **changes})


def farm_of(
    folder: Path, settings: Mapping[str, str | None] | None = None, **tables: str | bytes | None
) -> Farm:
    """Return the farm of the small book with some tables replaced."""
    return build_farm(read_book(write_book(folder, settings, **tables)))


def faults_of(
    folder: Path, settings: Mapping[str, str | None] | None = None, **tables: str | bytes | None
) -> list[str]:
    """Return what is said of a book: the faults of reading, or else those of building, or nothing."""
    try:
        farm_of(folder, settings, **tables)
    except BookFaults as faults:
        return [str(fault) for fault in faults.faults]
    return []


def rows_of(path: Path) -> list[dict[str, str]]:
    """Return the rows of a CSV table as text by column."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
