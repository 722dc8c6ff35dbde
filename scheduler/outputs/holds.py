"""What the farm's places hold, in words, so that a grower sees at once whether the book was understood."""

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.outputs.words import counted, plain


def holds(farm: Farm) -> list[str]:
    """Return one line for each shelf, trough and bed, such as ``North trough: 3 rows of 9 rafts``."""
    lines = []
    for name in dict.fromkeys(place.belongs_to for place in farm.places):
        own = [place for place in farm.places if place.belongs_to == name]
        parts = [
            *_rows([place for place in own if place.kind is PlaceKind.TIER], "tier", "tray"),
            *_rows([place for place in own if place.kind is PlaceKind.LANE], "row", "raft"),
            *(
                f"{plain(place.name)} for {_most(place, 'board')}"
                for place in own
                if place.kind is PlaceKind.ZONE
            ),
            *(_most(place, "position") for place in own if place.kind is PlaceKind.BED),
        ]
        lines.append(f"{plain(name)}: {', '.join(parts)}")
    return lines


def _rows(places: list[Place], row: str, unit: str) -> list[str]:
    """Return places of equal slots together, in the order they first come."""
    sizes: dict[str, int] = {}
    for place in places:
        said = _most(place, unit)
        sizes[said] = sizes.get(said, 0) + 1
    return [f"{counted(number, row)} of {said}" for said, number in sizes.items()]


def _most(place: Place, unit: str) -> str:
    steps = place.slots.steps
    changes = len({slots for _, slots in steps}) > 1
    return ("up to " if changes else "") + counted(place.slots.highest(), unit)
