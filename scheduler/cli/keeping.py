"""A plan from its search to its folder: one signal to end does not lose it, and the second leaves it."""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

import click

from scheduler.cli.stopping import Ended, asked_once, heard_by, raised, remember, searches_begun
from scheduler.cli.telling import typed
from scheduler.disk.whole import remove

PLAN = "Asked to end: the plan is kept, without pages that are not made yet; once more quits without it"
MAKING = "Making the report, the workbook, calendars and labels"
ANSWER = "Asked to end: what was found is finished, which is short; once more quits without it"


class Keeper:
    """Hears signals to end while a plan is judged and written.

    Judging and writing a plan are short beside finding it, so the first signal is remembered and they go on.
    Pages take longer: one that is being made is broken off, and no other is begun.
    """

    def __init__(self, said: str) -> None:
        """Hear nothing yet; what was searched before is not what is kept. ``said`` answers a signal."""
        self._said = said
        self._before = searches_begun()
        self._at_page = False
        self._no_more = False

    def heard(self, number: int, frame: FrameType | None) -> None:
        """Take a signal to end: raise it where nothing is found yet, in a page, or as the second one."""
        if self._at_page:
            # once only: what follows the page has to be written
            self._at_page, self._no_more = False, True
            _tell(self._said)
            raised(number, frame)
        if asked_once() or searches_begun() == self._before:
            raised(number, frame)
        remember(number)
        self._no_more = True
        _tell(self._said)

    @contextmanager
    def page(self) -> Iterator[None]:
        """Stand around the making of one page.

        Raises:
            KeyboardInterrupt: nobody waits for it any more.
        """
        # set before it is asked, so that no signal can come between
        self._at_page = True
        try:
            if self._no_more:
                raise Ended
            yield
        finally:
            self._at_page = False


@contextmanager
def keeping(said: str = PLAN) -> Iterator[Keeper]:
    """Let no single signal to end lose what a search finds from here on; a search hears it by itself."""
    keeper = Keeper(said)
    with heard_by(keeper.heard):
        yield keeper


def write_found(out: Path, write: Callable[[Path], None]) -> None:
    """Write a plan into its folder, and say what makes the pages it was written without.

    Finding it took long, so where that folder takes it no more it is kept among temporary files.

    Raises:
        Exception: whatever ``write`` raises; of the disk and the folder, what was raised of ``out``.
    """
    from scheduler.outputs.everything import NotAllMade, StoppedBetween
    from scheduler.outputs.folder import FolderRefused

    makes = f"The plan is in {out}; raftway publish {typed(out)} makes the rest"
    if sys.stderr.isatty():
        # nothing else moves on the screen until they are there, which may take half a minute
        click.echo(MAKING, err=True)
    try:
        write(out)
    except NotAllMade:
        click.echo(f"{makes} once this is mended.", err=True)
        raise
    except StoppedBetween:
        click.echo(f"{makes}.", err=True)
        raise
    except (OSError, FolderRefused):
        if there := _kept_elsewhere(write):
            click.echo(
                f"The plan that was found is kept in {there}; move it to a place of its own.", err=True
            )
        raise


def _kept_elsewhere(write: Callable[[Path], None]) -> Path | None:
    """Write a plan into a new folder for temporary files; None where nothing could be written there."""
    from scheduler.outputs.everything import NotAllMade, StoppedBetween
    from scheduler.outputs.folder import NOTE, FolderRefused

    with suppress(OSError, FolderRefused):
        folder = Path(tempfile.mkdtemp(prefix="raftway-plan-"))
        try:
            with suppress(NotAllMade, StoppedBetween):
                write(folder)
        finally:
            if not (whole := (folder / NOTE).exists()):
                remove(folder)
        return folder if whole else None
    return None


def _tell(said: str) -> None:
    # past Python's own buffers, in which the signal may have come while they were written
    with suppress(OSError, ValueError):
        os.write(sys.stderr.fileno(), f"{said}\n".encode())
