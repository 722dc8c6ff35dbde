"""Letters that begin lot codes: the grower's own, or made from the crop's name, the same on every run."""

import re
import unicodedata
from collections.abc import Iterator
from itertools import product
from string import ascii_uppercase

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell


def build_codes(book: Book, log: FaultLog) -> dict[str, str]:
    """Return crop name -> two to four capital letters, no two alike; given codes go first."""
    codes: dict[str, str] = {}
    taken: dict[str, Cell] = {}
    for row in book.rows("crops"):
        code, cell = row.text("code").upper(), row.cell("code")
        if not code:
            continue
        if not re.fullmatch(r"[A-Z]{2,4}", code):
            log.add(cell, f"'{row.text('code')}'", "two to four letters from A to Z", "bad-code")
        elif code in taken:
            log.add(cell, f"'{code}' again", f"a code of its own ({taken[code]} has it)", "double-code")
        else:
            taken[code] = cell
            codes[row.text("crop")] = code
    for row in book.rows("crops"):
        name = row.text("crop")
        if name not in codes:
            code = next(option for option in code_options(name) if option not in taken)
            taken[code] = row.cell("crop")
            codes[name] = code
    return codes


def code_options(name: str) -> Iterator[str]:
    """Yield codes for a name: its first three letters, its words' first letters, then any other three."""
    plain = unicodedata.normalize("NFKD", name).upper()
    words = re.findall(r"[A-Z]+", "".join(char for char in plain if not unicodedata.combining(char)))
    letters = "".join(words)
    if len(letters) >= 2:
        yield letters[:3]
    if 2 <= len(words) <= 4:
        yield "".join(word[0] for word in words)
    if len(words) > 1 and len(words[0]) > 1:
        yield words[0][:2] + words[1][0]
    for second in range(1, len(letters) - 1):
        for third in range(second + 1, len(letters)):
            yield letters[0] + letters[second] + letters[third]
    first = letters[:1] or "X"
    yield from (first + second + third for second, third in product(ascii_uppercase, repeat=2))
    yield from ("".join(four) for four in product(ascii_uppercase, repeat=4))
