"""What ends a command from outside: Ctrl-C, a wish of the system to end, a terminal that was closed.

All of them are one thing here: the first ends a search softly and does not lose a plan that was found (see
``keeping``), the second ends the command at once, and so does one outside of these.
"""

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

from scheduler.cli.exits import STOPPED

Heard = Callable[[int, FrameType | None], None]
"""What hears a signal: its number, and where the program was."""

OTHERS = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
"""Signals that mean what Ctrl-C means; one that whoever started the command had ignored stays so."""

BY_SIGNAL = 128
"""What shells add to the number of a signal for the code of what it ended."""

AGAIN = 0.01
"""Seconds after which a signal comes again that was lost."""

BEFORE_A_PLAN = "Stopped before there was a plan. Nothing was written."


class Ended(KeyboardInterrupt):  # as Ctrl-C, which whatever cleans up behind itself expects
    """The command is to end; the message, if there is one, says what became of its work."""


_heard: list[int] = []
"""Signals to end that were heard since the command began."""


_searches: list[threading.Event] = []
"""What stops each search that was begun since the command began."""


def begin() -> None:
    """Forget what was heard by a command before."""
    _heard.clear()
    _searches.clear()


def searches_begun() -> int:
    """Return how many searches this command has begun."""
    return len(_searches)


def asked_once() -> bool:
    """Say whether this command was asked to end."""
    return bool(_heard)


def code() -> int:
    """Return the exit code of a command that was stopped."""
    return BY_SIGNAL + _heard[0] if _heard else STOPPED


def listen() -> None:
    """From now on let every signal to end be raised as one, and be remembered."""
    signal.signal(signal.SIGINT, raised)
    for number in OTHERS:
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, raised)
    sys.unraisablehook = _told_again


def listen_no_more() -> None:
    """Let nothing come between the end of a command and its exit code."""
    for number in (signal.SIGINT, *OTHERS):
        signal.signal(number, signal.SIG_IGN)


@contextmanager
def heard_by(heard: Heard) -> Iterator[None]:
    """Let every signal to end go to a function; those that were ignored stay so."""
    kept = {number: signal.getsignal(number) for number in (signal.SIGINT, *OTHERS)}
    for number, before in kept.items():
        if number == signal.SIGINT or before is not signal.SIG_IGN:
            signal.signal(number, heard)
    try:
        yield
    finally:
        for number, before in kept.items():
            signal.signal(number, before)


@contextmanager
def heard_softly(stop: threading.Event) -> Iterator[None]:
    """Make the first signal to end set ``stop``; the second is raised as usual."""

    def heard(number: int, frame: FrameType | None) -> None:
        if stop.is_set():
            raised(number, frame)
        remember(number)
        stop.set()

    with heard_by(heard):
        _searches.append(stop)
        yield


def remember(number: int) -> None:
    """Keep in mind that a signal to end was heard."""
    _heard.append(number)


def raised(number: int, _frame: FrameType | None) -> NoReturn:
    """Remember a signal to end and raise it."""
    remember(number)
    raise Ended


def _told_again(lost: "sys.UnraisableHookArgs") -> None:
    """Let a signal come once more that was raised where Python lets nothing out, as while it cleans up.

    What a disk did not take is left out there: it was told where it was first met.
    """
    if isinstance(lost.exc_value, OSError) and not os.environ.get("RAFTWAY_DEBUG"):
        return
    if not isinstance(lost.exc_value, Ended):
        sys.__unraisablehook__(lost)
        return
    # by another thread and a little later: now it would be lost once more
    again = threading.Timer(AGAIN, os.kill, (os.getpid(), _heard.pop()))
    again.daemon = True
    again.start()
