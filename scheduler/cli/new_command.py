"""``raftway new``: a book to begin from."""

from datetime import date, timedelta
from pathlib import Path

import click

from scheduler.cli.telling import typed
from scheduler.cli.values import DAY, NEW
from scheduler.outputs.words import counted


@click.command(short_help="Write a starter book.", epilog="Example: raftway new my-farm.xlsx --units m")
@click.argument("path", type=NEW)
@click.option(
    "--units",
    type=click.Choice(["ft", "m"]),
    default="ft",
    show_default=True,
    help="Unit of length of the troughs.",
)
@click.option(
    "--first-day", type=DAY, metavar="DATE", help="First day of the plan.  [default: the next Monday]"
)
def new(path: Path, units: str, first_day: date | None) -> None:
    """Write a starter book to PATH: a workbook if it ends in .xlsx, else a folder of CSV tables.

    The book is that of a small invented farm. It can be planned as it is; change it, table by table, to
    yours. Nothing that exists is written over.
    """
    from scheduler.book.starter import starter
    from scheduler.cli.placing import check_free, place_book

    check_free(path)
    grids = starter(units, first_day or _next_monday())
    place_book(path, grids)
    click.echo(
        f"Written to {path}: {counted(len(grids), 'table')} of an invented farm. Change them to yours, then:"
    )
    click.echo(f"  raftway check {typed(path)}")
    click.echo(f"  raftway plan {typed(path)} --out plan")


def _next_monday() -> date:
    today = date.today()
    return today + timedelta(days=-today.weekday() % 7)
