"""Readings as lines for the terminal."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from scheduler.book.book import Book
from scheduler.book.readings import Doubt
from scheduler.farm.dates import timed
from scheduler.farm.from_book.readings import Sifted, means, named, said
from scheduler.outputs.readings.ranges import UNITS, warnings
from scheduler.outputs.words import counted, plain
from scheduler.plan.words import worth_listing

EACH = 6
"""Doubts of one kind that are listed before the rest is counted."""

CALLED = {
    "no-moment": "without a moment",
    "no-number": "without a number",
    "wild": "wild values",
    "double": "told twice",
    "out-of-order": "out of order",
    "gap": "gaps",
}
DECIDE = "Ranges are from the crops' cards and published notes: calibrate the probes, look at the plants."


def reading_lines(book: Book, sifted: Sifted, doubts: Sequence[Doubt]) -> Iterator[str]:
    """Yield what was read of each place and kind, what is doubtful, and what lies outside ranges."""
    for (place, measures), kept in sifted.kept.items():
        name = plain(named(place, measures))
        if not kept:
            yield f"{name}: nothing that counts"
            continue
        values, unit = [each.value for each in kept], UNITS[measures]
        yield (
            f"{name}: {counted(len(kept), 'value')} on {counted(len(means(kept)), 'day')}, "
            f"{timed(kept[0].when)} to {timed(kept[-1].when)}; "
            f"{said(min(values))} to {said(max(values))}{unit}, mean "
            f"{said(round(sum(values) / len(values)))}{unit}"
        )
    by_code: dict[str, list[Doubt]] = defaultdict(list)
    for doubt in doubts:
        by_code[doubt.code].append(doubt)
    for code, found in by_code.items():
        yield f"{CALLED[code].capitalize()}: {len(found)}"
        shown = worth_listing(len(found), EACH)
        yield from (f"  {plain(str(doubt))}" for doubt in found[:shown])
        if len(found) > shown:
            yield f"  and {len(found) - shown} more"
    told = [plain(warning) for warning in warnings(book, sifted)]
    if told:
        yield "Outside ranges"
        yield from (f"  {line}" for line in told)
    yield DECIDE
