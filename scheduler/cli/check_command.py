"""``raftway check``: read a book and say what is wrong, what is odd, and how it was understood."""

import json
from pathlib import Path
from typing import Any

import click

from scheduler.book.faults import BookFaults, Fault
from scheduler.cli.exits import FAULTY_BOOK
from scheduler.cli.opening import book_argument
from scheduler.cli.telling import mend
from scheduler.outputs.words import harmless, plain


@click.command(short_help="Check a book and plan nothing.", epilog="Example: raftway check my-farm")
@book_argument
@click.option("--json", "as_json", is_flag=True, help="Write everything as JSON, for other programs.")
@click.pass_context
def check(ctx: click.Context, book: Path, *, as_json: bool) -> None:
    """Check BOOK, a workbook or a folder of CSV tables, and plan nothing.

    Every fault goes to stderr with its table and cell. Without faults, what the places hold,
    how the crops are grown, and notes are printed.
    """
    try:
        told = _understood(book)
    except BookFaults as damaged:
        if as_json:
            _write_json({"faults": [_fault(fault) for fault in damaged.faults]})
        else:
            for fault in damaged.faults:
                click.echo(harmless(str(fault)), err=True)
            click.echo(mend(damaged, f" in {book}", "check again"), err=True)
        ctx.exit(FAULTY_BOOK)
    if as_json:
        _write_json({"faults": [], **told})
        return
    click.echo(f"{told['farm']}: no faults in the book")
    for line in (*told["water"], *_not_said(told), *told["crops"], *told["paces"]):
        click.echo(line)
    for note in told["notes"]:
        click.echo(f"Note: {note['place']}: {note['text']}")


def _not_said(told: dict[str, Any]) -> list[str]:
    """Return what places hold that the measures of the troughs do not say already."""
    return [line for line in told["holds"] if not any(said.startswith(f"{line},") for said in told["water"])]


def _understood(book: Path) -> dict[str, Any]:
    from scheduler.book.book import read_book
    from scheduler.farm.advice import advice
    from scheduler.farm.advice.light import describe_pace
    from scheduler.farm.build import build_farm
    from scheduler.farm.from_book.troughs import describe_troughs
    from scheduler.outputs.holds import grown, holds

    tables = read_book(book)
    farm = build_farm(tables)
    return {
        "farm": plain(farm.name),
        "water": [plain(line) for line in describe_troughs(tables)],
        "holds": holds(farm),
        "crops": grown(farm),
        "paces": [plain(line) for line in describe_pace(farm)],
        "notes": [
            {"place": str(note.place), "text": plain(note.text), "code": note.code}
            for note in advice(farm, tables)
        ],
    }


def _fault(fault: Fault) -> dict[str, str]:
    return {"place": str(fault.place), "found": fault.found, "expected": fault.expected, "code": fault.code}


def _write_json(told: dict[str, object]) -> None:
    click.echo(json.dumps(told, indent=1, ensure_ascii=False))
