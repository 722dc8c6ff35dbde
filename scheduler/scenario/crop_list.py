"""Changes to what is grown: a crop more, a crop less, or only some."""

from datetime import date

from scheduler.book.decimals import decimal_text
from scheduler.book.place import Cell
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import DAY
from scheduler.scenario.tables import Tables

OF_CROP = ("products", "sowing_windows", "supplies", "yield_curve")
"""Tables whose rows are about one crop."""

OF_PRODUCT = {
    "substitutes": ("product", "substitute"),
    "outlets": ("product",),
    "box_categories": ("product",),
    "box_wishes": ("product",),
    "box_past": ("product",),
}
"""Tables that do without a product -> their columns that name it; what was ordered of it is told instead."""


def add_crop(tables: Tables, change: Change) -> None:
    """Grow a crop and sell it as a product; it is sown from the day of the change."""
    crop, product = change.text("crop"), change.text("product")
    tables.add("crops", {"crop": crop, **change.columns}, change)
    packs = [line.text("pack") for line in tables.named("products", product)]
    plants, mass = change.number("plants_per_unit"), change.number("mass_per_unit")
    cells = {
        "product": product,
        "crop": crop,
        "pack": change.text("pack") or next((pack for pack in packs if pack), ""),
        "plants_per_unit": "" if plants is None else decimal_text(plants),
        "mass_per_unit": "" if mass is None else decimal_text(mass),
    }
    tables.add("products", cells, change)
    if change.start is not None:
        tables.add("sowing_windows", {"crop": crop, "from": change.start.isoformat()}, change)


def drop_crop(tables: Tables, change: Change) -> None:
    """Sow a crop no more, or take it out of the book."""
    _drop(tables, change, change.text("crop"), "crop")


def keep_crops(tables: Tables, change: Change) -> None:
    """Sow no other crop any more."""
    for crop in tables.names("crops"):
        if crop not in change.words("crops"):
            _drop(tables, change, crop, "crops")


def _drop(tables: Tables, change: Change, crop: str, key: str) -> None:
    if change.start is not None and change.start > tables.first_day:
        _stop_sowing(tables, change, crop, change.start - DAY)
        return
    sold = set(tables.names("products"))
    tables.drop(tables.named("crops", crop))
    for table in OF_CROP:
        tables.drop(tables.named(table, crop, "crop"))
    for product in sorted(sold - set(tables.names("products"))):
        _forget_product(tables, product, change.at(key))
    if not tables.lines("crops"):
        tables.log.add(change.at(key), "no crop left", "at least one that is grown", "no-crop")


def _forget_product(tables: Tables, product: str, at: Cell) -> None:
    """Take a product that nothing is grown for any more out of the tables that do without it."""
    for table, columns in OF_PRODUCT.items():
        for column in columns:
            tables.drop(tables.named(table, product, column))
    for line in tables.lines("supplies"):
        words = line.words("product")
        left = [word for word in words if word != product]
        if words and not left:
            tables.drop([line])
        elif len(left) < len(words):
            tables.write(line, "product", "; ".join(left), at)


def _stop_sowing(tables: Tables, change: Change, crop: str, last: date) -> None:
    """End every sowing window of a crop; one that has none gets one, for without any it is sown all year."""
    windows = tables.named("sowing_windows", crop)
    kept = [line for line in windows if (line.day("from") or tables.first_day) <= last]
    tables.drop(line for line in windows if line not in kept)
    if not kept:
        until = last if not windows else tables.first_day - DAY
        tables.add("sowing_windows", {"crop": crop, "to": until.isoformat()}, change, {"to": "from"})
    for line in kept:
        end = line.day("to")
        if end is None or end > last:
            tables.write(line, "to", last.isoformat(), change.at("from"))
