"""``raftway plan``: from a book to a folder with the plan."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from scheduler.cli.exits import DONE, SHORT
from scheduler.cli.opening import book_argument
from scheduler.cli.searching import search_options, settings_of
from scheduler.cli.telling import as_wrong_use, typed
from scheduler.cli.values import DAY, NEW, TIME_OF_DAY, Number
from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan

MANY_TASKS = 50_000
"""From more tasks than this on, what follows a search takes minutes."""


@click.command(
    short_help="Plan a book and write the plan into a folder.",
    epilog="Example: raftway plan my-farm --out plan --seconds 120",
)
@book_argument
@click.option("--out", type=NEW, required=True, metavar="DIR", help="Folder for the plan.")
@click.option(
    "--today",
    type=DAY,
    metavar="DATE",
    help="Nothing is sown, moved or cut before it.  [default: the book's first day]",
)
@click.option(
    "--alarm",
    type=TIME_OF_DAY,
    metavar="HH:MM",
    help="Phones of the crew ring then for each day's tasks.  [default: never]",
)
@search_options(
    "Time to search.",
    "Another one searches in another order.",
    "The same book and versions give the same plan; uses one worker.",
)
@click.option(
    "--memory",
    type=Number(0.25, 1024),
    metavar="GB",
    help="End with the best plan so far before more memory is taken.  [default: no limit]",
)
@click.pass_context
def plan(
    ctx: click.Context, /, book: Path, out: Path, today: date | None, alarm: int | None, **search: Any
) -> None:
    """Plan BOOK, a workbook or a folder of CSV tables, and write the plan into DIR.

    DIR gets report.html and labels.html to print, plan.xlsx, tasks.ics and calendars/*.ics for phones,
    tables/*.csv, a copy of the book, and plan.json. An older plan there is replaced; a folder that holds
    anything else is left alone. Ctrl-C keeps the best plan found so far.
    """
    from scheduler.book.book import read_raw, typed_book
    from scheduler.book.plain_copy import book_copy
    from scheduler.cli.judging import check_own, end_without_plan
    from scheduler.cli.keeping import keeping, write_found
    from scheduler.cli.progress import solve_watched
    from scheduler.farm.build import build_farm
    from scheduler.outputs.everything import Edition, Way, write_plan
    from scheduler.outputs.folder import FolderRefused, check_target
    from scheduler.plan.shortage import is_short_in_reach

    with as_wrong_use(FolderRefused):
        check_target(out)
        raw = read_raw(book)
        farm = build_farm(typed_book(raw), today=today)
        copy = book_copy(raw)
        with keeping() as keeper:
            settings = settings_of(search)
            outcome = solve_watched(farm, settings)
            found = outcome.plan
            if found is None:
                end_without_plan(settings, without_memory=outcome.without_memory)
            if len(found.tasks) > MANY_TASKS:
                click.echo(
                    f"{len(found.tasks):,} tasks are checked, printed and written; this takes minutes",
                    err=True,
                )
            check_own(farm, found)
            edition, way = Edition(alarm_minutes=alarm), Way(since=out, page=keeper.page)
            write_found(out, lambda folder: write_plan(folder, farm, found, copy, edition, way))
            _show(out, farm, found, "--seconds or --memory" if settings.memory else "--seconds")
    ctx.exit(SHORT if is_short_in_reach(farm, found) else DONE)


def _show(out: Path, farm: Farm, found: Plan, more: str) -> None:
    from rich.console import Console

    from scheduler.outputs.summary import print_summary

    print_summary(Console(), farm, found)
    for line in written(out, farm, found, more):
        click.echo(line)


def written(out: Path, farm: Farm, found: Plan, more: str = "--seconds") -> list[str]:
    """Return the last lines of a plan: where it is, and what to do next; ``more`` of what may fill more."""
    return [
        f"Written to {out}: open report.html there in a browser, or ask it with raftway show {typed(out)}",
        *what_fills(out, farm, found, more),
    ]


def what_fills(out: Path, farm: Farm, found: Plan, more: str = "--seconds") -> list[str]:
    """Return a line on what would fill the rest, ``more`` time or what else; none where all is filled."""
    from scheduler.plan.shortage import fillable

    if fillable(farm, found):
        return [f"More {more} may fill more; raftway explain {typed(out)} says what else would"]
    if any(row.reported and row.state != "filled" for row in found.demands):
        return [
            f"No more --seconds fill what is left; raftway explain {typed(out)} says what would, "
            "such as an earlier start, another harvest day or a longer sowing window"
        ]
    return []
