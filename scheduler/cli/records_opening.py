"""Steps that the commands about records share: where they are kept, whose they are, what time it is."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from scheduler.cli.telling import as_wrong_use

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.records.entries import InForce, Logged
    from scheduler.records.store import Records

Command = TypeVar("Command", bound=Callable[..., Any])
RECORDS = "RAFTWAY_RECORDS"


def records_option(command: Command) -> Command:
    """Add ``--records``: a file or the address of a database."""
    return click.option(
        "--records",
        metavar="WHERE",
        envvar=RECORDS,
        help="File of the records, or postgresql://...  [default: a file beside the book]",
    )(command)


def now() -> str:
    """Return the time by the clock of this computer, UTC as text."""
    from scheduler.records.drafts import utc_text

    return utc_text(datetime.now(UTC))


def today() -> date:
    """Return the date by the clock of this computer."""
    return date.today()


def first_day_after(log: "Sequence[Logged]", asked: date | None, usual: date, option: str) -> date:
    """Return the first day of what goes on from the records: as asked, else the usual one or a later one.

    Args:
        log: all entries; closures may be told ahead, and are not asked, nor what is withdrawn.
        asked: the day that was asked for, None for none.
        usual: the day unless one is asked for.
        option: the option that asks for one, for messages.

    Raises:
        click.UsageError: there are entries of that day or later ones.
    """
    from scheduler.records.entries import CLOSED, in_force

    holding = in_force((each.number, each.entry) for each in log)
    latest = max((each for each in holding if each.entry.what != CLOSED), key=_day_of, default=None)
    if latest is None:
        return asked or usual
    last, after = latest.entry.day, latest.entry.day + timedelta(days=1)
    first = asked or max(usual, after)
    if first <= last:
        raise click.UsageError(
            f"there are entries of {last}: say {option} {after} or later; the last is entry {latest.number}, "
            f"and where its day is mistyped, raftway record BOOK correct {latest.number} --on DATE mends it"
        )
    return first


def _day_of(entry: "InForce") -> date:
    return entry.entry.day


@contextmanager
def opened_records(book: Path, where: str | None, *, make: bool) -> "Iterator[Records | None]":
    """Open the records of a book, and let go of them afterwards; None where there are none yet.

    Raises:
        click.UsageError: they cannot be read or written; the message says why.
    """
    from scheduler.records.complaints import RecordsFailed
    from scheduler.records.store import beside, opened

    with as_wrong_use(RecordsFailed):
        records = opened(where or str(beside(book)), now(), make=make)
        try:
            yield records
        finally:
            if records is not None:
                records.close()


def log_of(book: Path, where: str | None, farm: "Farm", *, begun: bool = True) -> "tuple[Logged, ...]":
    """Return all entries of a book's records; none where nothing was recorded yet.

    ``begun`` says that something should have been: a name under which there is nothing is then told.

    Raises:
        click.UsageError: they cannot be read, or are those of another farm.
    """
    from scheduler.outputs.words import harmless
    from scheduler.records.store import shown

    with opened_records(book, where, make=False) as records:
        if records is None:
            if where and begun:
                told = harmless(
                    f"Note: nothing is recorded in {shown(where)} yet; see that its name is right"
                )
                click.echo(told, err=True)
            return ()
        return entries_of(records, book, farm.name)


def entries_of(records: "Records", book: Path, farm: str | None) -> "tuple[Logged, ...]":
    """Return all entries of the records that were opened for a book; ``farm`` is None where it tells none.

    Raises:
        click.UsageError: they are those of another farm.
    """
    known = records.farm()
    if None not in (known, farm) and known != farm:
        raise click.UsageError(
            f"{records.name} holds the records of '{known}', and {book} is of '{farm}'; "
            "name its own by --records"
        )
    return records.read()
