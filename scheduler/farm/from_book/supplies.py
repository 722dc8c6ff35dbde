"""Seed and packaging of a book, ready to be ordered."""

from collections.abc import Mapping

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.crops import Crop
from scheduler.farm.supplies import Supply
from scheduler.farm.units import MILLI, cents, hundredths_up


def build_supplies(book: Book, crops: Mapping[str, Crop], log: FaultLog) -> tuple[Supply, ...]:
    """Return what is ordered, in the order of the book; what is wrong goes to the log."""
    rows = book.rows("supplies")
    _check_crops_once(rows, log)
    for row in rows:
        crop = crops.get(row.text("crop"))
        wanted = "plugs" if crop and crop.bought else "seed"
        if crop and row.text("kind") != wanted:
            begins = "bought in as plugs" if crop.bought else "sown"
            found = f"{row.text('kind')} for '{crop.name}', which is {begins}"
            log.add(row.cell("kind"), found, wanted, "not-for-kind")
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
        spare=hundredths_up(row.number_of("spare_percent")),
        price=cents(row.number_of("price")),
        order_days=row.weekdays("order_days"),
    )
