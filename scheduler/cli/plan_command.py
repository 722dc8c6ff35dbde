"""``raftway plan``: from a book to a folder with the plan."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from scheduler.cli.exits import DONE, NO_PLAN, OUR_FAULT, SHORT, WHERE_TO_REPORT
from scheduler.cli.opening import DAY, book_argument, digest
from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan


@click.command(
    short_help="Plan a book and write the plan into a folder.",
    epilog="Example: raftway plan my-farm --out plan --seconds 120",
)
@book_argument
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, metavar="DIR", help="Folder for the plan."
)
@click.option(
    "--seconds", type=click.FloatRange(1, 86_400), default=60.0, show_default=True, help="Time to search."
)
@click.option(
    "--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Searches side by side."
)
@click.option(
    "--seed",
    type=click.IntRange(0, 2**31 - 1),
    default=1,
    show_default=True,
    help="Another one searches in another order.",
)
@click.option(
    "--today",
    type=DAY,
    metavar="DATE",
    help="Nothing is sown, moved or cut before it.  [default: the book's first day]",
)
@click.option(
    "--deterministic", is_flag=True, help="The same book and versions give the same plan; uses one worker."
)
@click.pass_context
def plan(ctx: click.Context, /, book: Path, out: Path, today: date | None, **search: Any) -> None:
    """Plan BOOK, a workbook or a folder of CSV tables, and write the plan into DIR.

    DIR gets tables/*.csv, tasks.ics for the crew's phones and plan.json. An older plan there is replaced;
    a folder that holds anything else is left alone. Ctrl-C keeps the best plan found so far.
    """
    from scheduler.book.book import read_book
    from scheduler.cli.progress import solve_watched
    from scheduler.farm.build import build_farm
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.folder import FolderRefused, check_target

    try:
        check_target(out)
        book_digest = digest(book)
        farm = build_farm(read_book(book), today=today)
        found = solve_watched(farm, SolveSettings(**search)).plan
        if found is None:
            click.echo(
                "No plan was found in time; give it more with --seconds. Nothing was written.", err=True
            )
            ctx.exit(NO_PLAN)
        if _broken_rules(farm, found):
            ctx.exit(OUR_FAULT)
        _write_and_show(out, farm, found, book_digest)
    except FolderRefused as refused:
        raise click.UsageError(str(refused)) from None
    ctx.exit(SHORT if _is_short(found) else DONE)


def _broken_rules(farm: Farm, found: Plan) -> bool:
    """Judge the plan with code that never saw the solver, and say on stderr what it breaks."""
    from scheduler.plan.audit import audit, fault_lines

    faults = audit(farm, found)
    for line in fault_lines(faults):
        click.echo(line, err=True)
    if faults:
        click.echo(
            f"raftway has a fault of its own: its plan breaks these rules. {WHERE_TO_REPORT}", err=True
        )
    return bool(faults)


def _write_and_show(out: Path, farm: Farm, found: Plan, book_digest: str) -> None:
    from rich.console import Console

    from scheduler.outputs.csv_folder import write_plan
    from scheduler.outputs.summary import print_summary

    write_plan(out, found, farm, book_digest)
    print_summary(Console(), farm, found)
    click.echo(f"Written to {out}")


def _is_short(found: Plan) -> bool:
    """Say whether a firm delivery that a sowing could still reach is short."""
    return any(row.reported and row.firm and not row.target and row.state == "short" for row in found.demands)
