"""Names of a farm's places as people write them, turned into spots."""

import re
from collections.abc import Iterator

from scheduler.book.faults import quoted
from scheduler.book.names import meant
from scheduler.book.names import plain as without_case
from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.records.entries import Spot
from scheduler.records.yard import BED, BOARD, RAFT, TRAY, Refused

ITEM_OF = {PlaceKind.TIER: TRAY, PlaceKind.ZONE: BOARD, PlaceKind.LANE: RAFT, PlaceKind.BED: BED}
SLOTS = re.compile(r"(?P<name>.+?),? (?:slots?|positions?) (?P<slots>[0-9][0-9, -]*)", re.IGNORECASE)
ENDS = re.compile(r"(the )?(intake|harvest) end of ", re.IGNORECASE)


class Ground:
    """The places of a farm by the names they may be called."""

    def __init__(self, farm: Farm) -> None:
        """Take a farm."""
        self.farm = farm
        self.places = {place.name: place for place in farm.places}
        self.parts: dict[str, tuple[str, ...]] = {}
        for place in farm.places:
            self.parts[place.belongs_to] = (*self.parts.get(place.belongs_to, ()), place.name)
        names = [*self.places, *(owner for owner in self.parts if owner not in self.places)]
        self._names = {without_case(name): name for name in reversed(names)}

    def spots(self, text: str, name: str) -> tuple[Spot, ...]:
        """Read ``Shelf A 1 slots 1-3; Shelf A 2`` or ``intake end of North trough 1``.

        Shelves and troughs stay whole, see :meth:`expanded`. ``name`` is the field that says so.

        Raises:
            Refused: a place is not known, or a slot is none.
        """
        return tuple(self._spot(part.strip(), name) for part in text.split(";") if part.strip())

    def _spot(self, text: str, name: str) -> Spot:
        text = ENDS.sub("", text, count=1)
        whole = self._known(text)
        if whole is not None:
            return Spot(whole)
        match = SLOTS.fullmatch(text)
        place = self._known(match["name"]) if match else None
        if match is None or place is None:
            said = match["name"] if match else text
            expected = meant(said, self._names.values(), most=20)
            raise Refused(name, f"{quoted(said)}, which is no place of the farm", expected, "no-place")
        if place not in self.places:
            expected = f"one of its parts, such as '{self.parts[place][0]}'"
            raise Refused(name, f"'{place}' and a slot", expected, "no-slot")
        return Spot(place, tuple(self._slots(match["slots"], place, name)))

    def _known(self, text: str) -> str | None:
        return text if text in self.places else self._names.get(without_case(text))

    def _slots(self, text: str, place: str, name: str) -> Iterator[int]:
        most = self.places[place].slots.highest()
        for part in text.replace(" ", "").strip(",").split(","):
            ends = re.fullmatch(r"([0-9]{1,5})(?:-([0-9]{1,5}))?", part)
            first, last = (int(ends[1]), int(ends[2] or ends[1])) if ends else (0, 0)
            if not 1 <= first <= last <= most:
                raise Refused(
                    name, f"{quoted(part)} as slots of {place}", f"slots from 1 to {most}", "no-slot"
                )
            yield from range(first, last + 1)

    def expanded(self, spots: tuple[Spot, ...]) -> tuple[Spot, ...]:
        """Return spots with a shelf or trough as all of its parts.

        A shelf stands for itself as well: what was found on it may have no tier.
        """
        found: list[Spot] = []
        for spot in spots:
            found.append(spot)
            if spot.place not in self.places:
                found += [Spot(part) for part in self.parts[spot.place]]
        return tuple(dict.fromkeys(found))

    def of_item(self, spots: tuple[Spot, ...], name: str) -> tuple[str, list[tuple[Place, tuple[int, ...]]]]:
        """Return the kind of unit that some spots take, and their places with the slots that are named.

        Of a trough with rows and a board zone its rows are meant.

        Raises:
            Refused: they take different kinds.
        """
        places = [
            (self.places[part], spot.slots)
            for spot in spots
            for part in ([spot.place] if spot.place in self.places else self.parts[spot.place])
        ]
        whole = {spot.place for spot in spots} - set(self.places)
        kinds = {place.kind for place, _ in places}
        if whole and PlaceKind.LANE in kinds:
            places = [(place, slots) for place, slots in places if place.kind is PlaceKind.LANE]
        items = {ITEM_OF[place.kind] for place, _ in places}
        if len(items) != 1:
            found = ", ".join(spot.place for spot in spots)
            raise Refused(name, found, "places of one kind", "mixed-places")
        return items.pop(), places
