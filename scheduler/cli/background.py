"""Work in a thread of its own that Ctrl-C ends softly: Python hears Ctrl-C only in its first thread."""

import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Generic, TypeVar

from scheduler.cli.stopping import asked_once, heard_softly

Made = TypeVar("Made")

TICK = 0.1
"""Seconds between two looks at whether the work is done."""


class Background(threading.Thread, Generic[Made]):
    """Some work in a thread; ``result`` gives what it made, or raises what it raised."""

    def __init__(self, work: Callable[[], Made]) -> None:
        """Take the work; it begins with ``start``."""
        super().__init__(name="search", daemon=True)
        self._work = work
        self._made: list[Made] = []
        self._error: BaseException | None = None

    def run(self) -> None:
        """Do the work; whatever it raises is kept for ``result``."""
        try:
            self._made.append(self._work())
        except BaseException as error:
            self._error = error

    def result(self) -> Made:
        """Return what the work made.

        Raises:
            BaseException: whatever the work raised.
        """
        if self._error is not None:
            raise self._error
        return self._made[0]


def softly(
    work: Callable[[threading.Event], Made],
    heard: Callable[[], None],
    look: Callable[[bool], None] = lambda _: None,
) -> Made:
    """Return what some work makes; the first Ctrl-C sets the event it is given, so that it ends soon.

    A wish of the system to end does the same. It holds for the whole command: what is begun after it has its
    event set from the start. Work is not lost because nobody can be told how it goes.

    Args:
        work: the work, done in a thread of its own.
        heard: is called once when Ctrl-C was heard.
        look: is called ten times a second while the work is done, with whether Ctrl-C was heard.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice.
        Exception: whatever the work raised.
    """
    stop, told = threading.Event(), asked_once()
    if told:
        stop.set()
    thread = Background(lambda: work(stop))
    with heard_softly(stop):
        thread.start()
        while thread.is_alive():
            thread.join(TICK)
            if stop.is_set() and not told:
                told = True
                with suppress(OSError):
                    heard()
            with suppress(OSError):
                look(stop.is_set())
    return thread.result()
