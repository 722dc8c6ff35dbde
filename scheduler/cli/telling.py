"""What is said when a command is used wrongly: what was found, what is allowed, and what to do next.

``Error: ...`` is always the last line; above it stand the usage and an example that works.
"""

import errno
import re
import shlex
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from scheduler.book.faults import BookFaults

OF_NUMBERS = {"integer": "whole number", "float": "number"}

NEXT = {
    errno.ENOENT: "see that the name is spelled right and that its folder is there",
    errno.EACCES: "name another file or folder, or ask its owner for the right to use it",
    errno.EPERM: "name another file or folder, or ask its owner for the right to use it",
    errno.EISDIR: "name a file",
    errno.ENOTDIR: "name a folder",
    errno.ENOSPC: "make room on the disk and try again",
    errno.EDQUOT: "make room on the disk and try again",
    errno.EFBIG: "make room on the disk, or ask for the right to write larger files",
    errno.EROFS: "name a place that may be written to",
    errno.ENAMETOOLONG: "give it a shorter name",
    errno.EBUSY: "close the program that uses it and try again",
}
"""What to do about a file that cannot be read or written."""


FULL = (errno.ENOSPC, errno.EDQUOT)

TEMPORARY = re.compile(r"(raftway-|openpyxl\.|tmp)[a-z0-9_]{8}")
"""Names of temporary files: of raftway's own, of workbooks that are written, and others."""

MORE_MEMORY = "close other programs, plan fewer weeks, or use a machine with more memory"


def show_wrong_use(error: click.ClickException) -> None:
    """Print on stderr how the command is used, an example, and what is wrong."""
    from scheduler.outputs.words import harmless

    if isinstance(error, click.exceptions.NoArgsIsHelpError):
        click.echo(error.format_message(), err=True)
        return
    context = error.ctx if isinstance(error, click.UsageError) else None
    if context is not None:
        click.echo(context.get_usage(), err=True)
        if context.command.epilog:
            click.echo(context.command.epilog, err=True)
        click.echo(f"Try '{context.command_path} --help' for help.\n", err=True)
    # names that a message tells may come from a file of somebody else
    click.echo(harmless(f"Error: {_message(error)}"), err=True)


def _message(error: click.ClickException) -> str:
    """Return what is wrong; of an option that takes a number, with the numbers it takes."""
    told = error.format_message()
    if extra := re.fullmatch(r"Got unexpected extra arguments? \((.*)\)", told, re.DOTALL):
        return (
            f"{extra[1]!r} is too much here; write a name that has blanks within quotation marks, "
            "and whatever else there is to say as an option"
        )
    if isinstance(error, click.MissingParameter) and error.ctx is not None and error.ctx.command.epilog:
        return f"{told.rstrip('.')}; the example above has one"
    kind = error.param.type if isinstance(error, click.BadParameter) and error.param is not None else None
    if not isinstance(kind, click.IntRange | click.FloatRange):
        return told
    noun = OF_NUMBERS["integer" if isinstance(kind, click.IntRange) else "float"]
    least, most = (f"{bound:,}" if bound is not None else "" for bound in (kind.min, kind.max))
    below = "below " if kind.max_open else ""
    allowed = f"from {least} to {below}{most}" if least and most else f"of at least {least}" if least else ""
    found = told.split(" is not ")[0].removesuffix(".0")
    return f"{found} is no {noun} {allowed}; write one".replace("  ", " ")


def next_after(error: OSError) -> str:
    """Return what to do about a file that could not be read or written."""
    return NEXT.get(error.errno or 0, "see that the file and its folder are there and may be used")


def outside(error: Exception) -> str | None:
    """Return what is said where a disk or the memory failed a command; None for any other error."""
    from scheduler.outputs.everything import NotAllMade

    if isinstance(error, NotAllMade):
        return _pages_outside(error.faults)
    if isinstance(error, MemoryError):
        return f"raftway cannot go on: not enough memory; {MORE_MEMORY}"
    if not isinstance(error, OSError) or not error.strerror:
        return None
    if _is_temporary(error):
        named = f"{error.filename}: " if error.filename else ""
        return f"raftway cannot go on: {named}{error.strerror}; {_elsewhere()}"
    if error.filename is not None:
        return f"{error.filename}: {error.strerror}; {next_after(error)}"
    # without a name, such as a full disk under the file that the terminal's output goes into
    if tempfile.tempdir and error.errno in FULL:
        room = f"room on the disk, or for temporary files in {tempfile.tempdir} (TMPDIR names another folder)"
        return f"raftway cannot go on: {error.strerror}; make {room}, and try again"
    return f"raftway cannot go on: {error.strerror}; {next_after(error)}"


def _pages_outside(faults: Mapping[str, BaseException]) -> str | None:
    """Return what is said of pages that disk or memory did not allow; None where any has another fault.

    Pages are written with the plan, so that it is a temporary file that the disk did not take.
    """
    if not all(isinstance(why, OSError | MemoryError) for why in faults.values()):
        return None
    told = "; ".join(
        f"{name}: {why.strerror if isinstance(why, OSError) else 'not enough memory'}"
        for name, why in faults.items()
    )
    without_memory = any(isinstance(why, MemoryError) for why in faults.values())
    return f"could not make {told}; {MORE_MEMORY if without_memory else _elsewhere()}"


def _is_temporary(error: OSError) -> bool:
    """Say whether it is a temporary file that could not be made, or that there is no folder for one."""
    if error.filename is None:
        return "temporary directory" in str(error.strerror)
    path = Path(error.filename)
    if tempfile.tempdir is None or Path(tempfile.tempdir) not in path.parents:
        return False
    first = path.relative_to(tempfile.tempdir).parts[0]
    there = Path(tempfile.tempdir).is_dir()
    return bool(TEMPORARY.fullmatch(first)) and (not there or error.errno != errno.ENOENT)


def _elsewhere() -> str:
    where = f" in {tempfile.tempdir}" if tempfile.tempdir else ""
    return f"make room for temporary files{where}, or name another folder for them with TMPDIR"


def typed(path: Path) -> str:
    """Return a path as it is typed in a command line: within quotation marks where it has blanks."""
    return shlex.quote(str(path))


def near(name: str, known: Sequence[str]) -> str:
    """Return ``; did you mean 'plan'?`` for a name that is like a known one, else nothing."""
    from difflib import get_close_matches

    hits = get_close_matches(name, known, n=1)
    return f"; did you mean '{hits[0]}'?" if hits else ""


def mend(damaged: "BookFaults", where: str = "", again: str = "try again") -> str:
    """Return the line below the faults of a book, a plan folder or entries: how many, and what to do."""
    count = len(damaged.faults)
    more = ", for more may show" if damaged.more_may_show else ""
    faults, them = ("fault", "it") if count == 1 else ("faults", "these")
    return f"{count:,} {faults}{where}; mend {them} and {again}{more}"


@contextmanager
def as_wrong_use(*refusals: type[Exception]) -> Iterator[None]:
    """Tell what refuses to go on, in its own words, as a command that is used wrongly.

    Raises:
        click.UsageError: one of ``refusals`` was raised.
    """
    try:
        yield
    except refusals as refused:
        raise click.UsageError(str(refused)) from None
