"""What a plan throws away: how many of the plants that stand, and which trays and boards it empties."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduler.book.words import counted
from scheduler.farm.crops import Crop
from scheduler.farm.units import ceil_div
from scheduler.records.applying import ITEMS
from scheduler.records.drafts import Draft, Kept
from scheduler.records.entries import Entry, lot_in_records
from scheduler.records.pieces import expected
from scheduler.records.resolver import Resolver, spots_of, spots_told
from scheduler.records.yard import CELLS, RAFT, SEEDLINGS, Refused, Unit, Yard


def culled(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    """Return the complete entry of plants that are taken out or went missing.

    Raises:
        Refused: a name is not known, or nothing is left that a plan would throw away.
    """
    lot = resolver.lot(draft.entry, yard)
    if draft.entry.plants == 0:
        raise Refused("plants", "0 plants", "at least one", "too-few")
    entry = replace(draft.entry, crop=lot.crop, lifted=resolver.lifted(draft.entry))
    if draft.hints is not None and draft.hints.was is not None:
        return _corrected(entry, draft.hints.was, yard)
    if draft.hints is not None and draft.hints.emptied:
        return _units_emptied(entry, draft, yard)
    units = resolver.sources(draft, yard, ITEMS)
    if draft.hints is not None and "plants" in draft.hints.planned:
        plants = _of_all(resolver.crop(lot.crop, "lot"), entry, units)
        entry = replace(entry, plants=min(plants, _spare(entry, units, (draft.hints.kept, yard))))
    if draft.hints is not None and {unit.item for unit in units} == {RAFT}:
        entry = _rafts_emptied(entry, units, draft.hints.rafts_emptied)
    return replace(entry, place=spots_told(draft, yard, units))


def _rafts_emptied(entry: Entry, units: Sequence[Unit], emptied: int) -> Entry:
    """Return an entry that empties rafts one after the other, where that makes as many empty as the plan has.

    Else the plants went from all of them, as far as anybody knows.
    """
    plants, gone = entry.plants or 0, 0
    held = sorted(unit.of(entry.lot) for unit in units)
    while gone < len(held) and sum(held[: gone + 1]) <= plants:
        gone += 1
    left = max(sum(held) - plants, 0)
    return replace(entry, left=left) if gone and gone == emptied and left else entry


def _corrected(entry: Entry, was: Entry, yard: Yard) -> Entry:
    """Return an entry that stands in for another where that one was, which no word of it need tell."""
    stood = sum(unit.of(entry.lot) for unit in yard.chosen(entry.lot, was.place, ITEMS))
    left = None if was.left is None else max(stood - (entry.plants or 0), 0)
    return replace(entry, place=was.place, left=left)


def _units_emptied(entry: Entry, draft: Draft, yard: Yard) -> Entry:
    """Return an entry that empties trays and boards: as many as the plan has, and none that it keeps."""
    assert draft.hints is not None
    several = yard.chosen(entry.lot, (), tuple(dict.fromkeys(draft.hints.emptied)))
    named = {(spot.place, slot) for spot in entry.place for slot in spot.slots}
    places = {spot.place for spot in entry.place}

    def meant(unit: Unit) -> tuple[bool, bool, int]:
        known = not unit.guessed and (unit.place, unit.slot) in named
        # those that hold least are thrown away first, where no slot says which
        return not known, unit.place not in places, 0 if known else unit.of(entry.lot)

    several.sort(key=meant)
    if "plants" in draft.hints.planned:
        in_slots = sum(not meant(unit)[0] for unit in several)
        kept = _kept_of(entry, (draft.hints.kept, yard))
        # the slots of the plan are thrown away whatever became of the others
        most = max(in_slots, _most(several, kept, places))
        chosen = several[: min(len(draft.hints.emptied), most)]
        if not chosen:
            items = {unit.item for unit in several}
            raise _all_kept(entry, counted(len(several), items.pop() if len(items) == 1 else "unit"))
        entry = replace(entry, plants=sum(unit.of(entry.lot) for unit in chosen))
    else:
        chosen = _enough(entry, several)
    if all(unit.slot for unit in chosen):
        return replace(entry, place=spots_of(chosen))
    # units without any slot cannot be told apart: those of their places that hold least are emptied
    there = [unit for unit in several if unit.place in {each.place for each in chosen}]
    held = sorted(unit.of(entry.lot) for unit in there)
    plants = sum(held[: len(chosen)]) if "plants" in draft.hints.planned else entry.plants or 0
    return replace(
        entry,
        place=spots_told(draft, yard, there),
        plants=plants,
        left=max(sum(held) - plants, 0),
    )


def _enough(entry: Entry, units: Sequence[Unit]) -> list[Unit]:
    """Return the first units that together hold the plants that were counted."""
    plants, chosen = entry.plants or 0, list[Unit]()
    for unit in units:
        if plants <= 0:
            break
        chosen.append(unit)
        plants -= unit.of(entry.lot)
    return chosen


def _kept_of(entry: Entry, by: tuple[Iterable[Kept], Yard]) -> list[Kept]:
    """Return what a plan keeps of a lot of the records, which may be several rows of the plan."""
    several, yard = by
    return [each for each in several if lot_in_records(each.lot, yard.lots) == entry.lot]


def _most(units: Sequence[Unit], kept: Sequence[Kept], places: set[str]) -> int:
    """Return how many units can go so that as many stay as the plan keeps, in its places or anywhere."""
    anywhere = len(units) - len({each.unit for each in kept})
    staying = {each.unit for each in kept if each.place in places}
    return max(anywhere, sum(unit.place in places for unit in units) - len(staying))


def _all_kept(entry: Entry, stand: str) -> Refused:
    expected = (
        "more, for the plan keeps as many; if some were thrown away all the same, tell it with 'culled', "
        "their place and the plants"
    )
    return Refused("plants", f"{stand} of '{entry.lot}'", expected, "kept")


def _of_all(crop: Crop, entry: Entry, units: Sequence[Unit]) -> int:
    """Return how many of the cells or plants that stand are those a plan counts on and throws away."""
    held = [each for unit in units for each in unit.held if each.lot == entry.lot]
    stood, counted_on = sum(each.plants for each in held), sum(expected(crop, each) for each in held)
    return min(stood, ceil_div((entry.plants or 0) * stood, counted_on)) if counted_on else stood


def _spare(entry: Entry, units: Sequence[Unit], by: tuple[Iterable[Kept], Yard]) -> int:
    """Return the plants that can go from some units so that as many stay as the plan keeps there.

    Raises:
        Refused: there are none.
    """
    several, yard = by
    held = [each for unit in units for each in unit.held if each.lot == entry.lot]
    stood = sum(each.plants for each in held)
    kept = sum(each.plants for each in _kept_of(entry, (several, yard)))
    if not kept or any(each.form in (CELLS, SEEDLINGS) for each in held):
        return stood
    everywhere = yard.chosen(entry.lot, (), tuple({unit.item for unit in units}))
    standing = sum(unit.of(entry.lot) for unit in everywhere)
    if standing <= kept:
        raise _all_kept(entry, counted(standing, "plant"))
    return min(stood, standing - kept)
