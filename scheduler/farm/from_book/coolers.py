"""Coolers of a book, and how its crops are kept in them."""

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.farm.coolers import Cooler, Crating
from scheduler.farm.from_book.figures import Figures
from scheduler.farm.units import CENT

KEEPING = "keeping_temperature"
"""Figure of a card: the temperatures it keeps at, from low to high."""


def build_coolers(book: Book) -> tuple[Cooler, ...]:
    """Return the coolers, in the order of the book."""
    return tuple(
        Cooler(
            name=row.text("cooler"),
            crates=row.whole("crates"),
            temperature=row.number_of("temperature") * CENT // 1,
        )
        for row in book.rows("coolers")
    )


def crating(figures: Figures, log: FaultLog) -> Crating | None:
    """Return how a crop is kept: own figures, else those of its card; None where its crates are unknown."""
    row, heads = figures.row, figures.find("heads_per_crate")
    own = [row.number_or_none(name) for name in ("keep_from", "keep_to")]
    of_card = figures.card.figures.get(KEEPING) if figures.card else None
    card = (None, None) if of_card is None else (of_card.low, of_card.high)
    coldest, warmest = (mine if mine is not None else theirs for mine, theirs in zip(own, card, strict=True))
    if heads is None or coldest is None or warmest is None:
        return None
    if coldest > warmest:
        expected = f"at least keep_from, which is {float(coldest):g}"
        log.add(row.cell("keep_to"), f"{float(warmest):g}", expected, "keep-order")
    return Crating(
        heads=max(1, heads // 1),
        coldest=round(coldest * CENT),
        warmest=round(warmest * CENT),
    )
