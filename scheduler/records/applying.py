"""What each kind of entry does to the farm, and what of it cannot be."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date

from scheduler.records.entries import (
    CLOSED,
    CULLED,
    CUT,
    DELIVERED,
    DISCARDED,
    FOUND,
    GERMINATED,
    LOST,
    MOVED,
    QUARANTINED,
    RELEASED,
    SOWN,
    THINNED,
    TREATED,
    Entry,
    seed_lots_of,
)
from scheduler.records.restricted import Restricted
from scheduler.records.taking import cut_plants, lose, take_out
from scheduler.records.yard import (
    BED,
    BOARD,
    CELLS,
    GOOD,
    PLANTS,
    RAFT,
    SEEDLINGS,
    TRAY,
    Held,
    Lot,
    Refused,
    Stock,
    Unit,
    Yard,
)

ITEMS = (TRAY, BOARD, RAFT, BED)
BEFORE = {BOARD: (TRAY,), RAFT: (TRAY, BOARD), BED: (TRAY,)}
"""What plants of a stage may come from."""


def apply(yard: Yard, entry: Entry, number: int) -> None:
    """Let an entry happen.

    Raises:
        Refused: it cannot be; what it changed so far is not undone, so its lots are not to be judged further.
    """
    ACTIONS[entry.what](yard, entry, number)


def _found(yard: Yard, entry: Entry, number: int) -> None:
    since = entry.since or entry.day
    lot = yard.lots.get(entry.lot)
    if lot is None:
        lot = Lot(lot=entry.lot, crop=entry.crop, sown=None, began=entry.day)
        yard.lots[entry.lot] = lot
    if entry.stage == TRAY:
        lot.sown = since if lot.sown is None else min(lot.sown, since)
    _add_seed(lot, entry)
    held = Held(
        lot=entry.lot,
        plants=0,
        form=GOOD if entry.stage == TRAY else PLANTS,
        cuts=entry.cuts,
        last_cut=entry.last_cut,
    )
    # a book says in which tier or zone trays and boards stand, and not in which slot
    guessed = entry.stage in (TRAY, BOARD)
    yard.put(entry.to, Unit(item=entry.stage, place="", slot=0, since=since, guessed=guessed), held)


def _sown(yard: Yard, entry: Entry, number: int) -> None:
    lot = yard.lots.get(entry.lot)
    if lot is not None and (lot.crop, lot.sown) != (entry.crop, entry.day):
        told = f"sown on {lot.sown}" if lot.sown else "found growing"
        found = f"'{entry.lot}' again, which is {lot.crop} {told}"
        raise Refused("lot", found, "a code of its own for each sowing", "known-lot")
    _check_open(yard, entry, [put.place for put in entry.to], "to")
    new = Unit(item=TRAY, place="", slot=0, since=entry.day)
    yard.put(entry.to, new, Held(lot=entry.lot, plants=0, form=CELLS))
    if lot is None:
        lot = Lot(lot=entry.lot, crop=entry.crop, sown=entry.day, began=entry.day)
        yard.lots[entry.lot] = lot
    lot.cells += entry.plants or 0
    _add_seed(lot, entry)


def _add_seed(lot: Lot, entry: Entry) -> None:
    lot.seed_lots += [name for name in seed_lots_of(entry.seed_lot) if name not in lot.seed_lots]


def _counted(yard: Yard, entry: Entry, number: int) -> None:
    """Cells with a seedling, after sprouting or thinning: never more than were there."""
    known(yard, entry)
    units = yard.chosen(entry.lot, entry.place, (TRAY,))
    if entry.plants is None:
        return
    stood, count = sum(unit.of(entry.lot) for unit in units), entry.plants
    if count > stood:
        raise Refused("plants", f"{count} counted", f"at most the {stood} that were there", "too-many")
    for unit in units:
        for held in unit.held:
            if held.lot == entry.lot:
                held.plants = min(held.plants, count)
                count -= held.plants
                held.form = SEEDLINGS if held.form == CELLS else held.form
    yard.tidy(units, lifted=False)


def _moved(yard: Yard, entry: Entry, number: int) -> None:
    lot = known(yard, entry)
    before = BEFORE.get(entry.stage, ())
    sources = [unit for unit in yard.chosen(entry.lot, entry.place, ITEMS) if unit.item in before]
    if any(put.plants == 0 for put in entry.to):
        _relocate(yard, entry)
        return
    if not sources:
        there = _places(yard.chosen(entry.lot, entry.place, ITEMS))
        expected = f"plants in a {' or '.join(before) or 'stage before'}"
        raise Refused("to", f"a {entry.stage} for what stands in {there}", expected, "wrong-way")
    _check_open(yard, entry, [put.place for put in entry.to], "to")
    _check_free(yard, entry, sources)
    stood = sum(unit.of(entry.lot) for unit in sources)
    plants, left = entry.plants or 0, entry.left or 0
    if plants > stood:
        found = f"{plants} plants of '{entry.lot}' moved"
        raise Refused("plants", found, f"at most the {stood} that stood there", "too-many")
    if plants + left > stood:
        expected = f"at most {stood - plants}, for {stood} stood there"
        raise Refused("left", f"{left} left and {plants} moved", expected, "too-many")
    until = _latest(held.until for unit in sources for held in unit.held if held.lot == entry.lot)
    new = Unit(item=entry.stage, place="", slot=0, since=entry.day)
    yard.put(entry.to, new, Held(lot=entry.lot, plants=0, form=PLANTS, until=until))
    take_out(sources, entry.lot, stood - left)
    lot.moves.append((entry.stage, entry.task))
    yard.tidy(sources, lifted=entry.lifted)


def _relocate(yard: Yard, entry: Entry) -> None:
    """Whole units go to other places of their kind, all that they hold with them."""
    units = yard.chosen(entry.lot, entry.place, (entry.stage,))[: len(entry.to)]
    if len(units) < len(entry.to):
        found = f"{len(entry.to)} of '{entry.lot}' moved"
        raise Refused("units", found, f"at most the {len(units)} that stand there", "too-many")
    _check_open(yard, entry, [put.place for put in entry.to], "to")
    _check_free(yard, entry, units)
    for unit in units:
        yard.remove(unit)
        if unit.item == RAFT:
            yard.close_up(unit.place)
    for unit, put in zip(units, entry.to, strict=True):
        unit.place, unit.slot, unit.guessed = put.place, max(put.slot, 0), False
        yard.stand(unit)


def _fewer(yard: Yard, entry: Entry, number: int) -> None:
    known(yard, entry)
    units = yard.chosen(entry.lot, entry.place, ITEMS)
    stood, plants = sum(unit.of(entry.lot) for unit in units), entry.plants or 0
    if plants > stood:
        found = f"{plants} plants of '{entry.lot}' {entry.what}"
        raise Refused("plants", found, f"at most the {stood} that stood there", "too-many")
    if entry.left is None:
        lose(units, entry.lot, plants)
    else:
        # whole units are emptied, of which nobody told the slots: those that hold least
        take_out(sorted(units, key=lambda unit: unit.of(entry.lot)), entry.lot, plants)
    yard.tidy(units, lifted=entry.lifted)


def _discarded(yard: Yard, entry: Entry, number: int) -> None:
    if entry.heads is not None:
        _out_of_cooler(yard, entry)
        return
    if entry.lot:
        known(yard, entry)
    units = yard.chosen(entry.lot, entry.place, ITEMS)
    if not units and entry.place:
        found = f"{entry.place[0].place}, where nothing stands"
        raise Refused("place", found, "a place where something stands", "not-there")
    for unit in units:
        for held in unit.held:
            if entry.lot in ("", held.lot):
                held.plants = 0
    # an empty raft whose slot is named was taken out
    yard.tidy(units, lifted=entry.lifted or any(spot.slots for spot in entry.place))


def _cut(yard: Yard, entry: Entry, number: int) -> None:
    lot = known(yard, entry)
    # what is not on rafts or in beds is cut where it stands: completing the entry made sure that its crop is
    stands = {unit.item for unit in yard.holding(entry.lot)}
    item = next((each for each in (RAFT, BED) if each in stands), TRAY)
    units = yard.chosen(entry.lot, entry.place, (item,))
    _check_free(yard, entry, units)
    stood, plants = sum(unit.of(entry.lot) for unit in units), entry.plants or 0
    if plants > stood:
        found = f"{plants} plants of '{entry.lot}' cut"
        raise Refused("plants", found, f"at most the {stood} that stood there", "too-many")
    for key, number_cut in cut_plants(units, entry).items():
        lot.cut[key] = lot.cut.get(key, 0) + number_cut
    if entry.heads:
        lot.stock.append(Stock(day=entry.day, heads=entry.heads))
    yard.tidy(units, lifted=entry.lifted)


def _out_of_cooler(yard: Yard, entry: Entry) -> None:
    lot, heads = known(yard, entry), entry.heads or 0
    there = lot.in_cooler(entry.day)
    if heads > there:
        found = f"{heads} heads of '{entry.lot}' {entry.what}"
        raise Refused("heads", found, f"at most the {there} that are cut and not delivered", "too-many")
    if entry.what == DELIVERED:
        _check_lot_free(yard, entry)
    lot.take_heads(entry.day, heads)


def _treated(yard: Yard, entry: Entry, number: int) -> None:
    if entry.lot:
        known(yard, entry)
    units = yard.chosen(entry.lot, entry.place, ITEMS)
    for unit in units:
        for held in unit.held:
            if entry.lot in ("", held.lot):
                held.until = _latest((held.until, entry.until))


def _restrict(yard: Yard, entry: Entry, number: int) -> None:
    if entry.lot:
        known(yard, entry)
    yard.restrictions.append(
        Restricted(
            what=entry.what,
            places=tuple(spot.place for spot in entry.place),
            lot=entry.lot,
            first=entry.day,
            last=entry.until,
            number=number,
            note=entry.note,
        )
    )


def _released(yard: Yard, entry: Entry, number: int) -> None:
    places = {spot.place for spot in entry.place}
    hit = [
        each
        for each in yard.restrictions
        if each.lot == entry.lot and set(each.places) == places and each.holds(entry.day)
    ]
    if not hit:
        found = f"nothing closed or quarantined on {entry.day}"
        raise Refused(
            "lot" if entry.lot else "place", found, "what an entry closed, named alike", "not-closed"
        )
    # it is free on the day it is released
    last = date.fromordinal(entry.day.toordinal() - 1)
    yard.restrictions = [replace(each, last=last) if each in hit else each for each in yard.restrictions]


def known(yard: Yard, entry: Entry) -> Lot:
    """Return the lot of an entry.

    Raises:
        Refused: there is none of that name, or it is not there yet on that day.
    """
    lot = yard.lots.get(entry.lot)
    if lot is None:
        later = "no lot of that name by then"
        raise Refused(
            "lot", f"'{entry.lot}' on {entry.day}, {later}", "a lot that was sown or found", "no-lot"
        )
    return lot


def _check_open(yard: Yard, entry: Entry, places: Sequence[str], name: str) -> None:
    """Refuse what would go into a place that is closed or quarantined, or is of a lot in quarantine."""
    for each in yard.restrictions:
        if each.holds(entry.day) and set(each.places).intersection(places):
            place = next(place for place in places if place in each.places)
            raise Refused(name, f"{place}, {_told(each)}", "a place that is open", "closed")


def _check_free(yard: Yard, entry: Entry, units: Sequence[Unit]) -> None:
    """Refuse what would come out of quarantine."""
    for each in yard.restrictions:
        if each.what == QUARANTINED and each.holds(entry.day):
            for unit in units:
                if unit.place in each.places or (each.lot and unit.of(each.lot)):
                    name = each.lot or unit.place
                    raise Refused(
                        "place", f"'{name}', {_told(each)}", "it left alone, or released", "quarantined"
                    )


def _check_lot_free(yard: Yard, entry: Entry) -> None:
    for each in yard.restrictions:
        if each.what == QUARANTINED and each.holds(entry.day) and each.lot == entry.lot:
            raise Refused("lot", f"'{entry.lot}', {_told(each)}", "it left alone, or released", "quarantined")


def _told(each: Restricted) -> str:
    end = f" through {each.last}" if each.last else ""
    return f"{each.what} from {each.first}{end} (entry {each.number})"


def _latest(days: Iterable[date | None]) -> date | None:
    return max((day for day in days if day is not None), default=None)


def _places(units: Sequence[Unit]) -> str:
    return ", ".join(dict.fromkeys(unit.place for unit in units))


ACTIONS: dict[str, Callable[[Yard, Entry, int], None]] = {
    FOUND: _found,
    SOWN: _sown,
    GERMINATED: _counted,
    THINNED: _counted,
    MOVED: _moved,
    LOST: _fewer,
    CULLED: _fewer,
    DISCARDED: _discarded,
    CUT: _cut,
    DELIVERED: lambda yard, entry, _: _out_of_cooler(yard, entry),
    TREATED: _treated,
    QUARANTINED: _restrict,
    CLOSED: _restrict,
    RELEASED: _released,
}
"""Kind of entry -> what it does; a withdrawal does nothing by itself."""
