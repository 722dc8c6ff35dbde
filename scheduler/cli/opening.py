"""Options and steps that several commands share."""

import hashlib
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])


class _Day(click.ParamType[date]):
    """A date written like 2026-03-02."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Return the date, or end with a message that says how to write one."""
        if isinstance(value, date):
            return value
        try:
            return datetime.strptime(str(value), "%Y-%m-%d").date()  # noqa: DTZ007
        except ValueError:
            self.fail(f"{value!r} is not a date; write it like 2026-03-02", param, ctx)


DAY = _Day()


def book_argument(command: Command) -> Command:
    """Add the BOOK argument: something that exists; reading it says what is wrong with it."""
    return click.argument("book", type=click.Path(exists=True, path_type=Path))(command)


def digest(book: Path) -> str:
    """Return the SHA-256 of a book: of the workbook, or of names and contents of a folder's tables."""
    if book.is_file():
        return hashlib.sha256(book.read_bytes()).hexdigest()
    together = hashlib.sha256()
    for path in sorted(book.glob("*.csv")):
        contents = path.read_bytes()
        together.update(f"{path.name}\n{len(contents)}\n".encode() + contents)
    return together.hexdigest()
