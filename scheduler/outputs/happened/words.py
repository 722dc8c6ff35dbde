"""Entries of the records in words, one line each; a grower's text only as plain text."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from scheduler.farm.dates import column_date, dated, full_day
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.outputs.words import counted, plain
from scheduler.plan.layout.words import slots_in_words
from scheduler.plan.words import cell_word, word_of_heads
from scheduler.records import entries as kinds
from scheduler.records.entries import Entry, Logged, Put, Spot
from scheduler.records.yard import BED

UNITS = {"tray": "cell", "board": "plant", "raft": "plant", "bed": "plant"}

INSET = 20
"""Columns before what was done in the line of an entry: its number and its day."""

RULES_DECIDE = "The label of what was applied and local rules decide; this is no leave to cut or sell."
"""What stands beside every treatment, quarantine and trace."""


def spots_in_words(spots: Sequence[Spot]) -> str:
    """Return places, with the slots that are named: ``Shelf A 1 slots 1-3, North trough 1``.

    Parts of a shelf or trough that is named whole are left out.
    """
    names = [spot.place for spot in spots]
    said: dict[str, list[int]] = {}
    for spot in spots:
        if not any(spot.place.startswith(f"{name} ") for name in names):
            said.setdefault(spot.place, []).extend(spot.slots)
    return ", ".join(_slots_of(place, slots) for place, slots in said.items())


def _slots_of(place: str, slots: Sequence[int]) -> str:
    """Return a place with those of its slots that were told; guesses are only counted, beside others."""
    told = [slot for slot in slots if slot > 0]
    if not told:
        return place
    others = f" and {len(slots) - len(told)} more" if len(told) < len(slots) else ""
    return f"{place} {slots_in_words(told)}{others}"


def puts_in_words(puts: Sequence[Put], item: str) -> str:
    """Return what plants came into: ``2 boards, North trough boards slots 1-2``."""
    slots: dict[str, list[int]] = {}
    for put in puts:
        slots.setdefault(put.place, []).append(put.slot)
    places = ", ".join(
        f"{place} {slots_in_words(named)}" if (named := [n for n in numbers if n > 0]) else place
        for place, numbers in slots.items()
    )
    if item == BED:
        return places.replace(" slot", " position")
    return f"{counted(len(puts), item or 'unit')}, {places}"


def what_in_words(farm: Farm, entry: Entry) -> str:
    """Return what was done: the kind of entry; plants in beds are picked, not cut."""
    return "picked" if entry.what == kinds.CUT and is_picked(farm, entry.crop) else entry.what


def is_picked(farm: Farm, crop: str) -> bool:
    """Say whether a crop is picked in beds."""
    return crop in farm.crops and farm.crops[crop].picking is not None


def amounts(farm: Farm, entry: Entry) -> str:
    """Return what was counted: ``36 plants, 34 heads, 2 left``."""
    said = []
    if entry.plants is not None:
        noun = noun_of(farm, entry)
        if noun != "tray" or entry.what != kinds.SOWN:  # where open trays went says how many
            said.append(counted(entry.plants, noun))
    if entry.heads is not None:
        said.append(counted(entry.heads, word_of_heads(farm, entry.crop)))
    if entry.left and entry.what in (kinds.MOVED, kinds.CUT) and not is_picked(farm, entry.crop):
        said.append(f"{entry.left:,} stay{' to grow again' if entry.what == kinds.CUT else ''}")
    return ", ".join(said)


def noun_of(farm: Farm, entry: Entry) -> str:
    """Return what ``plants`` of an entry counts: of what is taken out of trays their cells."""
    if entry.what == kinds.DELIVERED:
        return "unit"
    if entry.what in (kinds.GERMINATED, kinds.THINNED):
        return "seedling"
    noun = UNITS.get(entry.stage, "plant") if entry.what == kinds.SOWN else "plant"
    if entry.what in (kinds.LOST, kinds.CULLED, kinds.DISCARDED) and _in_trays(farm, entry.place):
        noun = "cell"
    return cell_word(farm, entry.crop) if noun == "cell" else noun


def _in_trays(farm: Farm, spots: Sequence[Spot]) -> bool:
    """Say whether only trays stand at some spots: on tiers, or a shelf whose tier is not known."""
    names = {spot.place for spot in spots}
    there = [place.kind for place in farm.places if names & {place.name, place.belongs_to}]
    return bool(there) and all(kind is PlaceKind.TIER for kind in there)


def entry_in_words(farm: Farm, entry: Entry) -> str:
    """Return an entry on one line, without its day and number."""
    who = " ".join(plain(each) for each in (entry.lot, entry.crop) if each)
    parts = [f"{what_in_words(farm, entry)} {who}".strip(), amounts(farm, entry)]
    if entry.place:
        parts.append(f"{'from' if entry.to else 'in'} {plain(spots_in_words(entry.place))}")
    if entry.to:
        parts.append(f"to {plain(puts_in_words(_known(entry), entry.stage))}")
    if entry.product:
        parts.append(plain(entry.product))
    if entry.customer or entry.delivery:
        parts.append(f"for {plain(entry.customer or entry.delivery)}")
    if entry.seed_lot:
        parts.append(f"seed lot {plain(entry.seed_lot)}")
    if entry.until is not None:
        parts.append(f"through {full_day(entry.until)}")
    if entry.corrects:
        parts.append(f"{'of' if entry.what == kinds.WITHDRAWN else 'instead of'} entry {entry.corrects}")
    if entry.who:
        parts.append(f"by {plain(entry.who)}")
    line = "; ".join(part for part in parts if part)
    return f"{line}. {plain(entry.note)}" if entry.note else line


def numbered(farm: Farm, number: int, entry: Entry) -> str:
    """Return an entry on one line: its number, its day, what was done."""
    return f"{number:>5}  {column_date(entry.day)}  {entry_in_words(farm, entry)}"


def moment_in_words(written: str) -> str:
    """Return a time of the records, UTC as text, as ``21 Apr 2026, 10:11 UTC``."""
    return f"{dated(date.fromisoformat(written[:10]))}, {written[11:16]} UTC"


def _known(entry: Entry) -> Sequence[Put]:
    """Return the units of an entry; trays and boards that were found have no slot, for no book tells it."""
    if entry.what != kinds.FOUND or entry.stage == BED:
        return entry.to
    return [replace(put, slot=0) for put in entry.to]


def days_of(log: Sequence[Logged]) -> str:
    """Return the first and the last day that is told of, in words; there must be an entry."""
    days = [each.entry.day for each in log]
    first, last = min(days), max(days)
    return full_day(first) if first == last else f"{full_day(first)} to {full_day(last)}"


def log_lines(farm: Farm, log: Sequence[Logged], lot: str = "") -> list[str]:
    """Return a line for each entry, or for those of a lot: number, day, what; replaced ones are marked."""
    replaced = {each.entry.corrects: each for each in log if each.entry.corrects}
    lines = []
    for each in log:
        if lot and each.entry.lot != lot:
            continue
        line = numbered(farm, each.number, each.entry)
        other = replaced.get(each.number)
        if other is not None:
            did = "withdrawn" if other.entry.what == kinds.WITHDRAWN else "corrected"
            line += f" [{did} by entry {other.number}]"
        lines.append(line)
    return lines
