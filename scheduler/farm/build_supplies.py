"""Seed and packaging of a book, ready to be ordered."""

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.supplies import Supply
from scheduler.farm.units import MILLI, cents

PERCENT = 100


def build_supplies(book: Book, log: FaultLog) -> tuple[Supply, ...]:
    """Return what is ordered, in the order of the book; what is wrong goes to the log."""
    rows = book.rows("supplies")
    _check_crops_once(rows, log)
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
