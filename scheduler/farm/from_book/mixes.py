"""Mixes of a book: products made of several crops by weight."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from fractions import Fraction

from crops.library import card
from scheduler.book.book import Book
from scheduler.book.decimals import decimal_text
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.crops import Crop
from scheduler.farm.farm import MixPart, Product
from scheduler.farm.units import CENT, MILLI, WHOLE_SHARE, ceil_div, hundredths_up

BY_MASS = "by mass"
"""Stands for the card of a crop of which grams are cut, one of which weighs one."""

MOST_PARTS = 8
"""Parts of one mix: what is asked of a unit grows with every choice of them."""


def build_mixes(book: Book, crops: Mapping[str, Crop], log: FaultLog) -> dict[str, Product]:
    """Return every mix by name; what is wrong goes to the log."""
    of_mix: dict[str, list[Row]] = defaultdict(list)
    plain = {row.text("product") for row in book.rows("products")}
    for row in book.rows("recipes"):
        name = row.text("product")
        if name in plain:
            log.add(row.cell("product"), f"'{name}', which is in products", "another name", "double-name")
        of_mix[name].append(row)
    cards = {row.text("crop"): row.text("card") for row in book.rows("crops")}
    cards |= dict.fromkeys((name for name, crop in crops.items() if crop.is_sold_by_mass), BY_MASS)
    return {name: _mix(name, rows, cards, log) for name, rows in of_mix.items()}


def _mix(name: str, rows: list[Row], cards: dict[str, str], log: FaultLog) -> Product:
    parts, seen = [], set()
    for row in rows:
        crop = row.text("crop")
        if crop in seen:
            log.add(row.cell("crop"), f"'{crop}' again for '{name}'", "each part once", "double-source")
            continue
        seen.add(crop)
        parts.append(_part(row, crop, cards.get(crop, ""), log))
    if len(parts) > MOST_PARTS:
        log.add(rows[MOST_PARTS].cell("crop"), f"{len(parts)} parts", f"at most {MOST_PARTS}", "many-parts")
    _check_shares(name, rows, parts, log)
    weight = _alike(rows, "grams", name, log)
    if weight is None:
        log.add(rows[0].cell("grams"), "a blank cell", f"the weight of one unit of '{name}'", "blank")
    hundredths = hundredths_up(weight or Fraction(1))
    pack = next((row.text("pack") for row in rows if row.is_given("pack")), rows[0].text("pack"))
    _alike(rows, "pack", name, log)
    return Product(
        name=name,
        pack=pack,
        sources={
            part.crop: ceil_div(part.most * hundredths * MILLI, WHOLE_SHARE * part.grams) for part in parts
        },
        parts=tuple(parts),
        weight=hundredths,
    )


def _part(row: Row, crop: str, of_card: str, log: FaultLog) -> MixPart:
    """Return one part; a share that is not given is the usual one, and grams round down."""
    usual = row.number_of("percent")
    least, most = (_or(row.number_or_none(name), usual) for name in ("least_percent", "most_percent"))
    if least > usual:
        expected = f"at most {decimal_text(usual)}, its usual share"
        log.add(row.cell("least_percent"), decimal_text(least), expected, "bad-share")
    if most < usual:
        expected = f"at least {decimal_text(usual)}, its usual share"
        log.add(row.cell("most_percent"), decimal_text(most), expected, "bad-share")
    grams = row.number_or_none("grams_per_plant")
    if of_card == BY_MASS:
        if grams is not None:
            found = f"grams_per_plant of '{crop}', which is sold by mass"
            log.add(row.cell("grams_per_plant"), found, "a blank cell", "two-ways")
        grams, of_card = Fraction(1), ""
    figure = card(of_card).figures.get("yield_per_plant") if of_card else None
    if grams is None and figure is not None and figure.unit == "g":
        grams = Fraction(str(figure.typical))
    if grams is None:
        why = "the card has no yield in grams" if of_card else "the crop has no card"
        expected = f"what one plant of {crop} gives: {why}"
        log.add(row.cell("grams_per_plant"), "a blank cell", expected, "missing-figure")
    return MixPart(
        crop=crop,
        usual=usual * CENT // 1,
        least=min(hundredths_up(least), usual * CENT // 1),
        most=max(most * CENT // 1, usual * CENT // 1),
        grams=max(1, _or(grams, Fraction(1)) * CENT // 1),
    )


def _or(number: Fraction | None, other: Fraction) -> Fraction:
    return other if number is None else number


def _check_shares(name: str, rows: list[Row], parts: Iterable[MixPart], log: FaultLog) -> None:
    total = sum(part.usual for part in parts)
    if total != WHOLE_SHARE:
        found = f"parts of '{name}' that come to {decimal_text(Fraction(total, CENT))} percent"
        log.add(rows[0].cell("percent"), found, "100", "bad-share")


def _alike(rows: list[Row], column: str, name: str, log: FaultLog) -> Fraction | None:
    """Return what the rows of a mix say of it as a whole; those that differ from the first are told."""
    given = [row for row in rows if row.is_given(column)]
    for row in given[1:]:
        if row.values[column] != given[0].values[column]:
            expected = f"that of the first row of '{name}' ({given[0].cell(column)}), or a blank cell"
            log.add(row.cell(column), f"another {column}", expected, "two-ways")
    return given[0].number_or_none(column) if given and column == "grams" else None
