"""What ends a command from outside: Ctrl-C, a wish of the system to end, a terminal that was closed.

All of them are one thing here: the first ends a search softly and does not lose a plan that was found (see
``keeping``), the second ends the command at once, and so does one outside of these.
"""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from types import FrameType
from typing import NoReturn

from scheduler.cli.exits import STOPPED

Heard = Callable[[int, FrameType | None], None]
"""What hears a signal: its number, and where the program was."""

OTHERS = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
"""Signals that mean what Ctrl-C means; one that whoever started the command had ignored stays so."""

BY_SIGNAL = 128
"""What shells add to the number of a signal for the code of what it ended."""

BEFORE_A_PLAN = "Stopped before there was a plan. Nothing was written."


class Ended(KeyboardInterrupt):  # as Ctrl-C, which whatever cleans up behind itself expects
    """The command is to end; the message, if there is one, says what became of its work."""


_heard: list[int] = []
"""Signals to end that were heard since the command began."""


def begin() -> None:
    """Forget what was heard by a command before."""
    _heard.clear()


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


def heard_softly(stop: threading.Event) -> AbstractContextManager[None]:
    """Make the first signal to end set ``stop``; the second is raised as usual."""

    def heard(number: int, frame: FrameType | None) -> None:
        if stop.is_set():
            raised(number, frame)
        remember(number)
        stop.set()

    return heard_by(heard)


def remember(number: int) -> None:
    """Keep in mind that a signal to end was heard."""
    _heard.append(number)


def raised(number: int, _frame: FrameType | None) -> NoReturn:
    """Remember a signal to end and raise it."""
    remember(number)
    raise Ended
