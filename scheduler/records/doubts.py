"""What the records say that a farm can hardly be: most often something that left was not recorded."""

from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Iterator, Sequence
from datetime import date

from scheduler.book.names import nearest
from scheduler.book.words import counted
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.records.entries import CULLED, CUT, DELIVERED, DISCARDED, LOST, Entry, in_force
from scheduler.records.ground import ITEM_OF
from scheduler.records.state import Standing, State

ENDS = (LOST, CULLED, DISCARDED, CUT, DELIVERED)
"""Kinds of entries after which there is less than before, so that one told by two people counts twice."""


def told_alike(log: Iterable[tuple[int, Entry]], new: Container[int]) -> Iterator[str]:
    """Yield a line for each new entry that says of the same day what an earlier one says that holds.

    Args:
        log: number and entry of all, by number.
        new: the numbers that were given just now.
    """
    first: dict[tuple[object, ...], tuple[int, str]] = {}
    for each in in_force(log):
        entry = each.entry
        if entry.what not in ENDS:
            continue
        places = tuple(spot.place for spot in entry.place)
        said = (entry.what, entry.day, entry.lot, places, entry.plants, entry.left, entry.heads)
        number, task = first.setdefault(
            (*said, entry.product, entry.customer, entry.delivery), (each.number, entry.task)
        )
        # Two tasks of the plan may come to the same.
        if number != each.number and each.number in new and not (task and entry.task and task != entry.task):
            yield (
                f"Entry {each.number} says the same as entry {number}, and both count: "
                f"if it was told twice, record withdraw {each.number}"
            )


def misspelt_customers(farm: Farm, log: Iterable[tuple[int, Entry]], new: Container[int]) -> Iterator[str]:
    """Yield a line for each new entry of a customer that is nobody of the book, but is called like somebody.

    Whoever buys at the gate stands in no book, and is told as whoever it is.
    """
    known = {demand.customer for demand in farm.demands if demand.customer}
    known |= {week.outlet for week in farm.outlets}
    by_first = {name.split()[0]: name for name in known}
    for number, entry in log:
        if number in new and entry.what == DELIVERED and entry.customer and entry.customer not in known:
            first = nearest(entry.customer.split()[0], by_first)
            meant = nearest(entry.customer, known) or by_first.get(first or "")
            if meant:
                yield (
                    f"Entry {number} is for '{entry.customer}', who is not in the book: if it was "
                    f"'{meant}', record correct {number} --customer '{meant}'"
                )


def doubts(farm: Farm, state: State, day: date) -> list[str]:
    """Return a line for each place with more units than slots on a day, and for each slot held twice."""
    said = []
    number = farm.calendar.day_of(day)
    there: dict[str, list[int]] = defaultdict(list)
    for unit in state.units:
        there[unit.place].append(unit.slot)
    for place in farm.places:
        slots, room = there.get(place.name, []), place.slots.on(number)
        what = "plant" if place.kind is PlaceKind.BED else ITEM_OF[place.kind]
        if len(slots) > room:
            open_ones = counted(room, "position" if what == "plant" else "slot")
            stand = f"{counted(len(slots), what)} stand in {place.name}, which has {open_ones}"
            said.append(f"{stand}: record what left")
            continue
        for slot, times in sorted(Counter(slots).items()):
            if slot and times > 1:
                where = f"{'position' if what == 'plant' else 'slot'} {slot}"
                of = _lots([unit for unit in state.units if (unit.place, unit.slot) == (place.name, slot)])
                said.append(
                    f"{counted(times, what)}{of} stand in {where} of {place.name}, which holds one: record "
                    "which left, or where it stands now"
                )
    return said


def _lots(units: Sequence[Standing]) -> str:
    """Return whose units these are: `` of BUT-260302 and BAS-260401``; nothing for empty ones."""
    lots = list(dict.fromkeys(content.lot for unit in units for content in unit.contents))
    return f" of {' and '.join(lots)}" if lots else ""
