"""Tables as CSV text: one way of writing them, and one guard against text that a spreadsheet would calculate.

A spreadsheet program takes text that begins with certain signs for a formula, whoever wrote it. Such text
gets an apostrophe in front, which is taken off again where raftway reads its own tables.
"""

import re
from collections.abc import Iterable, Sequence

CALCULATED = re.compile(r"\s*[-=+@\uFF1D\uFF0B\uFF0D\uFF20]|[\t\r\n]")
"""What a cell begins with that a spreadsheet program may calculate, or carry over into the next cell.

The signs are also taken in their full width, which programs of East Asia turn into the usual ones.
"""

MARKED = re.compile(rf"''|'?(?:{CALCULATED.pattern})")
"""What gets an apostrophe: also text in which one stands already that would be taken off in reading."""

_SPECIAL = re.compile('[,"\r\n]')


def is_calculated(text: str) -> bool:
    """Say whether a spreadsheet program may take a cell for a formula."""
    return CALCULATED.match(text) is not None


def changes_when_edited(text: str) -> bool:
    """Say whether a cell of a workbook must be marked as text: it may change when edited."""
    return is_calculated(text) or text.lstrip().startswith("'")


def guarded(text: str) -> str:
    """Return a cell that every spreadsheet program takes for text; :func:`bare` takes it back exactly."""
    return f"'{text}" if MARKED.match(text) else text


def bare(text: str) -> str:
    """Return what a cell held before it was guarded; a name such as ``'s-Graveland`` stays as it is."""
    return text[1:] if text.startswith("'") and (text[1:2] == "'" or is_calculated(text[1:])) else text


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """Return rows as CSV text with line feeds; the cells must have been guarded before, where they are text.

    Cells with a lone carriage return are put between quotation marks too, which the csv module leaves out in
    some versions and then refuses to read.
    """
    return "".join(f"{_line(row)}\n" for row in rows)


def _line(row: Sequence[str]) -> str:
    # a row of one blank cell would be a blank line, which is no row
    return '""' if list(row) == [""] else ",".join(map(_quoted, row))


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if _SPECIAL.search(text) else text
