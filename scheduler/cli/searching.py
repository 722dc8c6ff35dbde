"""A search that is told in words and that Ctrl-C ends softly, and the options every search has."""

import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import fields
from typing import TYPE_CHECKING, Any, TypeVar

import click

from scheduler.cli.background import softly
from scheduler.cli.values import Number
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.model.settings import SolveSettings

Found = TypeVar("Found")
Command = Callable[..., Any]

HEARD = "Asked to end: ending with what was found so far; once more quits without it"


def search_options(
    seconds: str, seed: str, deterministic: str, usual: float = 60.0
) -> Callable[[Command], Command]:
    """Return what gives a command the options of a search; the words are the help of each.

    ``usual`` are the seconds unless others are given.
    """
    options = (
        click.option("--seconds", type=Number(1, 86_400), default=usual, show_default=True, help=seconds),
        click.option(
            "--workers",
            type=click.IntRange(1, 64),
            default=2,
            show_default=True,
            help="Searches side by side.",
        ),
        click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help=seed),
        click.option("--deterministic", is_flag=True, help=deterministic),
    )

    def add(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return add


def settings_of(options: Mapping[str, Any]) -> "SolveSettings":
    """Return how a command is to search, of all its options."""
    from scheduler.model.settings import SolveSettings

    names = {field.name for field in fields(SolveSettings)}
    return SolveSettings(**{name: value for name, value in options.items() if name in names})


def effort_told(settings: "SolveSettings") -> str:
    """Return in words how long a search was, such as ``60 seconds``."""
    unit = "units of the solver's own time" if settings.deterministic else "seconds"
    return f"{settings.seconds:g} {unit}"


def searched(search: Callable[[threading.Event], Found]) -> Found:
    """Return what a search finds; the first Ctrl-C sets the event it is given, so that it ends soon.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice.
        Exception: whatever the search raised.
    """
    return softly(search, lambda: click.echo(HEARD, err=True))


@contextmanager
def taken_up() -> Iterator[None]:
    """Stand around a search that goes on from a plan of a folder.

    Raises:
        click.UsageError: the plan holds what no search of this version could find.
    """
    from scheduler.model.answers.read_back import NotReadBack

    try:
        yield
    except NotReadBack as wrong:
        raise click.UsageError(f"this plan cannot be taken up again: {wrong}; plan the book anew") from None


def tell(what: str) -> None:
    """Say on stderr what is being looked at."""
    click.echo(plain(what), err=True)
