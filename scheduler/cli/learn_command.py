"""``raftway learn``: what the records show of days, germination and survival, beside the cards."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.opening import book_argument
from scheduler.cli.pages import show_page
from scheduler.cli.records_opening import log_of, records_option
from scheduler.cli.values import NEW
from scheduler.outputs.words import counted

if TYPE_CHECKING:
    from scheduler.book.grids import Grid
    from scheduler.book.raw import RawBook
    from scheduler.records.learned import Learned


@click.command(
    short_help="Show what the records say of days, germination and survival, beside the cards.",
    epilog="Example: raftway learn my-farm --csv learned.csv",
)
@book_argument
@click.option("--csv", "table", type=NEW, metavar="FILE", help="Write all of it as a table too.")
@click.option(
    "--accept",
    type=NEW,
    metavar="PATH",
    help="Write the book with the proposed figures, a workbook if PATH ends in .xlsx; the old one stays.",
)
@records_option
def learn(book: Path, table: Path | None, accept: Path | None, records: str | None) -> None:
    """Hold what the records of BOOK show of its crops against their cards, and propose figures.

    A proposed figure lies between the card and what was seen, so that a few odd batches never swing it: the
    card counts for ten batches. Nothing is changed unless --accept names a new book.
    """
    from scheduler.book.book import read_raw, typed_book
    from scheduler.cli.placing import check_apart, check_free, check_free_file, place_book, place_file
    from scheduler.farm.build import build_farm
    from scheduler.outputs.happened.learned_page import learned_csv, learned_page
    from scheduler.records.entries import in_force
    from scheduler.records.learned import learned
    from scheduler.records.state import replay

    check_apart(table, accept)
    if table is not None:
        check_free_file(table)
    if accept is not None:
        check_free(accept)
    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    numbered = [(each.number, each.entry) for each in log_of(book, records, farm)]
    told = learned(farm, in_force(numbered), replay(numbered))
    show_page(learned_page(farm.name, told))
    # all that may be refused is made before anything is written
    tables = _with_proposed(raw, told) if accept is not None else None
    if table is not None:
        place_file(table, learned_csv(told))
        click.echo(f"Written to {table}")
    if accept is not None and tables is not None:
        place_book(accept, tables)
        number = sum(each.proposed is not None for each in told)
        click.echo(f"Written to {accept}: {counted(number, 'figure')} from the records; the old book stays")


def _with_proposed(raw: "RawBook", told: "list[Learned]") -> "Mapping[str, Grid]":
    """Return the tables of the book with the proposed figures.

    Raises:
        click.UsageError: there are none.
    """
    from scheduler.records.accepted import with_proposed

    if all(each.proposed is None for each in told):
        raise click.UsageError("nothing is proposed yet; record more, and leave --accept out until then")
    return with_proposed(raw, told)
