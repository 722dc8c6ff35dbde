"""Names short enough for a label: ``T260302-01`` is the first tray filled on 2 March 2026."""

from collections import Counter

from scheduler.farm.farm import Farm
from scheduler.plan.layout.units import Unit

LETTERS = {"tray": "T", "board": "B", "raft": "R"}


def give_names(farm: Farm, units: list[Unit]) -> list[Unit]:
    """Name all units after the day they were filled, in the order they stand; return them in that order."""
    order = {place.name: at for at, place in enumerate(farm.places)}

    def place(at: int) -> tuple[object, ...]:
        unit = units[at]
        first = unit.stands[0]
        return list(LETTERS).index(unit.item), unit.enters, order[first.place], first.slot, at

    ranked = [units[at] for at in sorted(range(len(units)), key=place)]
    numbers: Counter[str] = Counter()
    for unit in ranked:
        stem = f"{LETTERS[unit.item]}{farm.date_of(unit.enters):%y%m%d}"
        numbers[stem] += 1
        unit.name = f"{stem}-{numbers[stem]:02d}"
    return ranked
