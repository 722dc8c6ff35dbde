"""``raftway trace``: lots followed back to their seed and forward to customers."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.opening import book_argument
from scheduler.cli.placing import check_free
from scheduler.cli.records_opening import farm_of, log_of, records_option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.farm.farm import Farm
    from scheduler.records.entries import Logged
    from scheduler.records.trace import Trace


@click.command(
    short_help="Follow a delivery, a lot or a seed lot through the records.",
    epilog="Example: raftway trace my-farm --lot BUT-260302 --html trace.html --csv trace.csv",
)
@book_argument
@click.option(
    "--delivery", metavar="NAME", help='A delivery, such as "HT-1 2026-04-21": back to its seed lots.'
)
@click.option("--lot", metavar="CODE", help="A lot: back to its seed and forward to customers.")
@click.option("--seed-lot", metavar="NAME", help="A lot of seed: forward to everyone who got some of it.")
@click.option(
    "--html", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE", help="Page to print."
)
@click.option(
    "--csv", "table", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE", help="Table."
)
@records_option
def trace(
    book: Path, html: Path | None, table: Path | None, records: str | None, **asked: str | None
) -> None:
    """Follow lots through the records of BOOK: who got what, from which lots, and what was done to these.

    Without --html and --csv it is listed on the screen. A page or table of a trace that stands in FILE is
    replaced; any other file is left alone. Local rules decide what must be kept and shown.
    """
    from scheduler.outputs.happened.trace_page import MARK, trace_html
    from scheduler.outputs.happened.trace_table import COLUMNS, trace_csv

    if sum(value is not None for value in asked.values()) != 1:
        raise click.UsageError("name one of --delivery, --lot and --seed-lot")
    for path, mark in ((html, MARK), (table, ",".join(COLUMNS))):
        if path is not None:
            _check_file(path, mark)
    farm = farm_of(book)
    log = log_of(book, records, farm)
    found = _found(farm, log, asked)
    if html is not None:
        _replace(html, trace_html(farm, found, max(each.written for each in log)).encode())
        click.echo(f"Written to {html}")
    if table is not None:
        _replace(table, trace_csv(found).encode())
        click.echo(f"Written to {table}")
    if html is None and table is None:
        _show(farm, found)


def _found(farm: "Farm", log: "Sequence[Logged]", asked: "dict[str, str | None]") -> "Trace":
    """Return what was asked for.

    Raises:
        click.UsageError: there is nothing of that name; the message says what there is.
    """
    from scheduler.book.names import meant
    from scheduler.records.trace import Untraced, trace_delivery, trace_lot, trace_seed_lot

    follow = {"delivery": trace_delivery, "lot": trace_lot, "seed_lot": trace_seed_lot}
    name, value = next((name, value) for name, value in asked.items() if value is not None)
    try:
        return follow[name](farm, log, value)
    except Untraced as untraced:
        known = meant(untraced.name, untraced.known) if untraced.known else "none is recorded yet"
        raise click.UsageError(f"no {untraced.what} '{untraced.name}' in the records; {known}") from None


def _show(farm: "Farm", found: "Trace") -> None:
    from scheduler.outputs.happened.words import RULES_DECIDE, day_in_words, entry_in_words
    from scheduler.outputs.words import counted, plain
    from scheduler.plan.words import word_of_heads

    click.echo(f"Trace of {plain(found.asked)}")
    for lot, event in found.deliveries():
        entry = event.entry
        what = f"{counted(entry.heads or 0, word_of_heads(farm, lot.facts.crop))} of {plain(lot.facts.lot)}"
        delivery = f" ({plain(entry.delivery)})" if entry.delivery else ""
        click.echo(f"  {day_in_words(entry.day)}: {plain(entry.customer)}, {what}{delivery}")
    for lot in found.lots:
        seed = ", ".join(map(plain, lot.facts.seed_lots)) or "not recorded"
        click.echo(f"\nLot {plain(lot.facts.lot)}, {plain(lot.facts.crop)}; seed lot {seed}")
        for event in lot.events:
            click.echo(
                f"  {event.number:>5}  {event.entry.day.isoformat()}  {entry_in_words(farm, event.entry)}"
            )
    click.echo(f"\n{RULES_DECIDE}")


def _check_file(path: Path, mark: str) -> None:
    """Make sure that a file may be written: new, or a trace written before.

    Raises:
        click.UsageError: something else is there, or the folder may not be written to.
    """
    if path.is_file() and not path.is_symlink():
        with path.open("rb") as file:
            if mark.encode() in file.read(len(mark) + 1000):
                return
    check_free_file(path)


def check_free_file(path: Path) -> None:
    """Make sure that a file may be made.

    Raises:
        click.UsageError: something is there, or its folder may not be written to.
    """
    if path.is_symlink() or path.exists():
        raise click.UsageError(f"{path} is there already; name another, for nothing is written over it")
    check_free(path.with_suffix(""))


def _replace(path: Path, contents: bytes) -> None:
    """Write the file in one step, so that an older one is whole until then."""
    new = path.with_name(f".{path.name}.new-{os.getpid()}")
    try:
        new.write_bytes(contents)
        new.replace(path)
    finally:
        new.unlink(missing_ok=True)
