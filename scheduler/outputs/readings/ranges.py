"""What crops bear of the water, by their cards, held against the means of days."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date

from crops.library import cards
from crops.published import table
from scheduler.book.book import Book
from scheduler.book.words import counted
from scheduler.farm.dates import dated
from scheduler.farm.from_book.readings import Sifted, means, named, outside

FIGURES = {"pH": "pH", "conductivity": "EC", "water": "best_root_temp"}
"""What is measured -> figure of a card, in the same unit."""

UNITS = {"pH": "", "conductivity": " mS/cm", "water": " °C", "air": " °C", "oxygen": " mg/L"}
PUBLISHED = {"oxygen": ("oxygen_least", None), "water": (None, "water_most")}
"""What is measured -> quantities of water_ranges: the least and the most."""


def warnings(book: Book, sifted: Sifted) -> Iterator[str]:
    """Yield a sentence for each range of crops or published limit that the mean of some day lies outside."""
    by_name = {card.name: card for card in cards()}
    limits = {row["quantity"]: row for row in table("water_ranges")}
    for (place, measures), kept in sifted.kept.items():
        days, name = means(kept), named(place, measures)
        if measures in FIGURES:
            alike: dict[tuple[float | None, float | None, str], list[str]] = defaultdict(list)
            for row in book.rows("crops"):
                card = by_name.get(row.text("card"))
                figure = card.figures.get(FIGURES[measures]) if card else None
                if figure is not None:
                    alike[figure.low, figure.high, f"card, {figure.evidence}"].append(row.text("crop"))
            for (low_of, high_of, mark), crops in alike.items():
                yield from _told(name, measures, ", ".join(crops), (days, (low_of, high_of), mark))
        least, most = PUBLISHED.get(measures, (None, None))
        low, high = (float(limits[each]["value"]) if each else None for each in (least, most))
        if low is not None or high is not None:
            found = limits[least or most or ""]
            mark = f"{found['source_id']}, {found['evidence']}"
            yield from _told(name, measures, found["conditions"], (days, (low, high), mark))


def _told(
    name: str,
    measures: str,
    whom: str,
    found: tuple[Mapping[date, int], tuple[float | None, float | None], str],
) -> Iterator[str]:
    days, (low, high), mark = found
    below, above = outside(dict(days), low, high)
    for which, bound, word in ((below, low, "below"), (above, high, "above")):
        if which and bound is not None:
            days_said = counted(len(which), "day")
            yield (
                f"{name} {word} {bound:g}{UNITS[measures]} ({whom}; {mark}) on {days_said}, "
                f"the first {dated(which[0])}"
            )
