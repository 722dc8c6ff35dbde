"""``raftway record``: what was really done and counted, written into the farm's records."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.completing import kinds, of_book
from scheduler.cli.opening import book_argument, farm_of
from scheduler.cli.record_options import OPTIONS
from scheduler.cli.record_telling import done_of, tasks_of, told_of
from scheduler.cli.records_opening import (
    entries_of,
    first_day_after,
    log_of,
    now,
    opened_records,
    records_option,
    today,
)
from scheduler.cli.telling import as_wrong_use, typed
from scheduler.cli.values import DAY, PLAN
from scheduler.outputs.words import counted, harmless, plain

if TYPE_CHECKING:
    from scheduler.book.faults import Fault
    from scheduler.farm.farm import Farm
    from scheduler.records.entries import Logged
    from scheduler.records.recording import Judged
    from scheduler.records.store import Written

HELP = """Write what was done and counted into the records of BOOK, or look after them.

\b
WHAT is one of
  sown, germinated, thinned, moved, lost, culled, discarded, cut, delivered,
  treated, quarantined, closed, released
                    one entry, told by the options below
  done TASK         a task of --plan, as planned or as --counted
  planned DATE      all tasks of --plan through DATE of which nothing is
                    recorded, as planned
  sheet FILE        a filled-in task sheet of --plan: plan.xlsx or tasks.csv
  lines FILE        entries as lines of JSON; - reads another program's
  correct NUMBER    an entry that stands in for an earlier one
  withdraw NUMBER   an entry that takes an earlier one back; for NUMBER the
                    task will do, such as "sow BUT-260312"
  list              all entries, or those of --lot
  book DIR          a new book that begins --on DATE with what stands
  backup FILE, restore FILE
                    a copy of the records of this farm, made or put back

Entries go into a file beside the book, such as my-farm.records.sqlite. Nothing is overwritten. If one entry
cannot be, none is taken, and every fault is told with its place; of what went as planned, what can no longer
be is left out and named. What was recorded before is not taken twice. An entry may be told later, for an
earlier day, with --on.
"""


NAMES_OF = {
    "--crop": ("crops", "crop"),
    "--product": ("products", "product"),
    "--customer": ("orders", "customer"),
}
"""Option -> table and column of the book that have its names."""


def _with_options(command: Callable[..., Any]) -> Callable[..., Any]:
    for name, kind, text in reversed(OPTIONS):
        metavar = "DATE" if kind is DAY else "NUMBER" if kind is not str else "TEXT"
        variable = "RAFTWAY_WHO" if name == "--who" else None
        offered = of_book(*NAMES_OF[name]) if name in NAMES_OF else None
        command = click.option(
            name, type=kind, metavar=metavar, help=text, envvar=variable, shell_complete=offered
        )(command)
    return command


@click.command(
    help=HELP,
    short_help="Write down what was really done and counted.",
    epilog="Example: raftway record my-farm lost --lot BUT-260302 --plants 2 --who Ana",
)
@book_argument
@click.argument("what", nargs=-1, required=True, shell_complete=kinds)
@click.option("--on", "when", type=DAY, metavar="DATE", help="Day it was done.  [default: today]")
@_with_options
@click.option("--lifted", is_flag=True, help="Emptied rafts were lifted out past others.")
@click.option("--plan", type=PLAN, help="Folder of the plan.")
@click.option("--op", metavar="TEXT", help="A name for the entry; one that is known is not taken again.")
@records_option
@click.pass_context
def record(
    ctx: click.Context, /, book: Path, what: tuple[str, ...], records: str | None, **said: Any
) -> None:
    """Write entries, or look after the records, see HELP."""
    word, rest = what[0].lower(), what[1:]
    if word not in COMMANDS and word not in kinds_told():
        from scheduler.book.names import meant

        raise click.UsageError(
            f"'{word}' is nothing to record; expected {meant(word, [*kinds_told(), *COMMANDS], most=30)}"
        )
    if word not in WITH_NAME and rest:
        raise click.UsageError(f"{word} stands alone; leave out what follows it")
    if word in WITH_NAME and (len(rest) != 1 or not rest[0].strip()):
        named, such_as = WITH_NAME[word]
        raise click.UsageError(f"say {word} {named}, such as: raftway record {typed(book)} {word} {such_as}")
    if word in LOOKED_AFTER:
        LOOKED_AFTER[word](book, records, rest[0] if rest else "", said)
        return
    farm = farm_of(book)
    _write((book, records), farm, (word, rest[0] if rest else ""), said)


WITH_NAME = {
    "done": ("TASK, the key of a task", '"sow BAS-260305" --plan plan'),
    "planned": ("DATE", "2026-03-08 --plan plan"),
    "sheet": ("FILE", "plan.xlsx --plan plan"),
    "lines": ("FILE, or - for another program", "entries.jsonl"),
    "correct": ("NUMBER", "12 --plants 34"),
    "withdraw": ("NUMBER", "12"),
    "book": ("DIR", "next --on 2026-04-22"),
    "backup": ("FILE", "copy.sqlite"),
    "restore": ("FILE", "copy.sqlite"),
}
"""Word -> what follows it, and an example of that."""

COMMANDS = (*WITH_NAME, "list")


def kinds_told() -> tuple[str, ...]:
    """Return the kinds of entries that can be told."""
    from scheduler.records.drafts import NEEDS
    from scheduler.records.entries import WITHDRAWN

    return tuple(kind for kind in NEEDS if kind != WITHDRAWN)


def _write(
    at: tuple[Path, str | None], farm: "Farm", asked: tuple[str, str], said: Mapping[str, Any]
) -> None:
    """Judge and write entries, and say what became of them."""
    from scheduler.outputs.happened.words import RULES_DECIDE
    from scheduler.records.doubts import doubts, misspelt_customers, told_alike
    from scheduler.records.recording import judge, judge_what_can_be
    from scheduler.records.state import replay
    from scheduler.records.store import Stamp

    entries, source = told_of(farm, at, asked, said)
    (book, where), day = at, today()
    left_out: list[Fault] = []

    def judged(log: "Sequence[Logged]") -> "Judged":
        if asked[0] == "planned":
            found, left_out[:] = judge_what_can_be(farm, log, entries, day)
            return found
        with _told_with_count(farm, log, asked, said):
            return judge(farm, log, entries, day)

    with opened_records(book, where, make=False) as before:
        if before is None:
            judged(())  # what is refused makes no records
    with opened_records(book, where, make=True) as records:
        assert records is not None
        done = records.append(farm.name, judged, Stamp(written=now(), source=source))
        log = records.read()
    new = [each for each in log if done.first and done.first <= each.number <= done.last]
    _say_done(done, len(new))
    _say_left_out(left_out, farm, log, said)
    if any(each.entry.what in ("treated", "quarantined", "released") for each in new):
        click.echo(RULES_DECIDE)
    numbered = [(each.number, each.entry) for each in log]
    numbers = {each.number for each in new}
    odd = [*told_alike(numbered, numbers), *misspelt_customers(farm, numbered, numbers)]
    for line in [*odd, *doubts(farm, replay(numbered, day), day)] if new else ():
        click.echo(plain(line), err=True)


@contextmanager
def _told_with_count(
    farm: "Farm", log: "Sequence[Logged]", asked: tuple[str, str], said: Mapping[str, Any]
) -> Iterator[None]:
    """Let what is refused of a task say how much of it there is."""
    from scheduler.book.faults import BookFaults
    from scheduler.records.there import with_count

    word, name = asked
    try:
        yield
    except BookFaults as refused:
        if word != "done":
            raise
        raise with_count(refused, tasks_of(farm, said), log, done_of(name, said), today()) from None


def _say_done(done: "Written", new: int) -> None:
    """Say how many entries are new, how many were known, and that the clock is behind."""
    if new:
        numbers = str(done.first) if done.first == done.last else f"{done.first} to {done.last}"
        click.echo(f"Recorded {_entries(new)}: {numbers}")
    else:
        click.echo("Nothing new to record.")
    if done.known:
        click.echo(f"{done.known:,} recorded before")
    if done.clock_behind:
        click.echo(
            f"The clock of this computer is behind: the last entry was written {done.clock_behind}", err=True
        )


def _say_left_out(
    faults: "Sequence[Fault]", farm: "Farm", log: "Sequence[Logged]", said: Mapping[str, Any]
) -> None:
    """Name what was left out of tasks as planned, and how much of a delivery there is."""
    from scheduler.records.there import what_is_there

    if not faults:
        return
    for fault in faults:
        click.echo(harmless(f"Left out: {fault}"), err=True)
    for key, most in what_is_there(tasks_of(farm, said), log, faults, today()).items():
        click.echo(harmless(f"Of '{key}' {most:,} are there: record done '{key}' --counted {most}"), err=True)
    tasks = counted(len({fault.place for fault in faults}), "task")
    click.echo(
        f"{tasks} left out: record what was done instead, if anything; raftway replan plans without them",
        err=True,
    )


def _list(book: Path, where: str | None, _name: str, said: Mapping[str, Any]) -> None:
    from scheduler.book.names import lot_meant
    from scheduler.outputs.happened.words import INSET, log_lines
    from scheduler.outputs.screen import wrapped

    farm = farm_of(book)
    log, lot = log_of(book, where, farm), said["lot"] or ""
    lots = [each.entry.lot for each in log if each.entry.lot]
    if lot and lots and lot not in lots:
        raise click.UsageError(f"no lot '{lot}' in the records; {lot_meant(lot, [*dict.fromkeys(lots)])}")
    lines = [wrapped(line, INSET) for line in log_lines(farm, log, lot)]
    click.echo("\n".join(lines or ["Nothing is recorded."]))


def _new_book(book: Path, where: str | None, name: str, said: Mapping[str, Any]) -> None:
    from datetime import timedelta

    from scheduler.book.book import read_raw, typed_book
    from scheduler.cli.placing import check_free, is_workbook, place_folder
    from scheduler.farm.build import build_farm
    from scheduler.records.box_past import boxes_before
    from scheduler.records.entries import in_force
    from scheduler.records.next_book import Start, next_book
    from scheduler.records.state import replay

    folder = Path(name)
    if is_workbook(folder):
        raise click.UsageError("name a folder; raftway convert makes a workbook of it")
    check_free(folder)
    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    log = log_of(book, where, farm)
    if not log:
        raise click.UsageError("nothing is recorded yet: plan the book itself, which says what is growing")
    first = first_day_after(log, said["when"], today(), "--on")
    began = farm.calendar.first_day
    if first < began:
        raise click.UsageError(f"{first} lies before the book; say --on {began} or later")
    numbered = [(each.number, each.entry) for each in log]
    state = replay(numbered, first - timedelta(days=1))
    boxes = boxes_before(farm, (each.entry for each in in_force(numbered)), first)
    made = next_book(raw, farm, state, Start(first_day=first, boxes=boxes))
    place_folder(folder, made.files)
    click.echo(
        f"Written to {folder}: it begins on {first} with {counted(len(state.units), 'unit')} that stand"
    )
    for note in made.notes:
        click.echo(plain(note), err=True)
    click.echo(f"Look it over, then: raftway check {typed(folder)}")


def _backup(book: Path, where: str | None, name: str, _said: Mapping[str, Any]) -> None:
    from scheduler.book.faults import BookFaults
    from scheduler.outputs.happened.words import days_of
    from scheduler.records.backup import back_up

    try:
        farm = farm_of(book).name
    except BookFaults:
        farm = None  # what was recorded is worth keeping while a book is being mended
        note = f"Note: {book} has faults, so it was not looked whether these are its records"
        click.echo(harmless(f"{note}; raftway check {typed(book)} tells them"), err=True)
    with opened_records(book, where, make=False) as records:
        if records is None or not entries_of(records, book, farm):
            raise click.UsageError("nothing is recorded yet, so leave the backup until something is")
        back_up(records, Path(name), now())
    with opened_records(book, str(Path(name)), make=False) as copy:
        assert copy is not None
        whose, log = copy.farm(), copy.read()
    held = f"the records of {plain(whose or '')}, {_entries(len(log))} of {days_of(log)}"
    click.echo(f"Written to {name}: {held}, checked")


def _restore(book: Path, where: str | None, name: str, _said: Mapping[str, Any]) -> None:
    from scheduler.records.backup import restore, sound_copy
    from scheduler.records.complaints import RecordsFailed

    farm = farm_of(book)
    with opened_records(book, where, make=False) as before, as_wrong_use(RecordsFailed):
        if before is None:
            with sound_copy(Path(name), farm.name):
                pass  # what is refused makes no records
    with opened_records(book, where, make=True) as records:
        assert records is not None
        done = restore(records, Path(name), farm.name)
    click.echo(f"Restored {_entries(done.entries)} from {name}")
    if done.before is not None:
        click.echo(f"What stood there before is in {done.before}")


def _entries(number: int) -> str:
    return f"{number:,} {'entry' if number == 1 else 'entries'}"


LOOKED_AFTER: dict[str, Callable[[Path, str | None, str, Mapping[str, Any]], None]] = {
    "list": _list,
    "book": _new_book,
    "backup": _backup,
    "restore": _restore,
}
