"""``raftway compare``: a book as it is beside the same book with changes."""

import os
import re
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.exits import DONE, OUR_FAULT
from scheduler.cli.opening import book_argument
from scheduler.cli.searching import effort_told, search_options, settings_of
from scheduler.cli.values import DAY, NEW, SCENARIO
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.cli.candidates import Candidate
    from scheduler.model.settings import SolveSettings
    from scheduler.plan.carried import Kept
    from scheduler.plan.views.compared import Comparison

HELP = """Compare BOOK as it is with the same book after changes.

A scenario is a small file in TOML with named changes: a trough, shelf or tier more, other boards,
other crops, more orders, each from a day on. Every farm has the same seconds and the same workers,
one farm after the other unless --at-once or --cluster says otherwise; every plan is held against
every farm. --out writes compare.html, compare.xlsx and the changed books.

\b
  name = "East trough"
  from = 2026-06-01
  [[change]]
  do = "add trough"
  trough = "East trough"
  cost = 4200
"""


def _list_kinds(ctx: click.Context, _parameter: click.Parameter, wanted: bool) -> None:
    """Print every kind of change with its keys, and end."""
    if not wanted or ctx.resilient_parsing:
        return
    from scheduler.outputs.screen import wrapped
    from scheduler.scenario.kinds import told_kinds

    click.echo("\n".join(map(wrapped, told_kinds())))
    ctx.exit(DONE)


@click.command(
    help=HELP,
    short_help="Compare a book with what changes would bring.",
    epilog="Example: raftway compare my-farm --with east.toml --out compared",
)
@book_argument
@click.option(
    "--with",
    "files",
    multiple=True,
    type=SCENARIO,
    metavar="FILE",
    help="A scenario; give it several times for several farms.",
)
@click.option(
    "--change",
    "changes",
    multiple=True,
    metavar="TOML",
    help='A change in one line, such as \'do = "widen trough", trough = "North trough"\'.',
)
@click.option(
    "--kinds",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_list_kinds,
    help="List every kind of change with its keys, and end.",
)
@click.option(
    "--against",
    metavar="NAME",
    help="Hold the others against this scenario, such as higher orders.  [default: the book as it is]",
)
@click.option("--together", is_flag=True, help="Compare all scenarios at once as well.")
@click.option("--out", type=NEW, metavar="DIR", help="New folder for the page, the workbook and the books.")
@click.option(
    "--today", type=DAY, metavar="DATE", help="Nothing new is done before it.  [default: the first day]"
)
@click.option(
    "--at-once",
    type=click.IntRange(1, 256),
    default=1,
    show_default=True,
    help="Farms planned at once, by processes of this machine; each with all its --workers.",
)
@click.option("--cluster", metavar="ADDRESS", help="A dask scheduler to plan the farms instead, as in sweep.")
@search_options(
    "Time to search, for each farm.",
    "Order of the search.",
    "Same books and versions, same plans; one worker.",
)
def compare(
    book: Path,
    files: tuple[Path, ...],
    changes: tuple[str, ...],
    out: Path | None,
    **rest: Any,
) -> None:
    """Plan a book and its changes, and show them side by side."""
    from rich.console import Console

    from scheduler.book.book import read_raw
    from scheduler.cli.candidates import candidates, held_against, read_scenarios
    from scheduler.cli.keeping import ANSWER, keeping
    from scheduler.cli.placing import check_free, place_folder
    from scheduler.outputs.compare.screen import print_comparison

    if out is not None:
        check_free(out)
    scenarios = read_scenarios(files, changes, all_at_once=rest["together"])
    found = held_against(candidates(read_raw(book), scenarios, rest["today"]), rest["against"])
    for each in found:
        for note in each.notes:
            click.echo(plain(f"Note: {note.place}: {note.text}"), err=True)
    settings, at_once, cluster_at = settings_of(rest), rest["at_once"], rest["cluster"]
    shared = _shared_out(at_once, cluster_at, settings)
    # searches of other processes are not asked to end, so there Ctrl-C ends at once
    here = at_once == 1 and not cluster_at
    with keeping(ANSWER) if here else nullcontext():
        comparison = _compared(found, _planned(found, settings, None if here else (cluster_at, at_once)))
        print_comparison(Console(), comparison)
        if out is not None:
            place_folder(out, _files(comparison, found, _effort(settings, shared)))
            click.echo(f"Written to {out}")


def _planned(
    found: Sequence["Candidate"], settings: "SolveSettings", elsewhere: tuple[str | None, int] | None
) -> dict[str, "Kept"]:
    """Return the best plan of each farm, found here or by a cluster or so many processes.

    Raises:
        click.UsageError: nobody does the work.
        click.exceptions.Exit: a farm has no plan, or one that breaks a rule; it was told on stderr.
    """
    from scheduler.cli.executor import executor_of, trouble_told
    from scheduler.cli.judging import end_without_plan
    from scheduler.cli.side_by_side import NoPlan, Unsound, best_plans

    try:
        with trouble_told():
            return best_plans(found, settings, executor_of(*elsewhere) if elsewhere else None)
    except NoPlan as none:
        several = elsewhere is not None and not elsewhere[0]
        end_without_plan(without_memory=none.without_memory, fewer="--at-once" if several else "")
    except Unsound:
        raise click.exceptions.Exit(OUR_FAULT) from None


def _compared(found: Sequence["Candidate"], kept: dict[str, "Kept"]) -> "Comparison":
    from scheduler.plan.views.compared import Case, compared

    cases = []
    for each in found:
        scenario = each.scenario
        start = scenario.start if scenario else None
        cases.append(
            Case(
                name=each.name,
                farm=each.farm,
                plan=kept[each.name].plan,
                start=max(each.farm.today, each.farm.calendar.day_of(start)) if start else each.farm.today,
                cost=scenario.cost if scenario else 0,
                cost_per_week=scenario.cost_per_week if scenario else 0,
                found_on=kept[each.name].of,
                changed=scenario is not None,
                least=kept[each.name].least,
            )
        )
    return compared(cases)


def _shared_out(at_once: int, cluster_at: str | None, settings: "SolveSettings") -> str:
    """Return in words who plans the farms; note on stderr what would make their effort uneven."""
    if cluster_at:
        return "by the workers of a cluster"
    if at_once == 1:
        return "one farm after the other"
    cores = os.cpu_count() or 1
    needed = at_once * (1 if settings.deterministic else settings.workers)
    if needed > cores and not settings.deterministic:
        click.echo(
            f"Note: {at_once} farms at once with {settings.workers} searches each want {needed} cores, and "
            f"there are {cores}: each gets less than its seconds, and the last ones more than the others. "
            "Give --at-once 1, or fewer --workers.",
            err=True,
        )
    return f"{at_once} farms at once"


def _effort(settings: "SolveSettings", shared: str) -> str:
    """Return in words how every farm was planned."""
    from scheduler import __version__

    workers = 1 if settings.deterministic else settings.workers
    searches = "one search" if workers == 1 else f"{workers} searches side by side"
    return (
        f"Each farm was planned for {effort_told(settings)} with {searches}, {shared}, "
        f"seed {settings.seed}, by raftway {__version__}."
    )


def _files(comparison: "Comparison", found: Sequence["Candidate"], made: str) -> dict[str, bytes]:
    """Return page, workbook, and the changed books, each in a folder of its own."""
    from scheduler.book.plain_copy import book_copy
    from scheduler.outputs.compare.page import compare_html
    from scheduler.outputs.compare.workbook import compare_workbook

    changes = [
        [change.told for change in each.scenario.changes] if each.scenario else [] for each in found[1:]
    ]
    first = found[0].scenario
    if first is not None:
        told = "; ".join(change.told for change in first.changes)
        made = f"'{first.name}', which the others are held against: {told}. {made}"
    files = {
        "compare.html": compare_html(comparison, changes, made).encode(),
        "compare.xlsx": compare_workbook(comparison, changes),
    }
    changed = [each for each in found if each.scenario is not None]
    for number, each in enumerate(changed, start=1):
        folder = f"books/{number}-{_slug(each.name)}"
        files |= {f"{folder}/{name}": contents for name, contents in book_copy(each.raw).items()}
    return files


def _slug(name: str) -> str:
    """Return a name as part of a folder's name."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:40] or "farm"
