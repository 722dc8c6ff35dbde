"""Steps that several commands begin with: the book they are given, its farm, and the plan beside it."""

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from scheduler.cli.values import BOOK

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm

Command = TypeVar("Command", bound=Callable[..., Any])


def book_argument(command: Command) -> Command:
    """Add the BOOK argument: something that exists; reading it says what is wrong with it."""
    return click.argument("book", type=BOOK, callback=_seen_open)(command)


def _seen_open(_ctx: click.Context, _parameter: click.Parameter, book: Path) -> Path:
    """Say on stderr that a workbook is open elsewhere: what was not saved there is not read."""
    from scheduler.disk.whole import opened_by

    if opened_by(book) is not None:
        click.echo(f"Note: {book} is open in another program; what was saved last is read.", err=True)
    return book


def farm_of(book: Path, scenarios: Sequence[Path] = ()) -> "Farm":
    """Return the farm a book describes, with all scenarios put on it.

    Raises:
        BookFaults: the book or a scenario has faults, or the two do not go together.
    """
    from scheduler.book.book import read_raw, typed_book
    from scheduler.farm.build import build_farm

    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    if not scenarios:
        return farm
    from scheduler.scenario.apply import changed
    from scheduler.scenario.read import read_scenario

    made = changed(raw, [read_scenario(path) for path in scenarios])
    with made.told():
        return build_farm(made.book())


def is_plan(path: Path) -> bool:
    """Say whether a path is the folder of a plan, also of one that is damaged."""
    from scheduler.outputs.folder import NOTE

    return (path / NOTE).is_file()


def check_same_farm(plan: Path, planned: str, asked: str) -> None:
    """See that a plan is one of the farm that is asked about, by the names of the two.

    Raises:
        click.UsageError: it is the plan of a farm with another name.
    """
    if planned != asked:
        raise click.UsageError(f"{plan} is a plan of {planned}, not of {asked}; name the plan of this book")


def day_in_plan(farm: "Farm", day: date, then: str = "name a day of it") -> int:
    """Return the number of a date, which must be one of the days the plan reports.

    Raises:
        click.UsageError: it lies outside the plan; ``then`` says what to do.
    """
    calendar = farm.calendar
    number = calendar.day_of(day)
    if not 0 <= number < calendar.days:
        last = calendar.date_of(calendar.days - 1)
        raise click.UsageError(f"{day} lies outside the plan, {calendar.first_day} to {last}; {then}")
    return number
