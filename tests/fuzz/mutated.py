"""One mutated book for each number: sound book, form and mutations are all drawn from the number."""

from dataclasses import dataclass
from pathlib import Path
from random import Random

from fuzz.base_books import EXAMPLES, NAMES, SMALL, Tables, base_book
from fuzz.forms import WORKBOOK, Files, damage, odd_workbook, plain_folder, plain_workbook, recode
from fuzz.mutations import KINDS

from scheduler.book.place import Cell

FILES = "encodings"
"""The kind of mutation that is made in the bytes, when the tables are done."""

EVERY_KIND = (*KINDS, FILES)


@dataclass(frozen=True, kw_only=True)
class Mutated:
    """A mutated book.

    Attributes:
        number: what it was drawn from.
        base: name of the sound book.
        form: folder or workbook.
        kinds: kinds of the mutations, in the order they were made.
        tables: the tables as mutated, before they were written.
        touched: the tables that were touched; None where bytes were changed, which may be any.
        spoilt: the cell that must be told, where the only mutation made one that no book may have.
        files: file name -> bytes.
    """

    number: int
    base: str
    form: str
    kinds: tuple[str, ...]
    tables: Tables
    touched: frozenset[str] | None
    spoilt: Cell | None
    files: Files

    def written(self, folder: Path) -> Path:
        """Write the book into a folder and return its path."""
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in self.files.items():
            (folder / name).write_bytes(data)
        return folder / WORKBOOK if self.form == "workbook" else folder


def mutated(number: int) -> Mutated:
    """Return the mutated book of a number; the same number gives the same bytes."""
    draw = Random(number)
    base = draw.choice((*SMALL, *SMALL, *SMALL, "starter", "starter", *EXAMPLES))
    assert base in NAMES
    form = draw.choice(("folder", "folder", "workbook"))
    tables = base_book(base)
    kinds, touches = [], []
    for _ in range(draw.choice((1, 1, 1, 2, 3))):
        kind = draw.choice(EVERY_KIND)
        kinds.append(kind)
        if kind != FILES and (touch := draw.choice(KINDS[kind])(draw, tables)) is not None:
            touches.append(touch)
    bytes_too = FILES in kinds
    alone = len(touches) == 1 and not bytes_too
    return Mutated(
        number=number,
        base=base,
        form=form,
        kinds=tuple(kinds),
        tables=tables,
        touched=None if bytes_too else frozenset(table for touch in touches for table in touch.tables),
        spoilt=touches[0].spoilt if alone else None,
        files=_files(draw, tables, form, bytes_too=bytes_too),
    )


def _files(draw: Random, tables: Tables, form: str, *, bytes_too: bool) -> Files:
    if form == "folder":
        files = plain_folder(tables)
        if bytes_too and files:
            recode(draw, files)
        return files
    odd = bytes_too and draw.random() < 0.5
    files = plain_workbook(tables, typed=draw.random() < 0.7, spoilt=odd_workbook(draw) if odd else None)
    if bytes_too and not odd:
        files[WORKBOOK] = damage(draw, files[WORKBOOK])
    return files
