"""Workbooks as growers and other programs write them, for tests of the workbook form."""

import csv
import io
import re
import zipfile
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

from helpers import TABLES, settings_csv
from openpyxl import Workbook

from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.book.raw import RawBook

Change = Callable[[Workbook], None]


def typed(text: str) -> object:
    """Return what a spreadsheet program makes of typed text."""
    if re.fullmatch(r"-?[0-9]+", text):
        return int(text)
    if re.fullmatch(r"-?[0-9]*\.[0-9]+", text):
        return float(text)
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return date.fromisoformat(text)
    return text or None


def write_workbook(folder: Path, change: Change | None = None, **tables: str | None) -> Path:
    """Write the small book as a workbook, some tables replaced (as CSV text) or left out, then changed."""
    workbook = Workbook()
    workbook.remove(workbook.active)
    for name, text in {"settings": settings_csv(), **TABLES, **tables}.items():
        if text is not None:
            sheet = workbook.create_sheet(name)
            for row in csv.reader(io.StringIO(text)):
                sheet.append([typed(cell) for cell in row])
    if change:
        change(workbook)
    path = folder / "book.xlsx"
    workbook.save(path)
    return path


def put(address: str, value: object, form: str | None = None) -> Change:
    """Return a change that sets one cell, ``orders!D2``, and its number format."""
    sheet, _, cell = address.partition("!")

    def change(workbook: Workbook) -> None:
        workbook[sheet][cell] = value
        if form:
            workbook[sheet][cell].number_format = form

    return change


def said(path: Path) -> list[str]:
    """Return every fault of a book as text."""
    try:
        read_book(path)
    except BookFaults as faults:
        return [str(fault) for fault in faults.faults]
    return []


def replace_part(path: Path, name: str, contents: bytes) -> Path:
    """Replace one part of a workbook, or add it."""
    with zipfile.ZipFile(path) as old:
        parts = {part: old.read(part) for part in old.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for part, data in {**parts, name: contents}.items():
            new.writestr(part, data)
    return path


def part_of(path: Path, name: str) -> bytes:
    """Return one part of a workbook."""
    with zipfile.ZipFile(path) as archive:
        return archive.read(name)


def texts(raw: RawBook) -> Mapping[str, list[list[str]]]:
    """Return the cells of every table, heading first, without blanks at the end of rows."""
    found = {}
    for name, table in raw.tables.items():
        rows = [list(table.heading.cells), *(list(row.cells) for row in table.rows)]
        for row in rows:
            while row and not row[-1]:
                row.pop()
        found[name] = rows
    return found
