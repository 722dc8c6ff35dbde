"""Options and steps that several commands share."""

import re
from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from scheduler.cli.telling import near

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm

Command = TypeVar("Command", bound=Callable[..., Any])


def day_told(text: str) -> date:
    """Read a date that a book may have.

    Raises:
        ValueError: it is none; the message says how to write one.
    """
    from scheduler.book.parse import YEARS

    try:
        day = datetime.strptime(text, "%Y-%m-%d").date()  # noqa: DTZ007
    except ValueError:
        raise ValueError(f"{text!r} is not a date; write it like 2026-03-02") from None
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


class There(click.Path):
    """A file or folder that must be there; where it is not, what to do is told."""

    def __init__(self, make: str, **allowed: bool) -> None:
        """``make`` says how one comes about; ``allowed`` are those of click.Path."""
        super().__init__(exists=True, path_type=Path, **allowed)
        self.make = make

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the path, or end with a message that says what to do."""
        path = Path(value)
        if not path.exists():
            beside = sorted(each.name for each in path.parent.iterdir()) if path.parent.is_dir() else []
            self.fail(f"'{value}' does not exist{near(path.name, beside) or f'; {self.make}'}", param, ctx)
        return super().convert(value, param, ctx)


DAY = _Day()
TIME_OF_DAY = _TimeOfDay()
BOOK = There("raftway new NAME writes a book to begin with")
PLAN = There("raftway plan BOOK --out NAME writes a plan")
SCENARIO = There("name the file of a scenario, a few lines of named changes", dir_okay=False)
LOG = There("name a file that an instrument wrote", dir_okay=False)


def book_argument(command: Command) -> Command:
    """Add the BOOK argument: something that exists; reading it says what is wrong with it."""
    return click.argument("book", type=BOOK, callback=_seen_open)(command)


def _seen_open(_ctx: click.Context, _parameter: click.Parameter, book: Path) -> Path:
    """Say on stderr that a workbook is open elsewhere: what was not saved there is not read."""
    from scheduler.disk.whole import opened_by

    if opened_by(book) is not None:
        click.echo(f"Note: {book} is open in another program; what was saved last is read.", err=True)
    return book


def farm_with(book: Path, scenarios: Sequence[Path]) -> "Farm":
    """Return the farm of a book with all scenarios put on it."""
    from scheduler.book.book import read_raw, typed_book
    from scheduler.farm.build import build_farm
    from scheduler.scenario.apply import changed
    from scheduler.scenario.read import read_scenario

    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    if not scenarios:
        return farm
    made = changed(raw, [read_scenario(path) for path in scenarios])
    with made.told():
        return build_farm(made.book())


def check_same_farm(plan: Path, planned: str, asked: str) -> None:
    """See that a plan is one of the farm that is asked about, by the names of the two.

    Raises:
        click.UsageError: it is the plan of a farm with another name.
    """
    if planned != asked:
        raise click.UsageError(f"{plan} is a plan of {planned}, not of {asked}; name the plan of this book")
