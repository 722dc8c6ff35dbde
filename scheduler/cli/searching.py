"""Runs a search in a thread of its own, because Python hears Ctrl-C only in its first thread."""

import signal
import threading
from collections.abc import Callable
from types import FrameType
from typing import TypeVar

import click

from scheduler.outputs.words import plain

Found = TypeVar("Found")

TICK = 0.1
HEARD = "Ctrl-C was heard: ending with what was found so far; once more quits without it"


def searched(search: Callable[[threading.Event], Found]) -> Found:
    """Return what a search finds; the first Ctrl-C sets the event it is given, so that it ends soon.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice.
        Exception: whatever the search raised.
    """
    stop = threading.Event()
    found: list[Found] = []
    wrong: list[BaseException] = []

    def run() -> None:
        try:
            found.append(search(stop))
        except BaseException as error:  # noqa: BLE001
            wrong.append(error)

    def pressed(_number: int, _frame: FrameType | None) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()
        click.echo(HEARD, err=True)

    thread = threading.Thread(target=run, name="search", daemon=True)
    before = signal.signal(signal.SIGINT, pressed)
    try:
        thread.start()
        while thread.is_alive():
            thread.join(TICK)
    finally:
        signal.signal(signal.SIGINT, before)
    if wrong:
        raise wrong[0]
    return found[0]


def tell(what: str) -> None:
    """Say on stderr what is being looked at."""
    click.echo(plain(what), err=True)
