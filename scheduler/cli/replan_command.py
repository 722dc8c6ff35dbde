"""``raftway replan``: from what really stands to a new plan that changes as little as it must."""

import math
import threading
from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.exits import DONE, SHORT
from scheduler.cli.opening import book_argument, check_same_farm
from scheduler.cli.pages import show_page
from scheduler.cli.records_opening import first_day_after, log_of, records_option, today
from scheduler.cli.searching import search_options, settings_of
from scheduler.cli.telling import as_wrong_use, typed
from scheduler.cli.values import DAY, NEW, PLAN, TIME_OF_DAY
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.book.raw import RawBook
    from scheduler.farm.farm import Farm
    from scheduler.outputs.everything import Way
    from scheduler.outputs.saved import Saved
    from scheduler.plan.rows import Plan
    from scheduler.records.entries import Logged
    from scheduler.records.next_book import NextBook


@click.command(
    short_help="Plan again from what really stands, changing as little as it must.",
    epilog="Example: raftway replan my-farm --plan plan --today 2026-04-22",
)
@book_argument
@click.option(
    "--plan",
    type=PLAN,
    required=True,
    metavar="DIR",
    help="Folder of the plan so far.",
)
@click.option(
    "--out",
    type=NEW,
    metavar="DIR",
    help="Folder for the new plan.  [default: that of the plan so far, which is kept under a dated name]",
)
@click.option(
    "--today",
    "day",
    type=DAY,
    metavar="DATE",
    help="First day that is planned; what is recorded before it counts.  [default: today]",
)
@click.option(
    "--weeks", type=click.IntRange(1, 156), help="Weeks to plan from then.  [default: to the same last day]"
)
@records_option
@click.option(
    "--alarm", type=TIME_OF_DAY, metavar="HH:MM", help="Phones of the crew ring then.  [default: as before]"
)
@search_options(
    "Longest time to search once the plan before is read in, or as long as that takes if it is more; it ends "
    "sooner when nothing is shorter than before.",
    "Another one searches in another order.",
    "The same book, records, plan and versions give the same plan; uses one worker.",
    usual=8.0,
)
@click.pass_context
def replan(
    ctx: click.Context, /, book: Path, plan: Path, out: Path | None, day: date | None, **options: Any
) -> None:
    """Plan BOOK again from what stands by its records, beginning from the plan in --plan.

    Work of the first days (freeze_days in the settings of the book) stays as planned while it can be done.
    Lots, rafts and deliveries stay as they are unless something would be short otherwise. What changed is
    told, and stands in the report and in tables/changes.csv of the new folder. Phones get updates, not a
    second set of entries. BOOK itself is only read: the new folder has the book that was planned.
    """
    from scheduler.plan.collecting import nothing_collected

    with nothing_collected():
        _replan(ctx, book, plan, out, (day, options))


def _replan(
    ctx: click.Context, book: Path, plan: Path, out: Path | None, told: tuple[date | None, dict[str, Any]]
) -> None:
    from scheduler.cli.judging import check_own
    from scheduler.cli.keeping import keeping, write_found
    from scheduler.outputs.everything import Way
    from scheduler.outputs.folder import FolderRefused, check_target
    from scheduler.outputs.saved import note_of
    from scheduler.plan.shortage import is_short_in_reach

    target, (day, options) = out or plan, told
    with as_wrong_use(FolderRefused):
        # what is no plan, or a damaged one, is told as that, and not as a folder that may not be replaced
        note_of(plan)
        check_target(target)
        start = _start(book, plan, options["records"], (day, options["weeks"]))
        with keeping() as keeper:
            found, tried_all = _searched(start, options)
            check_own(start.farm, found)
            # what changed is told at once: pages of a large plan take longer than finding it
            _show(start.farm, found)
            way = Way(since=plan, page=keeper.page)

            def write(folder: Path) -> None:
                kept = _kept(plan, start.saved) if out is None and folder == plan else None
                _write(folder, start, found, way, options["alarm"])
                if kept:
                    click.echo(f"The plan before is kept in {kept}")

            write_found(target, write)
            fills = _what_fills(target, start.farm, found, tried_all=tried_all)
            click.echo("\n".join([f"Written to {target}", *fills]))
    ctx.exit(SHORT if is_short_in_reach(start.farm, found) else DONE)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Start:
    """What a new plan begins from.

    Attributes:
        raw, farm: the book that begins with what stands, and its farm.
        saved: the plan so far.
        before: its rows, in the days of the new farm.
        overdue: keys of its tasks that were due and of which nothing is recorded.
    """

    raw: "RawBook"
    farm: "Farm"
    saved: "Saved"
    before: "Plan"
    overdue: Collection[str]


def _start(book: Path, plan: Path, where: str | None, days: tuple[date | None, int | None]) -> _Start:
    """Read book, records and plan, and tell on stderr what the new book cannot say.

    Raises:
        BookFaults: the book has faults, or the plan folder is damaged.
        click.UsageError: the records are those of another farm, or go on after the first day.
    """
    from scheduler.book.book import read_raw, typed_book
    from scheduler.farm.build import build_farm
    from scheduler.outputs.saved import open_saved
    from scheduler.plan.earlier import in_days_of

    saved = open_saved(plan)
    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    check_same_farm(plan, saved.farm.name, farm.name)
    log = log_of(book, where, farm)
    first = _first_day(log, days[0], saved)
    made = _next_book((raw, farm), log, saved, (first, days[1]))
    for note in made.notes:
        click.echo(plain(note), err=True)
    farm = build_farm(typed_book(made.raw))
    return _Start(
        raw=made.raw,
        farm=farm,
        saved=saved,
        before=in_days_of(farm, saved.farm, saved.plan),
        overdue=_overdue(saved, log, first),
    )


def _next_book(
    old: "tuple[RawBook, Farm]", log: "tuple[Logged, ...]", saved: "Saved", begins: tuple[date, int | None]
) -> "NextBook":
    """Return the book that begins on a day, for so many weeks, with what stands by the records."""
    from scheduler.records.entries import in_force
    from scheduler.records.next_book import next_book, start_after
    from scheduler.records.state import replay

    raw, farm = old
    numbered = [(each.number, each.entry) for each in log]
    known = (each.entry for each in in_force(numbered))
    start = start_after(farm, known, (saved.farm, saved.plan), begins)
    return next_book(raw, farm, replay(numbered, start.first_day - timedelta(days=1)), start)


def _overdue(saved: "Saved", log: "tuple[Logged, ...]", first: date) -> frozenset[str]:
    """Return the keys of tasks of the plan so far that were due by then and of which nothing is recorded."""
    from scheduler.records.compare import not_recorded
    from scheduler.records.tasks import Tasks

    day = saved.farm.calendar.day_of(first) - 1
    due = not_recorded(Tasks(saved.farm, saved.plan), [each.entry for each in log], day)
    return frozenset(task.key for task in due)


def _first_day(log: "tuple[Logged, ...]", day: date | None, saved: "Saved") -> date:
    """Return the first day of the new plan.

    Raises:
        click.UsageError: nothing is recorded, or there are entries of that day, or the plan begins later.
    """
    if not log:
        raise click.UsageError(
            "nothing is recorded yet: raftway record tells what was done, raftway plan plans a book"
        )
    first = first_day_after(log, day, today(), "--today")
    began = saved.farm.calendar.first_day
    if first < began:
        raise click.UsageError(f"{first} lies before the plan so far; say --today {began} or later")
    return first


def _what_fills(target: Path, farm: "Farm", found: "Plan", *, tried_all: bool) -> list[str]:
    """Return a line on what would fill the rest; where all was tried for what is newly short it says so."""
    from scheduler.cli.plan_command import what_fills
    from scheduler.plan.shortage import fillable

    in_reach = {row.demand for row in fillable(farm, found)}
    if tried_all and any(row.change == "newly short" and row.item in in_reach for row in found.changes):
        return [
            "The search ended before its time: nothing it can change fills more of what is newly short; "
            f"raftway explain {typed(target)} says what else would"
        ]
    return what_fills(target, farm, found)


def _searched(start: _Start, options: dict[str, Any]) -> tuple["Plan", bool]:
    """Search, watched; return the plan and whether there was nothing more to try.

    Raises:
        click.exceptions.Exit: there is no plan; it was told on stderr.
    """
    from scheduler.cli.judging import end_without_plan
    from scheduler.cli.progress import Tell, watched
    from scheduler.model.again.replan import Again, plan_again
    from scheduler.plan.changes import changes
    from scheduler.plan.earlier import earlier

    settings = settings_of(options)

    def search(tell: Tell, stop: threading.Event) -> Again:
        return plan_again(start.farm, earlier(start.before), settings, tell, stop)

    # its seconds begin only once the plan before stands: how many are left of all is not known
    again = watched(search, replace(settings, seconds=math.inf))
    found = again.plan
    if found is None:
        end_without_plan(without_memory=again.without_memory)
    told = tuple(changes(start.farm, start.before, found, start.overdue))
    return replace(found, changes=told), again.tried_all


def _kept(plan: Path, saved: "Saved") -> Path:
    """Keep a copy of the plan so far under the day on which it began."""
    from scheduler.outputs.folder import keep_copy

    began = saved.farm.date_of(saved.farm.today)
    named = plan.absolute()
    kept, number = named.with_name(f"{named.name}-{began}"), 1
    while kept.exists() or kept.is_symlink():
        number += 1
        kept = named.with_name(f"{named.name}-{began}-{number}")
    keep_copy(plan, kept)
    return kept


def _write(target: Path, start: _Start, found: "Plan", way: "Way", alarm: int | None) -> None:
    from scheduler.book.plain_copy import book_copy
    from scheduler.outputs.everything import Edition, write_plan

    if alarm is None:
        alarm = Edition.of_note(start.saved.note).alarm_minutes
    write_plan(target, start.farm, found, book_copy(start.raw), Edition(alarm_minutes=alarm), way)


def _show(farm: "Farm", found: "Plan") -> None:
    from scheduler.outputs.happened.changes_page import changes_page

    show_page(changes_page(farm, found))
