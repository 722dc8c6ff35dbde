"""Changes to troughs: one more, wider, longer, none.

A row or slot that comes later stands in the book from the start and is closed up to the day before, so that
rows keep their names and everything the book says of them holds.
"""

import re
from fractions import Fraction
from itertools import count

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.sizes import usual_step, usual_widths
from scheduler.scenario.spans import DAY, SERVICE, ended
from scheduler.scenario.tables import Line, Tables, day_text

SIZES = ("width", "length", "raft_width", "raft_length", "lie")
GROWN_AT = ("pace", "light", "temperatures")
"""Tables that say of a place how fast things grow there."""


def add_trough(tables: Tables, change: Change) -> None:
    """Add a trough like another one."""
    holds = change.text("holds")
    new_trough(tables, change, change.text("trough"), holds)
    like = model_of(tables, change, holds)
    crops = change.words("crops")
    for crop in tables.lines("crops") if holds == "rafts" else ():
        words = crop.words("lanes")
        wanted = crop.text("crop") in crops if crops else like is not None and like.text("trough") in words
        if words and wanted:
            at = change.at("crops" if crops else "like")
            tables.write(crop, "lanes", "; ".join([*words, change.text("trough")]), at)


def new_trough(tables: Tables, change: Change, name: str, holds: str) -> None:
    """Write the row of a new trough, and say that things grow there as in the one it is like."""
    like = model_of(tables, change, holds)
    if like is None:
        return
    cells = {
        "trough": name,
        "holds": holds,
        "first_day": day_text(change.start),
        "last_day": day_text(change.day("to")),
    }
    for size in SIZES:
        given = change.number(size)
        said = change.text(size) if given is None else decimal_text(given)
        cells[size] = said or like.cells.get(size, "")
    keys = {
        "trough": "into" if change.kind == "move boards" else "trough",
        "first_day": "from",
        "last_day": "to",
    }
    tables.add("troughs", cells, change, keys)
    for table in GROWN_AT:
        for line in tables.named(table, like.text("trough"), "place"):
            tables.add(table, line.cells | {"place": name}, change, dict.fromkeys(line.cells, "like"))


def model_of(tables: Tables, change: Change, holds: str) -> Line | None:
    """Return the trough that a new one is like: the one named, else the first that holds the same."""
    asked = change.text("like") or next(iter(change.words("trough")), "")
    named = tables.named("troughs", asked) if asked else []
    lines = tables.lines("troughs")
    return next(iter([*named, *(line for line in lines if line.value("holds") == holds), *lines]), None)


def widen_trough(tables: Tables, change: Change) -> None:
    """Add rows beside those there are; they open on the day of the change."""
    (line,) = tables.named("troughs", change.text("trough"))
    unit, old = tables.setting("length_unit"), line.number_of("width")
    across, _ = _sides(line)
    wider = [width for width in usual_widths(unit) if width // across > old // across]
    new = change.number("width") or next(iter(wider), None)
    if _grows(tables, change, "width", (old, new, across)) and new is not None:
        tables.write(line, "width", decimal_text(new), change.at("width"))
        rows = range(old // across + 1, new // across + 1)
        close_before(tables, change, [f"{line.text('trough')} {row}" for row in rows])


def lengthen_trough(tables: Tables, change: Change) -> None:
    """Add slots to each row; they open on the day of the change."""
    (line,) = tables.named("troughs", change.text("trough"))
    unit, old = tables.setting("length_unit"), line.number_of("length")
    across, along = _sides(line)
    step = usual_step(unit)
    # so many usual steps that another raft goes in
    steps = next(number for number in count(1) if (old + number * step) // along > old // along)
    new = change.number("length") or old + steps * step
    if _grows(tables, change, "length", (old, new, along)):
        tables.write(line, "length", decimal_text(new), change.at("length"))
        names = [f"{line.text('trough')} {row}" for row in range(1, line.number_of("width") // across + 1)]
        close_before(tables, change, names, new // along - old // along)


def remove_trough(tables: Tables, change: Change) -> None:
    """End the service of a trough, or take it out of the book with all that is said of it."""
    name = change.text("trough")
    (line,) = tables.named("troughs", name)
    if not ended(tables, line, change, SERVICE):
        return
    drop_word(tables, change, "trough", "lanes")
    tables.drop(tables.named("board_zones", name))
    forget_place(tables, name)


def drop_word(tables: Tables, change: Change, key: str, column: str) -> None:
    """Take a place that is gone out of the places that crops may stand in; each must be left one."""
    name = change.text(key)
    for crop in tables.lines("crops"):
        words = crop.words(column)
        left = [word for word in words if not _is_of(name, word)]
        if words and not left:
            found = f"'{name}', the only {key} '{crop.text('crop')}' may stand in"
            what = "row" if key == "trough" else key
            expected = f"another change that gives the crop a {what}, or drops it"
            tables.log.add(change.at(key), found, expected, "only-place")
        elif left != words:
            tables.write(crop, column, "; ".join(left), change.at(key))


def forget_place(tables: Tables, name: str) -> None:
    """Take out what is said of the pace, light, temperatures, water and closures of a place that is gone."""
    for table in (*GROWN_AT, "closures"):
        tables.drop(line for line in tables.lines(table) if _is_of(name, line.text("place")))
    tables.drop(tables.named("loops", name, "part"))


def close_before(tables: Tables, change: Change, places: list[str], slots: int | None = None) -> None:
    """Keep places, or some slots of each, closed up to the day before the change."""
    start, first = change.start, tables.first_day
    if start is None or start <= first:
        return
    for place in places:
        cells = {
            "from": day_text(first),
            "to": day_text(start - DAY),
            "work": "none",
            "place": place,
            "slots": "" if slots is None else str(slots),
            "note": f"not there before {start}",
        }
        tables.add("closures", cells, change, {"to": "from"})


def _grows(
    tables: Tables, change: Change, key: str, sizes: tuple[Fraction, Fraction | None, Fraction]
) -> bool:
    """Say whether a new size takes more rafts than the old one; else it is a fault."""
    old, new, raft = sizes
    unit = tables.setting("length_unit")
    least = decimal_text((old // raft + 1) * raft)
    what = "row" if key == "width" else "slot"
    if new is None:
        expected = f"a {key}, {least} {unit} or more: no usual one takes another row"
        tables.log.add(change.at(key), "a blank cell", expected, "blank")
    elif new // raft <= old // raft:
        found = f"{decimal_text(new)} {unit}, which takes no {what} more than the "
        found += f"{decimal_text(old)} {unit} there are"
        tables.log.add(change.at(key), found, f"{least} {unit} or more", "no-larger")
    return new is not None and new // raft > old // raft


def _sides(line: Line) -> tuple[Fraction, Fraction]:
    """Return the sides of a raft that lie across the trough and along it."""
    short, long = sorted(line.number_of(name) for name in ("raft_width", "raft_length"))
    return (short, long) if line.value("lie") == "along" else (long, short)


def _is_of(name: str, place: str) -> bool:
    """Say whether a place is a shelf or trough or a part of it."""
    return place == name or re.fullmatch(re.escape(name) + r" ([0-9]+|boards)", place) is not None
