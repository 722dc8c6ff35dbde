"""Changes to beds: one more, one less."""

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import SERVICE, ended
from scheduler.scenario.tables import Line, Tables, day_text
from scheduler.scenario.troughs import GROWN_AT, drop_word, forget_place

SIZES = ("length", "width", "spacing", "row_spacing")
"""Columns that say how large a bed is; blank ones beside a number of positions."""


def add_bed(tables: Tables, change: Change) -> None:
    """Add a bed like another one: things grow in it as they do there."""
    like = _model(tables, change)
    name, crops = change.text("bed"), change.words("crops")
    cells = _size(change, like) | {
        "bed": name,
        "first_day": day_text(change.start),
        "last_day": day_text(change.day("to")),
    }
    keys = {} if like is None else {column: "like" for column in like.cells if column not in change.given}
    tables.add("beds", cells, change, keys | {"bed": "bed", "first_day": "from", "last_day": "to"})
    for crop in tables.lines("crops"):
        words = crop.words("beds")
        wanted = crop.text("crop") in crops if crops else like is not None and like.text("bed") in words
        if words and wanted:
            tables.write(crop, "beds", "; ".join([*words, name]), change.at("crops" if crops else "like"))
    for table in (*GROWN_AT, "loops") if like is not None else ():
        column = "part" if table == "loops" else "place"
        for line in tables.named(table, like.text("bed") if like else "", column):
            tables.add(table, line.cells | {column: name}, change, dict.fromkeys(line.cells, "like"))


def _model(tables: Tables, change: Change) -> Line | None:
    """Return the bed that a new one is like: the one named, else the first."""
    named = tables.named("beds", change.text("like")) if change.text("like") else tables.lines("beds")
    return next(iter(named), None)


def _size(change: Change, like: Line | None) -> dict[str, str]:
    """Return the cells of a new bed's size: a number of positions, or sides and spacing."""
    cells = {} if like is None else {name: text for name, text in like.cells.items() if name != "bed"}
    given = {key: decimal_text(number) for key in SIZES if (number := change.number(key)) is not None}
    positions = change.number("positions")
    if positions is not None:
        cells |= dict.fromkeys(SIZES, "") | {"positions": decimal_text(positions)}
    elif given:
        cells["positions"] = ""
    return cells | given


def remove_bed(tables: Tables, change: Change) -> None:
    """End the service of a bed, or take it out of the book with all that is said of it."""
    name = change.text("bed")
    (line,) = tables.named("beds", name)
    if not ended(tables, line, change, SERVICE):
        return
    drop_word(tables, change, "bed", "beds")
    forget_place(tables, name)
