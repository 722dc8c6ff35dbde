"""The slots in which trays and boards stand on the first day, where the book tells them."""

from collections.abc import Sequence

from scheduler.book.faults import FaultLog
from scheduler.farm.from_book.places import Layout
from scheduler.farm.from_book.together import FoundRow


def first_slots(found: Sequence[FoundRow], layout: Layout, log: FaultLog) -> list[int]:
    """Return the slot of the first unit of each row of trays or boards, 0 where none is told.

    A row takes as many slots one behind the other as it has units, rows of one shared unit the same. Slots
    that two rows take, or that the place never has, are a fault, and so is a slot of a whole shelf.
    """
    there = {place.name: place.slots.highest() for place in layout.places}
    taken: dict[tuple[str, int], FoundRow] = {}
    firsts = []
    for one in found:
        first = one.row.whole_or_none("order") or 0
        firsts.append(first)
        slots = range(first, first + one.units) if first else range(0)
        cell, said = one.row.cell("order"), f"slot {first} of '{one.place}'"
        twice = next((taken[one.place, slot] for slot in slots if (one.place, slot) in taken), None)
        if slots and one.place not in there:
            tier = next(iter(layout.shelves.get(one.place, ())), one.place)
            log.add(cell, said, f"a blank cell, or a tier as its place, such as '{tier}'", "no-slot")
        elif slots and slots[-1] > there[one.place]:
            last = f"slot {slots[-1]} of '{one.place}'"
            log.add(cell, last, f"at most its {there[one.place]} slots", "no-room")
        elif twice is not None and not (one.together and one.together == twice.together):
            log.add(cell, said, f"slots that {twice.row.cell('order')} does not take", "taken")
        taken.update({(one.place, slot): one for slot in slots})
    return firsts
