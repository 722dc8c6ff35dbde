"""Tables for spreadsheets: text that one would calculate is kept from it."""

import csv
import io
from collections.abc import Iterable, Sequence

from scheduler.book.to_csv import FORMULA_SIGNS
from scheduler.outputs.words import plain


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Return rows as CSV in UTF-8, every cell guarded."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8")


def guarded(cell: str) -> str:
    """Return a cell that a spreadsheet takes for text where it begins like a formula; numbers are none."""
    text = plain(cell)
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text
