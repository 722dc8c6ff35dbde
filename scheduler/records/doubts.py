"""What the records say that a farm can hardly be: most often something that left was not recorded."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from datetime import date

from scheduler.book.words import counted
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.records.ground import ITEM_OF
from scheduler.records.state import Standing, State


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
