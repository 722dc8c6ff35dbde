"""``raftway readings``: what instruments exported, looked through, drawn, and put into a new book."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.opening import book_argument
from scheduler.cli.values import LOG, NEW

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.book.reading_map import ReadingMap
    from scheduler.book.readings import Doubt, Reading


@click.command(
    short_help="Look through exported readings of the water.",
    epilog="Example: raftway readings my-farm log.csv --svg water.svg --out my-farm-read",
)
@book_argument
@click.argument("files", nargs=-1, required=True, type=LOG)
@click.option("--svg", type=NEW, metavar="FILE", help="Draw the readings into a new file (.svg).")
@click.option(
    "--out",
    type=NEW,
    metavar="BOOK",
    help="Write a new book with the temperatures of each day; the old one stays as it is.",
)
def readings(book: Path, files: tuple[Path, ...], svg: Path | None, out: Path | None) -> None:
    """Read FILES, exports of pH, conductivity, temperature and oxygen, as BOOK says in reading_columns.

    What is wild, doubled, missing or out of order is told by row; wild values are left out, and days outside
    what the crops bear are told. Water and air of each day go into the temperatures of a new book, from
    which pace and heat follow. No order of the files and rows is needed.
    """
    from scheduler.book.book import read_raw, typed_book
    from scheduler.book.reading_map import reading_map
    from scheduler.cli.placing import check_apart, check_free, check_free_file, place_book, place_file
    from scheduler.farm.from_book.readings import sift
    from scheduler.outputs.readings.screen import reading_lines
    from scheduler.outputs.screen import wrapped

    check_apart(svg, out)
    if svg is not None:
        check_free_file(svg)
        if svg.suffix.lower() != ".svg":
            raise click.UsageError(f"{svg}: name a file that ends in .svg for the drawing")
    if out is not None:
        check_free(out)
    raw = read_raw(book)
    typed = typed_book(raw)
    found, doubts = _read(files, reading_map(typed))
    sifted = sift(found, files[0].name if len(files) == 1 else "files")
    for line in reading_lines(typed, sifted, [*doubts, *sifted.doubts]):
        click.echo(wrapped(line))
    if svg is not None:
        from scheduler.outputs.readings.chart import readings_chart

        place_file(svg, readings_chart(sifted).encode())
        click.echo(f"Written to {svg}")
    if out is not None:
        from scheduler.book.grids import grids_of
        from scheduler.outputs.readings.new_book import with_temperatures
        from scheduler.outputs.words import counted

        grids, number = with_temperatures(grids_of(raw), sifted)
        place_book(out, grids)
        click.echo(f"Written to {out}: temperatures of {counted(number, 'day')}")


def _read(files: "Iterable[Path]", mapped: "ReadingMap") -> "tuple[list[Reading], list[Doubt]]":
    """Return the readings of all files, and the rows that are doubtful.

    Raises:
        BookFaults: with the fault of every file that is no export, or lacks a column.
    """
    from scheduler.book.faults import BookFaults, FaultLog
    from scheduler.book.readings import LARGEST, parse_readings

    found, doubts, log = [], [], FaultLog()
    for path in files:
        with path.open("rb") as file:
            # one byte more than is taken says enough of a file that is too large
            data = file.read(LARGEST + 1)
        try:
            of_file, doubtful = parse_readings(data, path.name, mapped)
        except BookFaults as damaged:
            log.extend(damaged.faults)
            continue
        found += of_file
        doubts += doubtful
    log.raise_if_any()
    return found, doubts
