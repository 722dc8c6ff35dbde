"""What stands behind options of commands: dates, times, numbers, files that are there, and new ones."""

import math
import re
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click

from scheduler.cli.telling import near


def day_told(text: str) -> date:
    """Read a date that a book may have.

    Raises:
        ValueError: it is none; the message says how to write one.
    """
    from scheduler.book.parse import YEARS, dates_meant

    try:
        day = datetime.strptime(text, "%Y-%m-%d").date()  # noqa: DTZ007
    except ValueError:
        meant = dates_meant(text)
        wrong = "no day that exists" if meant == [] else "not a date"
        so = " or ".join(meant) if meant else "it like 2026-03-02"
        raise ValueError(f"{text!r} is {wrong}; write {so}") from None
    if day.year not in YEARS:
        allowed = f"from {YEARS[0]} to {YEARS[-1]}"
        raise ValueError(f"{text!r} is no day of any book; write one {allowed}, like 2026-03-02")
    return day


class _Day(click.ParamType[date]):
    """A date written like 2026-03-02."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Return the date, or end with a message that says how to write one."""
        if isinstance(value, date):
            return value
        try:
            return day_told(str(value))
        except ValueError as wrong:
            self.fail(str(wrong), param, ctx)


class _TimeOfDay(click.ParamType[int]):
    """A time of day written like 07:00, as whole minutes after midnight."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the minutes, or end with a message that says how to write a time."""
        if isinstance(value, int):
            return value
        found = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", str(value))
        if found is None:
            self.fail(f"{value!r} is not a time of day; write it like 07:00", param, ctx)
        return 60 * int(found[1]) + int(found[2])


class Number(click.FloatRange):
    """A number between bounds; ``nan``, which lies within any, is none."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return the number, or end with a message that says which are allowed."""
        number = float(super().convert(value, param, ctx))
        if math.isnan(number):
            self.fail(f"{value} is not a number; write one", param, ctx)
        return number


class _Named(click.Path):
    """A file or folder by its name; a blank is none, which Python would take for the working folder."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the path, or end with a message that says what to do."""
        if not str(value):
            self.fail("'' is no name of a file or folder; write one", param, ctx)
        return super().convert(value, param, ctx)


class There(_Named):
    """A file or folder that must be there; where it is not, what to do is told."""

    def __init__(self, make: str, *, folders: bool = True) -> None:
        """``make`` says how one comes about, or what to name in place of a folder where none is allowed."""
        super().__init__(exists=True, path_type=Path, dir_okay=folders)
        self.make = make

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the path, or end with a message that says what to do."""
        path = Path(value)
        if not path.exists():
            if path.is_symlink():
                self.fail(
                    f"'{value}' is a link that leads nowhere; name the file or folder itself", param, ctx
                )
            beside = sorted(each.name for each in path.parent.iterdir()) if path.parent.is_dir() else []
            self.fail(f"'{value}' does not exist{near(path.name, beside) or f'; {self.make}'}", param, ctx)
        if path.is_dir() and str(value) and not self.dir_okay:
            self.fail(f"'{value}' is a folder; {self.make}", param, ctx)
        return super().convert(value, param, ctx)


DAY = _Day()
TIME_OF_DAY = _TimeOfDay()
BOOK = There("raftway new NAME writes a book to begin with")
PLAN = There("raftway plan BOOK --out NAME writes a plan")
SCENARIO = There("name the file of a scenario, a few lines of named changes", folders=False)
LOG = There("name a file that an instrument wrote", folders=False)
NEW = _Named(path_type=Path)
"""A file or folder to write; the command sees whether it may be."""
