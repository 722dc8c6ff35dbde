"""Faults of text that is no TOML, in words of our own: the line, the column, what stands there, what may."""

import re
from dataclasses import dataclass

from scheduler.book.faults import quoted

LETTERS = 40
"""Most letters of a line that are shown from the fault on."""

LINES = 'lines such as width = 4 or name = "East", with a comma between several within braces'
"""What may stand in a scenario at all."""

VALUES = "text in quotation marks, a number, a date such as 2026-06-01, true, false or a list"
BEGUN = "a key such as width, an equals sign and a value, or [[change]]"
TWICE = ("{line}, which stands a second time", "each key once, and [[change]] above each change")
STRING = (
    "text that does not end, in {line}",
    "text that ends on its line with the quotation mark it began with; a backslash within it stands twice",
)
WORDS: tuple[tuple[str, tuple[str, str]], ...] = (
    ("Cannot ", TWICE),
    ("Duplicate", TWICE),
    ("Invalid value", ("{rest}", VALUES)),
    ("Invalid date", ("{rest}", "a date of the calendar, such as 2026-06-01")),
    ("Expected '=' after a key", ("{rest}", "an equals sign between a key of one word and its value")),
    (
        "Expected newline",
        (
            "{rest} after a value",
            "one line for each key; text in quotation marks, and a date of the calendar such as 2026-06-01",
        ),
    ),
    ("Expected ']", ("{rest}", "the brackets that end a heading, such as [[change]]")),
    ("Invalid initial character", ("{rest}", BEGUN)),
    ("Invalid statement", ("{rest}", BEGUN)),
    ("Unclosed", ("{rest}", "a comma, or the bracket that ends what was begun")),
    *((begin, STRING) for begin in ("Unterminated", "Illegal", "Unescaped", "Invalid hex", "Escaped")),
    ("Expected", STRING),
)
"""How the parser's message begins, and what is said instead: found and expected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BadToml:
    """Where a text stops being TOML.

    Attributes:
        where: ``line 3, column 8``; empty where the parser does not know.
        found, expected: what stands there, and what may.
    """

    where: str
    found: str
    expected: str


def bad_toml(error: Exception, text: str, before: int = 0) -> BadToml:
    """Return a parser's error in words.

    Args:
        error: what :mod:`tomllib` raised for ``text``.
        text: what was read.
        before: letters put in front of the only line, which the grower did not write.
    """
    said = str(error)
    place = re.search(r"\(at line ([0-9]+), column ([0-9]+)\)$", said)
    if place is None and not said.endswith("(at end of document)"):
        return BadToml(where="", found="values nested too deep, or a number far too long", expected=LINES)
    lines = text.split("\n")
    if place is None:
        line, column = len(lines), len(lines[-1]) + 1
    else:
        line, column = int(place[1]), int(place[2])
    whole = lines[line - 1][before:].strip() if line <= len(lines) else ""
    rest = lines[line - 1][column - 1 :].strip() if line <= len(lines) else ""
    if before:
        whole, rest = (text.removesuffix("}").rstrip() for text in (whole, rest))
    shown = {
        "line": quoted(whole[:LETTERS]),
        "rest": quoted(rest[:LETTERS]) if rest else f"nothing more after {quoted(whole[-LETTERS:])}",
    }
    at = f"line {line}, column {column}" if not before else f"column {max(1, column - before)}"
    found, expected = next((words for begin, words in WORDS if said.startswith(begin)), ("{rest}", LINES))
    return BadToml(where=at, found=found.format_map(shown), expected=expected)
