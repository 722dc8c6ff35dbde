"""A search that is told in words and that Ctrl-C ends softly, and the options every search has."""

import threading
from collections.abc import Callable
from typing import Any, TypeVar

import click

from scheduler.cli.background import softly
from scheduler.outputs.words import plain

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
        click.option(
            "--seconds", type=click.FloatRange(1, 86_400), default=usual, show_default=True, help=seconds
        ),
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


def searched(search: Callable[[threading.Event], Found]) -> Found:
    """Return what a search finds; the first Ctrl-C sets the event it is given, so that it ends soon.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice.
        Exception: whatever the search raised.
    """
    return softly(search, lambda: click.echo(HEARD, err=True))


def tell(what: str) -> None:
    """Say on stderr what is being looked at."""
    click.echo(plain(what), err=True)
