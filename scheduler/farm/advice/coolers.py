"""Notes on coolers: crops that are not counted there, and crops that no cooler suits."""

from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.farm.coolers import coolers_for
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT

WARMEST = 20 * CENT
"""A cooler above this cools nothing, hundredths of a degree Celsius (an estimate)."""
FREEZING, DEGREE = 32, 1.8
"""Degrees Fahrenheit at which water freezes, and in one degree Celsius (definition of the scale)."""


def cooler_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of each crop whose heads cannot stand in the book's coolers, or take no place there."""
    if not farm.coolers:
        return
    for row, cooler in zip(book.rows("coolers"), farm.coolers, strict=True):
        if cooler.temperature > WARMEST:
            set_to = cooler.temperature / CENT
            text = (
                f"'{cooler.name}' is set to {set_to:g} °C; if that was read in degrees Fahrenheit, write "
                f"{(set_to - FREEZING) / DEGREE:.1f}"
            )
            yield Note(place=row.cell("temperature"), text=text, code="warm-cooler")
    products = {name for demand in farm.demands for name in demand.products}
    products |= {week.product for week in farm.outlets}
    sold = {crop for name in products for crop in farm.products[name].sources}
    for row in book.rows("crops"):
        crop = farm.crops[row.text("crop")]
        if crop.name not in sold:
            continue
        if crop.crating is None:
            text = f"neither row nor card says how '{crop.name}' is kept, so it takes no place in coolers"
            yield Note(place=row.cell("heads_per_crate"), text=text, code="not-crated")
        elif not coolers_for(crop.crating, farm.coolers):
            low, high = crop.crating.coldest / 100, crop.crating.warmest / 100
            text = (
                f"no cooler is at {low:g} to {high:g} °C, so '{crop.name}' is delivered on the day it is cut"
            )
            yield Note(place=row.cell("keep_to"), text=text, code="no-cooler")
