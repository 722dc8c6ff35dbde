"""A trace as one page to print: who got what, from which lots, and everything that was done to these."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from markupsafe import Markup

from crops.published import reference_sources, table
from crops.rows import MARKS
from scheduler.farm.dates import full_day
from scheduler.farm.farm import Farm
from scheduler.outputs.happened.words import (
    RULES_DECIDE,
    amounts,
    is_picked,
    moment_in_words,
    noun_of,
    puts_in_words,
    spots_in_words,
    what_in_words,
)
from scheduler.outputs.templates import environment, style_sheet
from scheduler.outputs.words import counted, plain
from scheduler.plan.words import cell_word, word_of_heads
from scheduler.records import entries as kinds
from scheduler.records.pieces import said_of
from scheduler.records.trace import GONE, Event, LotTrace, Trace
from scheduler.records.yard import CELLS

MARK = '<meta name="generator" content="raftway trace">'
"""Stands near the top of every page of a trace, so that only such a page is written over."""


@dataclass(frozen=True, slots=True)
class Line:
    """One entry as a row of the page; every text is plain already."""

    number: int
    day: str
    what: str
    amount: str
    where: str
    detail: str
    who: str
    instead_of: int


def trace_html(farm: Farm, trace: Trace, written: str) -> str:
    """Return a trace as one page of HTML that loads nothing and runs nothing.

    Args:
        farm: the farm.
        trace: what was found.
        written: UTC time of the last entry of the records, as text.
    """
    return (
        environment("scheduler.outputs.happened")
        .get_template("trace.html.j2")
        .render(
            mark=Markup(MARK),
            style=Markup(style_sheet("scheduler.outputs.happened", "trace.css")),
            farm=plain(farm.name),
            asked=plain(trace.asked),
            written=moment_in_words(written),
            lots=[_lot(farm, lot) for lot in trace.lots],
            deliveries=[_delivery(lot, event) for lot, event in trace.deliveries()],
            rules=_rules(),
            decide=RULES_DECIDE,
        )
    )


def _lot(farm: Farm, lot: LotTrace) -> dict[str, object]:
    facts = lot.facts
    plants, heads = lot.cut
    head = word_of_heads(farm, facts.crop)
    cut = "Picked" if is_picked(farm, facts.crop) else "Cut"
    cooler = sum(number for _, number in facts.cooler)
    sown = full_day(facts.sown) if facts.sown else "not known"
    gone = [noun_of(farm, event.entry) for event in lot.of(*GONE) if event.entry.heads is None]
    cells = cell_word(farm, facts.crop)
    here = (each for unit in lot.stands for each in unit.contents if each.lot == facts.lot)
    stands = [cells if each.form == CELLS else said_of(each).removesuffix("s") for each in here]
    balance = [
        ("Sown", f"{counted(facts.cells, cells)}, {sown}" if facts.cells else sown),
        ("Lost, culled or thrown away", counted(lot.gone, _one_noun(gone))),
        (
            cut,
            counted(heads, head)
            if cut == "Picked"
            else f"{counted(plants, 'plant')}, {counted(heads, head)}",
        ),
        ("Delivered", counted(lot.delivered, head)),
        ("In the cooler", counted(cooler, head)),
        ("Thrown away after cutting", counted(lot.thrown_heads, head)),
        ("Standing", counted(lot.standing, _one_noun(stands))),
    ]
    treated = lot.of(kinds.TREATED, kinds.QUARANTINED, kinds.CLOSED)
    return {
        "lot": plain(facts.lot),
        "crop": plain(facts.crop),
        "variety": plain(lot.variety),
        "seed": [plain(name) for name in facts.seed_lots],
        "balance": balance,
        "treated": [_line(farm, event) for event in treated],
        "events": [_line(farm, event) for event in lot.events],
        "where": ", ".join(dict.fromkeys(plain(unit.place) for unit in lot.stands)),
    }


def _one_noun(nouns: Sequence[str]) -> str:
    """Return what some numbers count, where it is one thing; plants where they count several."""
    return nouns[0] if len(set(nouns)) == 1 else "plant"


def _line(farm: Farm, event: Event) -> Line:
    entry = event.entry
    where = spots_in_words(entry.place)
    if entry.to:
        where = (
            f"{where} > {puts_in_words(entry.to, entry.stage)}"
            if where
            else puts_in_words(entry.to, entry.stage)
        )
    details = [
        entry.product,
        f"for {entry.customer}" if entry.customer else "",
        f"delivery {entry.delivery}" if entry.delivery else "",
        f"seed lot {entry.seed_lot}" if entry.seed_lot else "",
        f"through {full_day(entry.until)}" if entry.until else "",
        entry.note,
    ]
    counts = amounts(farm, entry) or (counted(event.plants, noun_of(farm, entry)) if event.plants else "")
    return Line(
        number=event.number,
        day=full_day(entry.day),
        what=what_in_words(farm, entry),
        amount=counts,
        where=plain(where),
        detail=plain("; ".join(each for each in details if each)),
        who=plain(entry.who),
        instead_of=entry.corrects,
    )


def _delivery(lot: LotTrace, event: Event) -> dict[str, str]:
    entry = event.entry
    cuts = [each.entry.day for each in lot.of(kinds.CUT) if each.entry.day <= entry.day]
    return {
        "day": full_day(entry.day),
        "customer": plain(entry.customer),
        "delivery": plain(entry.delivery),
        "product": plain(entry.product),
        "units": f"{entry.plants:,}" if entry.plants is not None else "",
        "heads": f"{entry.heads:,}" if entry.heads is not None else "",
        "lot": plain(lot.facts.lot),
        "crop": plain(lot.facts.crop),
        "cut": ", ".join(dict.fromkeys(full_day(day) for day in cuts))
        if len(set(cuts)) < 4
        else (f"{len(set(cuts))} days, {full_day(cuts[0])} to {full_day(cuts[-1])}"),
        "seed": ", ".join(plain(name) for name in lot.facts.seed_lots),
        "who": plain(entry.who),
    }


@cache
def _rules() -> list[dict[str, str]]:
    """Return the public rules that usually apply, each with its source and how that was seen."""
    sources = reference_sources()
    return [
        {
            "rule": row["rule"],
            "where": row["where"],
            "text": row["text"],
            "source": f"{sources[row['source_id']].title} ({sources[row['source_id']].publisher})",
            "mark": row["evidence"],
            "meaning": MARKS[row["evidence"]],
            "note": row["note"],
        }
        for row in table("trace_rules")
    ]
