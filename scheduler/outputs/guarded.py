"""Tables for spreadsheets that are not read back: on one line, without control signs, and guarded."""

from collections.abc import Iterable, Sequence

from scheduler.book.guard import csv_text, guarded
from scheduler.book.number_hints import NUMBER
from scheduler.outputs.words import plain


def csv_bytes(rows: Iterable[Sequence[object]]) -> bytes:
    """Return rows as CSV in UTF-8; None is a blank cell, and numbers, also written as text, stay numbers."""
    return csv_text([_cell(cell) for cell in row] for row in rows).encode("utf-8")


def _cell(cell: object) -> str:
    if cell is None:
        return ""
    text = plain(str(cell))
    return text if NUMBER.fullmatch(text) else guarded(text)
