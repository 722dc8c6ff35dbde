"""``raftway convert``: a book from one form into the other."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.opening import book_argument
from scheduler.cli.values import NEW
from scheduler.outputs.words import counted

if TYPE_CHECKING:
    from scheduler.book.grids import Grid


@click.command(
    short_help="Turn a workbook into CSV tables, or back.",
    epilog="Example: raftway convert my-farm my-farm.xlsx",
)
@book_argument
@click.argument("path", type=NEW)
def convert(book: Path, path: Path) -> None:
    """Turn BOOK into the other form at PATH: a workbook if PATH ends in .xlsx, else a folder of CSV tables.

    Every cell is carried over as it is, also one that a check would refuse; formulas become their values.
    A book that cannot be read whole is not converted, and nothing that exists is written over.
    """
    from scheduler.book.book import read_raw
    from scheduler.book.grids import grids_of
    from scheduler.cli.placing import check_free, is_workbook, place_book

    to_workbook = is_workbook(path)
    if to_workbook is book.is_file():
        raise click.UsageError(
            f"{book} and {path} are both {'workbooks' if to_workbook else 'folders'}; "
            f"name {'a folder' if to_workbook else 'a workbook (.xlsx)'} to turn it into the other form"
        )
    check_free(path)
    grids = grids_of(read_raw(book))
    place_book(path, grids)
    click.echo(f"Written to {path}: {_told(grids)}")


def _told(grids: "Mapping[str, Grid]") -> str:
    rows = sum(len(grid.rows) for grid in grids.values())
    return f"{counted(len(grids), 'table')} with {counted(rows, 'row')}"
