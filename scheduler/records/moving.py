"""Completes what was moved: which units are emptied, what stays in them, and what the plants come into."""

from collections.abc import Sequence
from dataclasses import replace

from scheduler.farm.places import Place
from scheduler.records.applying import BEFORE, ITEMS
from scheduler.records.drafts import Draft
from scheduler.records.entries import Entry, Put, Spot
from scheduler.records.placing import free_slots, puts_for
from scheduler.records.resolver import Resolver, spots_of, spots_told
from scheduler.records.yard import CELLS, RAFT, TRAY, Lot, Refused, Unit, Yard


def moved(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    """Return the complete entry of plants that are set out, or of units that change their place.

    Raises:
        Refused: a name is not known, it cannot go there, or there is no room for it.
    """
    lot = resolver.lot(draft.entry, yard)
    entry = replace(draft.entry, crop=lot.crop)
    item, places = resolver.ground.of_item(draft.aims, "to")
    units = resolver.sources(draft, yard, ITEMS)
    earlier = [unit for unit in units if unit.item in BEFORE.get(item, ())]
    if not earlier:
        return _relocated(resolver, draft, yard, (item, places, units))
    # of trays and boards of one lot the boards are meant, unless the trays are named
    nearest = max(earlier, key=lambda unit: ITEMS.index(unit.item)).item
    _check_turn(draft, lot, (item, nearest))
    # those that hold least are emptied first: so do people, to have the units free
    sources = sorted((unit for unit in earlier if unit.item == nearest), key=lambda unit: unit.of(entry.lot))
    if draft.hints is not None:
        # those that the plan has emptied come first; what it leaves may stand in others
        everywhere = yard.chosen(entry.lot, (), (nearest,))
        sources += [unit for unit in everywhere if unit not in sources]
    stood = sum(unit.of(entry.lot) for unit in sources)
    plants = entry.plants
    if plants is None:
        if any(held.form == CELLS for unit in sources for held in unit.held if held.lot == entry.lot):
            raise Refused("plants", "no count", "how many plants were set out of the trays", "blank")
        plants = stood
    if plants > stood:
        raise Refused("plants", f"{plants} plants moved", f"at most the {stood} that stood there", "too-many")
    stage = resolver.stage(resolver.crop(lot.crop, "lot"), item, "to")
    want = resolver.want(draft, stage, plants)
    return replace(
        entry,
        stage=item,
        place=_emptied(draft, units, sources),
        to=puts_for(resolver.farm, yard, places, want),
        plants=plants,
        left=_left(draft, yard, (stood, plants)),
        lifted=resolver.lifted(entry),
    )


def _check_turn(draft: Draft, lot: Lot, way: tuple[str, str]) -> None:
    """Refuse a task before another of its lot: what the plan has left by then would count as gone.

    What was moved without naming a task may have been any of them.
    """
    hints, (item, source) = draft.hints, way
    if hints is None:
        return
    told = [task for stage, task in lot.moves if stage == item]
    missing = [key for key in hints.after if key not in told]
    expected = "told first, or 'moved' with its plants and how many are left"
    if missing and all(task in hints.after for task in told):
        found = f"it before '{missing[0]}', of which nothing is recorded"
        raise Refused("place", found, f"that {expected}", "too-soon")
    if hints.boarded_by and source == TRAY:
        found = f"'{lot.lot}', which stands in trays and on no board"
        raise Refused("place", found, f"'{hints.boarded_by}' {expected}", "too-soon")


def _emptied(draft: Draft, meant: Sequence[Unit], sources: Sequence[Unit]) -> tuple[Spot, ...]:
    """Return where plants left some units: as told where that means just these, else as known."""
    told = draft.entry.place if draft.hints is None and len(sources) == len(meant) else ()
    if told and all(spot.slots for spot in told) and any(unit.guessed for unit in sources):
        return told
    return spots_of(sources)


def _left(draft: Draft, yard: Yard, plants: tuple[int, int]) -> int:
    """Return the plants that stay where they were: as told, as the plan has it, else all that did not go.

    Args:
        draft: the entry.
        yard: the farm before it.
        plants: plants that stood, and those that move.
    """
    if draft.entry.left is not None:
        return draft.entry.left
    stood, moved = plants
    rest = stood - moved
    staying = None
    if draft.hints is not None:
        apart = any(lot in yard.lots for lot in draft.hints.beside if lot != draft.entry.lot)
        staying = draft.hints.alone if apart else draft.hints.staying
    if staying is None:
        return max(rest, 0)
    later, leaving = staying
    return max(0, min(rest, stood * later // max(later + leaving, 1)))


def _relocated(
    resolver: Resolver,
    draft: Draft,
    yard: Yard,
    target: tuple[str, list[tuple[Place, tuple[int, ...]]], list[Unit]],
) -> Entry:
    entry, (item, places, units) = draft.entry, target
    alike = [unit for unit in units if unit.item == item]
    if not alike:
        there = ", ".join(dict.fromkeys(unit.item for unit in units))
        raise Refused("to", f"a {item} for what stands in a {there}", "a stage that follows", "wrong-way")
    number = len(alike) if draft.units is None else draft.units
    if not 1 <= number <= len(alike):
        raise Refused("units", f"{number} moved", f"1 to the {len(alike)} that stand there", "too-many")
    going = alike[:number]
    plants = sum(unit.of(entry.lot) for unit in going)
    if entry.plants not in (None, plants) or entry.left is not None:
        name = "left" if entry.left is not None else "plants"
        expected = f"whole {item}s, for they only change their place; say how many units"
        raise Refused(name, f"some of the {plants} plants", expected, "whole-units")
    puts = _new_places(resolver, draft, yard, (item, places, going))
    spots = spots_told(draft, yard, going)
    return replace(
        entry, crop=yard.lots[entry.lot].crop, stage=item, place=spots, to=puts, plants=plants, left=None
    )


def _new_places(
    resolver: Resolver,
    draft: Draft,
    yard: Yard,
    target: tuple[str, list[tuple[Place, tuple[int, ...]]], list[Unit]],
) -> tuple[Put, ...]:
    item, places, going = target
    if item == RAFT:
        if len(places) > 1:
            raise Refused("to", f"{len(places)} rows", "one of them", "which-place")
        return (Put(places[0][0].name, 0, 0),) * len(going)
    named = [Put(place.name, slot, 0) for place, slots in places for slot in slots]
    if named and len(named) < len(going):
        found = f"{len(going)} {item}s and {len(named)} slots to put them into"
        raise Refused("to", found, "a slot for each, or slots left out", "slots-and-units")
    day = draft.entry.day
    free = [Put(p.name, slot, 0) for p, _ in places for slot in free_slots(resolver.farm, yard, p, day)]
    free += [Put(places[0][0].name, 0, 0)] * max(0, len(going) - len(free))
    return tuple((named or free)[: len(going)])
