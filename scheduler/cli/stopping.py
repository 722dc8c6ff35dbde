"""What ends a command from outside: Ctrl-C, a wish of the system to end, a terminal that was closed.

All of them are one thing here: the first ends a search softly, the second, or one outside a search, at once.
"""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from scheduler.cli.exits import STOPPED

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
    signal.signal(signal.SIGINT, _raise)
    for number in OTHERS:
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _raise)


def listen_no_more() -> None:
    """Let nothing come between the end of a command and its exit code."""
    for number in (signal.SIGINT, *OTHERS):
        signal.signal(number, signal.SIG_IGN)


@contextmanager
def heard_softly(stop: threading.Event) -> Iterator[None]:
    """Make the first signal to end set ``stop``; the second is raised as usual."""

    def heard(number: int, frame: FrameType | None) -> None:
        if stop.is_set():
            _raise(number, frame)
        _heard.append(number)
        stop.set()

    kept = {number: signal.getsignal(number) for number in (signal.SIGINT, *OTHERS)}
    for number, before in kept.items():
        if number == signal.SIGINT or before is not signal.SIG_IGN:
            signal.signal(number, heard)
    try:
        yield
    finally:
        for number, before in kept.items():
            signal.signal(number, before)


def _raise(number: int, _frame: FrameType | None) -> None:
    _heard.append(number)
    raise Ended
