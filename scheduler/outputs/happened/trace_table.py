"""A trace as CSV: one row for each entry of each lot, with what a buyer or an inspector usually asks."""

from scheduler.outputs.guarded import csv_bytes
from scheduler.outputs.happened.words import puts_in_words, spots_in_words
from scheduler.records.trace import Event, LotTrace, Trace

COLUMNS = (
    "lot",
    "crop",
    "variety",
    "seed_lots",
    "sown",
    "entry",
    "day",
    "time_utc",
    "what",
    "place",
    "came_into",
    "plants",
    "left",
    "heads",
    "product",
    "customer",
    "delivery",
    "through",
    "who",
    "note",
    "corrects",
    "written_utc",
    "source",
)


def trace_csv(trace: Trace) -> bytes:
    """Return a trace as CSV: UTF-8, line feeds, and no text that a spreadsheet would calculate."""
    return csv_bytes([COLUMNS, *(_cells(lot, event) for lot in trace.lots for event in lot.events)])


def _cells(lot: LotTrace, event: Event) -> tuple[object, ...]:
    entry, facts = event.entry, lot.facts
    return (
        facts.lot,
        facts.crop,
        lot.variety,
        "; ".join(facts.seed_lots),
        facts.sown,
        event.number,
        entry.day,
        entry.at,
        entry.what,
        spots_in_words(entry.place),
        puts_in_words(entry.to, entry.stage) if entry.to else "",
        event.plants,
        entry.left,
        entry.heads,
        entry.product,
        entry.customer,
        entry.delivery,
        entry.until,
        entry.who,
        entry.note,
        entry.corrects or None,
        event.written,
        event.source,
    )
