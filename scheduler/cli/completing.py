"""What a shell offers at the Tab key: names from the library, from a book, or from a plan folder.

Only the tables asked for are read, and a book or plan that cannot be read offers nothing: pressing Tab must
never wait long nor tell a fault.
"""

import csv
import os
from collections.abc import Callable, Iterable
from pathlib import Path

import click
from click.shell_completion import CompletionItem

Offered = list[CompletionItem[str]]
Completer = Callable[[click.Context, click.Parameter, str], Offered]

SHOWN = {
    "week": (),
    "today": (),
    "day": (),
    "crop": ("tables/lots.csv", "crop"),
    "customer": ("tables/demands.csv", "customer"),
    "share": ("tables/boxes.csv", "share"),
    "tier": ("tables/use.csv", "place"),
    "zone": ("tables/use.csv", "place"),
    "row": ("tables/use.csv", "place"),
    "lane": ("tables/use.csv", "place"),
    "bed": ("tables/use.csv", "place"),
    "lot": ("tables/lots.csv", "lot"),
    "short": (),
    "money": (),
}
"""Word of a question -> where a plan folder has the names it takes."""

ZONE = " boards"
"""What the name of every board zone ends in."""

BLANK_FOR_BASH = r"\\ "
"""The lines that click makes for bash take one of the two away."""

DRAWN = {"trough": ("troughs", "trough"), "shelf": ("shelves", "shelf")}
"""What is drawn by its name -> table and column of the book."""


def of_book(table: str, column: str) -> Completer:
    """Return what offers the names of a column of BOOK."""

    def offer(ctx: click.Context, _param: click.Parameter, begun: str) -> Offered:
        # an option that still lacks its value ends click's reading: what stood before it is then left over
        book = ctx.params.get("book") or next(iter(ctx.args), None)
        return _offered(_of_table(book, table, column), begun)

    return offer


def cards(_ctx: click.Context, _param: click.Parameter, begun: str) -> Offered:
    """Offer the cards of the crop library."""
    from crops.library import card_names

    return _offered(card_names(), begun)


def kinds(ctx: click.Context, _param: click.Parameter, begun: str) -> Offered:
    """Offer what can be recorded, as the first word."""
    from scheduler.cli.record_command import COMMANDS, kinds_told

    return [] if ctx.params.get("what") else _offered((*kinds_told(), *COMMANDS), begun)


def question(ctx: click.Context, _param: click.Parameter, begun: str) -> Offered:
    """Offer the words of a question about a plan, then the names its word takes, word by word."""
    said = ctx.params.get("question") or ()
    if not said:
        return _offered(SHOWN, begun)
    where = SHOWN.get(said[0])
    if not where or (folder := ctx.params.get("plan")) is None:
        return []
    before = " ".join([*said[1:], ""])
    names = _column(Path(folder) / where[0], where[1])
    if said[0] == "tier":
        shelves = _column(Path(folder) / "book" / "shelves.csv", "shelf")
        names = [name for name in names if name.rpartition(" ")[0] in shelves]
    elif said[0] == "zone":
        names = [name for name in names if name.endswith(ZONE)]
    return _offered([name[len(before) :] for name in names if name.startswith(before)], begun)


def drawn(ctx: click.Context, _param: click.Parameter, begun: str) -> Offered:
    """Offer the troughs, shelves, places or charts of a plan that can be drawn."""
    what, folder = ctx.params.get("what"), ctx.params.get("plan")
    if what == "chart":
        from scheduler.outputs.charts import CHARTS

        return _offered(CHARTS, begun)
    if folder is None:
        return []
    if what in DRAWN:
        return _offered(_of_table(Path(folder) / "book", *DRAWN[what]), begun)
    return _offered(_column(Path(folder) / "tables" / "use.csv", "place"), begun)


def _offered(names: Iterable[str], begun: str) -> Offered:
    """Return the names that go on from what was typed, each once, their blanks escaped for bash."""
    found = [name for name in dict.fromkeys(names) if name and name.startswith(begun)]
    if os.environ.get("_RAFTWAY_COMPLETE", "").startswith("bash"):
        found = [name.replace(" ", BLANK_FOR_BASH) for name in found]
    return [CompletionItem(name) for name in found]


def _of_table(book: object, table: str, column: str) -> list[str]:
    """Return the cells of a column of a book, a folder or a workbook."""
    if not isinstance(book, str | Path):
        return []
    path = Path(book)
    if path.is_dir():
        return _column(path / f"{table}.csv", column)
    from scheduler.book.book import read_raw

    try:
        grid = read_raw(path).tables.get(table)
    except Exception:  # whatever is wrong with it, the check tells it, not the Tab key
        return []
    if grid is None or column not in grid.heading.cells:
        return []
    place = grid.heading.cells.index(column) + 1
    return [row.cell(place) for row in grid.rows]


def _column(path: Path, column: str) -> list[str]:
    """Return the cells of a column of a CSV file; none where it cannot be read."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            return [(row.get(column) or "").strip() for row in csv.DictReader(file)]
    except (OSError, UnicodeError, csv.Error):
        return []
