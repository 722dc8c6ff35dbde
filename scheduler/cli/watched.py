"""Long work that can be stopped: it runs in a thread, for Python hears Ctrl-C only in its first one."""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Generic, TypeVar

import click

Made = TypeVar("Made")
TICK = 0.1
HEARD = "Ctrl-C was heard: ending with what is found so far; once more quits without it"

Work = Callable[[Callable[[str], None], threading.Event], Made]


def watched(work: Work[Made]) -> Made:
    """Do some work and return what it made; the first Ctrl-C asks it to end soon.

    Args:
        work: called with what tells a step in words, and with what is set when it is to end.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed twice.
        Exception: whatever the work raised.
    """
    stop = threading.Event()
    thread = _Worker(work, stop)
    with _ctrl_c(stop):
        thread.start()
        while thread.is_alive():
            thread.join(TICK)
    return thread.result()


class _Worker(threading.Thread, Generic[Made]):
    def __init__(self, work: Work[Made], stop: threading.Event) -> None:
        super().__init__(name="work", daemon=True)
        self._work, self._stop_asked = work, stop
        self._made: list[Made] = []
        self._error: BaseException | None = None

    def run(self) -> None:
        try:
            self._made.append(self._work(lambda step: click.echo(step, err=True), self._stop_asked))
        except BaseException as error:  # noqa: BLE001
            self._error = error

    def result(self) -> Made:
        if self._error is not None:
            raise self._error
        return self._made[0]


@contextmanager
def _ctrl_c(stop: threading.Event) -> Iterator[None]:
    """Make the first Ctrl-C set ``stop``; the second interrupts as usual."""

    def pressed(_number: int, _frame: FrameType | None) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()
        click.echo(HEARD, err=True)

    before = signal.signal(signal.SIGINT, pressed)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
