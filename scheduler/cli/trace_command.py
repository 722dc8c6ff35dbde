"""``raftway trace``: lots followed back to their seed and forward to customers."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.opening import book_argument, farm_of
from scheduler.cli.placing import check_apart, check_replaceable
from scheduler.cli.records_opening import log_of, records_option
from scheduler.cli.values import NEW

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.farm.farm import Farm
    from scheduler.records.entries import Logged
    from scheduler.records.trace import Trace


@click.command(
    short_help="Follow a delivery, a lot or a seed lot through the records.",
    epilog="Example: raftway trace my-farm --lot BUT-260302 --html trace.html",
)
@book_argument
@click.option(
    "--delivery", metavar="NAME", help='A delivery, such as "HT-1 2026-04-21": back to its seed lots.'
)
@click.option("--lot", metavar="CODE", help="A lot: back to its seed and forward to customers.")
@click.option("--seed-lot", metavar="NAME", help="A lot of seed: forward to everyone who got some of it.")
@click.option("--html", type=NEW, metavar="FILE", help="Page to print.")
@click.option("--csv", "table", type=NEW, metavar="FILE", help="Table.")
@records_option
def trace(
    book: Path, html: Path | None, table: Path | None, records: str | None, **asked: str | None
) -> None:
    """Follow lots through the records of BOOK: who got what, from which lots, and what was done to these.

    Without --html and --csv it is listed on the screen. A page or table of a trace that stands in FILE is
    replaced; any other file is left alone. Local rules decide what must be kept and shown.
    """
    from scheduler.disk.whole import replace_file
    from scheduler.outputs.happened.trace_page import MARK, trace_html
    from scheduler.outputs.happened.trace_table import COLUMNS, trace_csv

    if sum(value is not None for value in asked.values()) != 1:
        raise click.UsageError("name one of --delivery, --lot and --seed-lot")
    check_apart(html, table)
    for path, mark in ((html, MARK), (table, ",".join(COLUMNS))):
        if path is not None:
            check_replaceable(path, mark)
    farm = farm_of(book)
    log = log_of(book, records, farm)
    found = _found(farm, log, asked)
    if html is not None:
        replace_file(html, trace_html(farm, found, max(each.written for each in log)).encode())
        click.echo(f"Written to {html}")
    if table is not None:
        replace_file(table, trace_csv(found))
        click.echo(f"Written to {table}")
    if html is None and table is None:
        _show(farm, found)


def _found(farm: "Farm", log: "Sequence[Logged]", asked: "dict[str, str | None]") -> "Trace":
    """Return what was asked for.

    Raises:
        click.UsageError: there is nothing of that name; the message says what there is.
    """
    from scheduler.book.names import lot_meant, meant
    from scheduler.records.trace import Untraced, trace_delivery, trace_lot, trace_seed_lot

    follow = {"delivery": trace_delivery, "lot": trace_lot, "seed_lot": trace_seed_lot}
    name, value = next((name, value) for name, value in asked.items() if value is not None)
    try:
        return follow[name](farm, log, value)
    except Untraced as untraced:
        near = lot_meant if name == "lot" else meant
        known = near(untraced.name, untraced.known) if untraced.known else "none is recorded yet"
        raise click.UsageError(f"no {untraced.what} '{untraced.name}' in the records; {known}") from None


def _show(farm: "Farm", found: "Trace") -> None:
    from scheduler.farm.dates import full_day
    from scheduler.outputs.happened.words import INSET, RULES_DECIDE, numbered
    from scheduler.outputs.screen import wrapped
    from scheduler.outputs.words import counted, plain
    from scheduler.plan.words import word_of_heads

    click.echo(f"Trace of {plain(found.asked)}")
    for lot, event in found.deliveries():
        entry = event.entry
        what = f"{counted(entry.heads or 0, word_of_heads(farm, lot.facts.crop))} of {plain(lot.facts.lot)}"
        delivery = f" ({plain(entry.delivery)})" if entry.delivery else ""
        click.echo(wrapped(f"  {full_day(entry.day)}: {plain(entry.customer)}, {what}{delivery}"))
    for lot in found.lots:
        seed = ", ".join(map(plain, lot.facts.seed_lots)) or "not recorded"
        click.echo(f"\n{wrapped(f'Lot {plain(lot.facts.lot)}, {plain(lot.facts.crop)}; seed lot {seed}')}")
        for event in lot.events:
            click.echo(wrapped(f"  {numbered(farm, event.number, event.entry)}", 2 + INSET))
    click.echo(f"\n{wrapped(RULES_DECIDE, 0)}")
