"""Seed and packaging of a book, ready to be ordered."""

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.build_demands import cents
from scheduler.farm.supplies import PACKAGING, SEED, Supply
from scheduler.farm.units import MILLI

PERCENT = 100


def build_supplies(book: Book, log: FaultLog) -> tuple[Supply, ...]:
    """Return what is ordered, in the order of the book; what is wrong goes to the log."""
    rows = book.rows("supplies")
    _check_crops_once(rows, log)
    for row in rows:
        _check_what_for(row, log)
    return tuple(_supply(row) for row in rows)


def _check_crops_once(rows: tuple[Row, ...], log: FaultLog) -> None:
    """Refuse two seeds for one crop: it would not be clear which of them a sowing takes."""
    cells: dict[str, Cell] = {}
    for row in rows:
        crop, cell = row.text("crop"), row.cell("crop")
        if crop in cells:
            expected = f"one row for each crop ({cells[crop]} has it)"
            log.add(cell, f"a second seed for '{crop}'", expected, "double-seed")
        elif crop:
            cells[crop] = cell


def _check_what_for(row: Row, log: FaultLog) -> None:
    """Seed has a crop and nothing of packaging; packaging has products and no crop."""
    item, is_seed = row.text("item"), row.text("kind") == SEED
    must, expected, never = (
        ("crop", "the crop it is sown for", ("product", "per_unit"))
        if is_seed
        else ("product", "the products packed in it", ("crop",))
    )
    if not row.is_given(must):
        log.add(row.cell(must), f"no {must} for '{item}'", expected, "blank")
    for column in never:
        if row.is_given(column):
            other = PACKAGING if is_seed else SEED
            found = f"a {column} for '{item}', which is {row.text('kind')}"
            log.add(row.cell(column), found, f"a blank cell: only {other} has one", "not-for-kind")


def _supply(row: Row) -> Supply:
    return Supply(
        item=row.text("item"),
        kind=row.text("kind"),
        crop=row.text("crop"),
        products=row.words("product"),
        per_unit=row.number_of("per_unit") * MILLI // 1,
        in_stock=row.whole("in_stock"),
        pack_size=row.whole("pack_size"),
        least_packs=row.whole("least_packs"),
        lead_days=row.whole("lead_days"),
        spare=-(-row.number_of("spare_percent") * PERCENT // 1),
        price=cents(row.number_of("price")),
        order_days=row.weekdays("order_days"),
    )
