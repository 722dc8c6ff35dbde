"""Notes on measures that look as if they were given in another unit than the book's."""

from collections.abc import Iterator
from math import ceil

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog, Note
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.figures import GRAMS
from scheduler.farm.from_book.troughs import measure_troughs
from scheduler.farm.units import MM_PER, SQUARE_MM_PER_M2

SMALLEST_RAFT, LARGEST_RAFT = 0.15, 4.0
"""Square metres of one raft or board that people lift by hand: 0.6 by 1.2 m is usual (estimate)."""

LARGEST_TROUGH = 3_000
"""Square metres of one trough (estimate)."""

MOST_TRAYS = 50
"""Open trays that one unit of a product may take, a case for instance (estimate)."""

DOUBT = "; are its measures in another unit than the length_unit of the settings?"


def size_notes(book: Book) -> Iterator[Note]:
    """Tell of rafts that nobody could lift or that hold hardly a plant, and of troughs as large as fields."""
    unit = book.settings.text("length_unit")
    for trough in measure_troughs(book, FaultLog()).values():
        row = trough.row
        area = float(trough.raft_area)
        if not SMALLEST_RAFT <= area <= LARGEST_RAFT:
            short, long = (f"{float(row.number_of(name)):g}" for name in ("raft_width", "raft_length"))
            text = f"a raft of {short} by {long} {unit} covers {area:.2g} m²{DOUBT}"
            yield Note(place=row.cell("raft_width"), text=text, code="odd-raft")
        water = float(row.number_of("width") * row.number_of("length") * MM_PER[unit] ** 2 / SQUARE_MM_PER_M2)
        if water > LARGEST_TROUGH:
            wide, long = (f"{float(row.number_of(name)):g}" for name in ("width", "length"))
            text = f"'{trough.name}' of {wide} by {long} {unit} covers {water:,.0f} m²{DOUBT}"
            yield Note(place=row.cell("width"), text=text, code="odd-trough")


def weight_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of products of which one unit takes the trays of a whole nursery."""
    unit = book.settings.text("mass_unit")
    for row in book.rows("products"):
        crop, mass = farm.crops[row.text("crop")], row.number_or_none("mass_per_unit")
        if mass is None or not (crop.is_cut_in_trays and crop.grams):
            continue
        trays = ceil(mass * GRAMS[unit] / crop.grams)
        if trays > MOST_TRAYS:
            text = (
                f"one unit of '{row.text('product')}' weighs {float(mass):g} {unit}, what {trays:,} trays of "
                f"'{crop.name}' give at a cut; is it in another unit than the mass_unit of the settings?"
            )
            yield Note(place=row.cell("mass_per_unit"), text=text, code="odd-mass")
