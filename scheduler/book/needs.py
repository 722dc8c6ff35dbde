"""Cells that another cell of the same row calls for, or forbids."""

from collections.abc import Callable, Mapping

from scheduler.book.faults import FaultLog
from scheduler.book.repeats import repeat_faults
from scheduler.book.rows import Row


def check_row(row: Row, log: FaultLog) -> None:
    """Check one row of any table; a row whose deciding cell was refused is not judged."""
    if row.table in CHECKS:
        CHECKS[row.table](row, log)


def _holes(row: Row, log: FaultLog) -> None:
    """All equipment but domes has cells or holes, and only trays have rows of them."""
    item = row.values.get("item")
    if item in ("tray", "board", "raft") and not row.is_given("holes"):
        what = "cells" if item == "tray" else "holes"
        log.add(row.cell("holes"), "a blank cell", f"how many {what} '{_name(row, 'name')}' has", "blank")
    if item in ("board", "raft", "dome") and row.is_given("rows"):
        log.add(row.cell("rows"), f"rows for a {item}", "blank: only trays are split by rows", "bad-rows")


def _change_amount(row: Row, log: FaultLog) -> None:
    """A change to another amount, or to so many times the usual one, says how much; others do not."""
    kind, cell = row.values.get("change"), row.cell("amount")
    if kind in ("skip", "pause") and row.is_given("amount"):
        log.add(cell, f"an amount for {kind}", "blank: nothing is delivered", "bad-change")
    elif kind in ("amount", "times") and not row.is_given("amount"):
        what = "the other amount" if kind == "amount" else "how many times the usual amount"
        log.add(cell, "a blank cell", what, "blank")


BOX_AMOUNTS = {"boxes": ("boxes", "half_boxes"), "times": ("times",)}
"""Change of a share -> the columns that say how many; the first must be filled."""


def _boxes_changed(row: Row, log: FaultLog) -> None:
    """Another number of boxes, or so many times the usual one, says how many; others do not."""
    kind = row.values.get("change")
    if not isinstance(kind, str):
        return
    own = BOX_AMOUNTS.get(kind, ())
    if own and not row.is_given(own[0]):
        what = "the other number of full boxes" if kind == "boxes" else "how many times the usual number"
        log.add(row.cell(own[0]), "a blank cell", what, "blank")
    for column in ("boxes", "half_boxes", "times"):
        if column not in own and row.is_given(column):
            expected = "blank: nothing is delivered" if not own else f"a blank cell: {own[0]} says how many"
            log.add(row.cell(column), f"{column} for {kind}", expected, "bad-change")


def _box_wish(row: Row, log: FaultLog) -> None:
    """Only a limit says how many times, and among how many boxes."""
    for column in ("times", "among_boxes"):
        if row.values.get("wish") == "at most" and not row.is_given(column):
            log.add(row.cell(column), "a blank cell", f"{column}, which 'at most' needs", "blank")
        elif row.values.get("wish") in ("favourite", "dislike", "never") and row.is_given(column):
            expected = "a blank cell: only 'at most' has one"
            log.add(row.cell(column), f"{column} for {row.values['wish']}", expected, "not-for-kind")


SUPPLY_CELLS = {
    "seed": ("crop", "the crop it is sown for", ("product", "per_unit"), "packaging"),
    "plugs": ("crop", "the crop they are plugs of", ("product", "per_unit"), "packaging"),
    "packaging": ("product", "the products packed in it", ("crop",), "seed"),
}
"""Kind of supply -> the cell it must have, what that is, the cells it may not have, and what has those."""


def _supplied(row: Row, log: FaultLog) -> None:
    """Seed and plugs have a crop and nothing of packaging; packaging has products and no crop."""
    kind, item = row.values.get("kind"), _name(row, "item")
    if not isinstance(kind, str):
        return
    must, expected, never, other = SUPPLY_CELLS[kind]
    if not row.is_given(must):
        log.add(row.cell(must), f"no {must} for '{item}'", expected, "blank")
    for column in never:
        if row.is_given(column):
            found = f"a {column} for '{item}', which is {kind}"
            log.add(row.cell(column), found, f"a blank cell: only {other} has one", "not-for-kind")


def _lit(row: Row, log: FaultLog) -> None:
    """Light comes through a cover or from lamps; lamps have flux and hours, or their light over the day."""
    flux, hours, whole = (row.is_given(name) for name in ("lamp_flux", "lamp_hours", "lamp_light"))
    if whole and (flux or hours):
        column = "lamp_flux" if flux else "lamp_hours"
        log.add(row.cell(column), f"{column} beside lamp_light", "one of the two ways alone", "two-ways")
    elif flux != hours:
        missing, there = ("lamp_hours", "lamp_flux") if flux else ("lamp_flux", "lamp_hours")
        log.add(row.cell(missing), "a blank cell", f"{missing} to go with {there}", "blank")
    if row.values.get("cover_percent") == 0 and not (whole or flux or hours):
        expected = "cover_percent above 0, or lamps: plants need some light"
        log.add(row.cell("cover_percent"), "no light", expected, "no-light")


def _sunny(row: Row, log: FaultLog) -> None:
    """A month has either sunshine or cloud."""
    _one_of(row, ("sunshine_percent", "cloud_percent"), log)


def _read(row: Row, log: FaultLog) -> None:
    """A temperature is of a month or of a date, and of water, air or both."""
    _one_of(row, ("month", "date"), log)
    if not row.is_given("water") and not row.is_given("air"):
        log.add(row.cell("water"), "a blank cell", "the temperature of water, of air or of both", "blank")


def _repeated(row: Row, log: FaultLog) -> None:
    """A chore comes again by a rule."""
    rule = row.values.get("rule")
    for fault in repeat_faults(rule) if isinstance(rule, str) else ():
        log.add(row.cell("rule"), fault.found, fault.expected, fault.code)


FOLLOWED = ("fish", "start_mass", "growth_percent", "harvest_weeks", "first_harvest")
"""What only fish have that are followed one by one."""


def _stocked(row: Row, log: FaultLog) -> None:
    """Of a tank either its yield is known, or its fish are: how many, and since when."""
    if row.is_given("yield_per_year"):
        for column in FOLLOWED:
            if row.is_given(column):
                found = f"{column} beside yield_per_year"
                log.add(
                    row.cell(column), found, "a blank cell: the tank is fed alike on every day", "two-ways"
                )
        return
    for column, expected in (("fish", "how many fish are stocked"), ("from", "the day they are stocked")):
        if not row.is_given(column):
            log.add(row.cell(column), "a blank cell", f"{expected}, or yield_per_year", "blank")
    if row.is_given("first_harvest") and not row.is_given("harvest_weeks"):
        expected = "the weeks from one harvest to the next, which first_harvest needs"
        log.add(row.cell("harvest_weeks"), "a blank cell", expected, "blank")


def _bed_size(row: Row, log: FaultLog) -> None:
    """A bed has a number of positions, or a size and a spacing to work it out from."""
    sizes = ("length", "width", "spacing")
    if row.is_given("positions"):
        for name in (*sizes, "row_spacing"):
            if row.is_given(name):
                log.add(row.cell(name), f"{name} beside positions", "one of the two ways alone", "two-ways")
        return
    for name in sizes:
        if not row.is_given(name):
            expected = f"{name} of '{_name(row, 'bed')}', or its positions"
            log.add(row.cell(name), "a blank cell", expected, "blank")


def _one_of(row: Row, columns: tuple[str, str], log: FaultLog) -> None:
    first, second = columns
    if row.is_given(first) and row.is_given(second):
        log.add(row.cell(second), f"{second} beside {first}", "one of the two alone", "two-ways")
    elif not row.is_given(first) and not row.is_given(second):
        log.add(row.cell(first), "a blank cell", f"{first} or {second}", "blank")


def _name(row: Row, column: str) -> str:
    value = row.values.get(column)
    return value if isinstance(value, str) else ""


CHECKS: Mapping[str, Callable[[Row, FaultLog], None]] = {
    "beds": _bed_size,
    "equipment": _holes,
    "order_changes": _change_amount,
    "box_changes": _boxes_changed,
    "box_wishes": _box_wish,
    "supplies": _supplied,
    "light": _lit,
    "sunshine": _sunny,
    "temperatures": _read,
    "chores": _repeated,
    "fish_tanks": _stocked,
}
