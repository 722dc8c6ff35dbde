"""What stands, unit by unit and lot by lot, as far as the book can tell of it."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from crops.library import card
from scheduler.book.words import counted
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.units import WHOLE_SHARE, share_down
from scheduler.records.state import Content, Standing, State
from scheduler.records.yard import BED, CELLS, GOOD, SEEDLINGS, TRAY, Held

PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Plants of one lot in one unit.

    Attributes:
        unit, content: the unit and the plants.
        place: where the book is told that it stands.
        kind: the unit's name in the equipment.
        plants: plants that are counted on.
        extra: whether the unit is told of already for another lot, and must be counted again.
        together: name of the unit where several share it and are told so; empty else.
    """

    unit: Standing
    content: Content
    place: str
    kind: str
    plants: int
    extra: bool
    together: str = ""


@dataclass(slots=True)
class Notes:
    """What a book cannot say, each once."""

    _said: dict[str, None] = field(default_factory=dict)

    def add(self, text: str) -> None:
        """Note something."""
        self._said[text] = None

    @property
    def said(self) -> tuple[str, ...]:
        """All of it, in order."""
        return tuple(self._said)


def seedling_share(crop: Crop) -> int:
    """Return the share of seedlings that are good enough to move on, in parts of ten thousand.

    It is the book's own figure, else the card's; where neither has one, all of them.
    """
    own = dict(crop.own_figures).get("survival_tray_percent")
    if own is not None:
        return Fraction(own) * WHOLE_SHARE // PERCENT
    value = card(crop.card).value("survival_tray") if crop.card else None
    return WHOLE_SHARE if value is None else Fraction(str(value)) * WHOLE_SHARE // 1


def expected(crop: Crop, content: Content | Held) -> int:
    """Return the plants that can be counted on to go on from a unit: of trays the good seedlings.

    Trays that are cut as they stand count by their cells.
    """
    if crop.is_cut_in_trays:
        return content.plants
    if content.form == CELLS:
        return share_down(content.plants, crop.tray.survival)
    if content.form == SEEDLINGS:
        return share_down(content.plants, seedling_share(crop))
    return content.plants


def pieces_of(farm: Farm, state: State, notes: Notes) -> list[Piece]:
    """Return everything that stands, places in the order of the farm, the largest lot of a unit first."""
    owners = list(dict.fromkeys(place.belongs_to for place in farm.places))
    places = [*owners, *(place.name for place in farm.places if place.name not in owners)]
    found: list[Piece] = []
    for place in places:
        for unit in state.in_place(place):
            found += _of_unit(farm, state, unit, notes)
    return found


def _of_unit(farm: Farm, state: State, unit: Standing, notes: Notes) -> Iterator[Piece]:
    """Yield what a unit holds; where its place is known to the slot, several tell that they share it."""
    known = any(place.name == unit.place for place in farm.places)
    contents = sorted(unit.contents, key=lambda each: -each.plants)
    contents = contents if known else list(_largest(unit, contents, notes))
    found, room = [], Fraction(1)
    for content in contents:
        plants, kind = _counted_on(farm, state, (unit, content), notes)
        if plants > 0:
            stage = farm.crops[state.lots[content.lot].crop].stage(StageKind(unit.item))
            most = int(room * stage.plants_per_unit) if stage and known else plants
            if plants > most:
                notes.add(
                    f"{where(unit)}: {counted(plants, 'plant')} of {content.lot} beside others stand closer "
                    f"than the book has it; {most} are counted on"
                )
            plants = min(plants, most)
            room -= Fraction(plants, stage.plants_per_unit) if stage else 0
        if plants > 0:
            found.append((content, plants, kind))
    name = _name(state, unit) if known and len(found) > 1 else ""
    for told, (content, plants, kind) in enumerate(found):
        yield Piece(
            unit=unit,
            content=content,
            place=unit.place,
            kind=kind,
            plants=plants,
            extra=told > 0 and not name,
            together=name,
        )


def _largest(unit: Standing, contents: Sequence[Content], notes: Notes) -> Iterator[Content]:
    """Yield the largest part of each lot: a unit whose slot is not known has one day for it."""
    by_lot: dict[str, list[Content]] = defaultdict(list)
    for content in contents:
        by_lot[content.lot].append(content)
    for lot, those in by_lot.items():
        rest = sum(each.plants for each in those[1:])
        if rest:
            notes.add(
                f"{where(unit)}: {counted(rest, 'plant')} more of {lot}, cut at another time; the book has "
                f"one day for a {unit.item} whose slot is not known, so they are not counted on"
            )
        yield those[0]


def _name(state: State, unit: Standing) -> str:
    """Return a name for a unit that several share; those of one place have names of their own."""
    beside = [other for other in state.in_place(unit.place) if other.slot == unit.slot]
    at = next(at for at, other in enumerate(beside, start=1) if other is unit)
    return where(unit) if len(beside) == 1 else f"{where(unit)}, shared {at}"


def _counted_on(farm: Farm, state: State, stands: tuple[Standing, Content], notes: Notes) -> tuple[int, str]:
    """Return the plants that are counted on, and the kind of unit they stand in."""
    unit, content = stands
    grown = state.lots[content.lot].crop
    crop = farm.crops.get(grown)
    stage = crop.stage(StageKind(unit.item)) if crop else None
    if crop is None or stage is None:
        notes.add(f"{content.lot} is {grown}, which the book does not grow in a {unit.item}: left out")
        return 0, ""
    if unit.item == BED and not unit.slot:
        plants_said = counted(content.plants, "plant")
        notes.add(f"{where(unit)}: {plants_said} of {content.lot}, position not known: left out")
        return 0, ""
    if unit.item == crop.finish.kind and content.cuts >= crop.cuts and crop.picking is None:
        notes.add(f"{where(unit)}: {counted(content.plants, 'plant')} of {content.lot} had all their cuts")
        return 0, ""
    plants = expected(crop, content)
    if not plants:
        notes.add(f"{where(unit)}: no seedling of {content.lot} can be counted on")
    if plants > stage.plants_per_unit:
        notes.add(
            f"{where(unit)}: {counted(plants, 'plant')} of {content.lot} stand closer than the book has it; "
            f"{stage.plants_per_unit} are counted on"
        )
    return min(plants, stage.plants_per_unit), stage.unit


def fitting(farm: Farm, pieces: Sequence[Piece], first_day: date, notes: Notes) -> list[Piece]:
    """Return the pieces for which the book has room, those that are no extra always.

    An extra tray may count on another tier of its shelf. What finds no room is left out, smallest first.
    """
    room = _Room(farm, pieces, first_day)
    placed: dict[int, Piece] = {}
    for at in sorted(range(len(pieces)), key=lambda at: (pieces[at].extra, -pieces[at].plants)):
        piece = pieces[at]
        place = room.take(piece) if piece.extra else piece.place
        if place is None:
            notes.add(
                f"{where(piece.unit)}: {counted(piece.plants, 'plant')} of {piece.content.lot} share it; a "
                "row of the book has units of its own, and there is no room to count it again: left out"
            )
            continue
        if piece.extra:
            moved = "" if place in room.owner_of else f", as one on {place}"
            notes.add(
                f"{where(piece.unit)} is shared with {piece.content.lot}; a row of the book has units of its "
                f"own, so this {piece.unit.item} is counted once more{moved}"
            )
        placed[at] = replace(piece, place=place)
    return [placed[at] for at in sorted(placed)]


class _Room:
    """Room for units that are counted once more: slots of places, of shelves and troughs, and units owned."""

    def __init__(self, farm: Farm, pieces: Sequence[Piece], first_day: date) -> None:
        self.owner_of = {place.name: place.belongs_to for place in farm.places}
        self.slots = Counter[str]()
        for place in farm.places:
            number = place.slots.on(farm.calendar.day_of(first_day))
            self.slots[place.name] += number
            self.slots[place.belongs_to] += number if place.belongs_to != place.name else 0
        self.owned = {kind.name: kind.owned for kind in farm.equipment.values()}
        self.used, self.kinds = Counter[str](), Counter[str]()
        for piece in {id(piece.unit): piece for piece in pieces if not piece.extra}.values():
            self._count(piece, piece.place)

    def take(self, piece: Piece) -> str | None:
        """Return where a unit counts once more; a tray may count on its shelf. None without room."""
        owner = self.owner_of.get(piece.place, piece.place)
        if self.kinds[piece.kind] >= self.owned.get(piece.kind, 0) or self.used[owner] >= self.slots[owner]:
            return None
        here = piece.place in self.owner_of and self.used[piece.place] < self.slots[piece.place]
        if not here and piece.unit.item != TRAY:
            return None
        place = piece.place if here else owner
        self._count(piece, place)
        return place

    def _count(self, piece: Piece, place: str) -> None:
        self.kinds[piece.kind] += 1
        for name in {place, self.owner_of.get(place, place)}:
            self.used[name] += 1


def note_what_is_left_out(farm: Farm, state: State, notes: Notes) -> None:
    """Note rafts that only wait, and what stands in places the book no longer has."""
    empty = Counter(unit.place for unit in state.units if not unit.contents)
    for place, number in empty.items():
        rafts = "an empty raft waits" if number == 1 else f"{number} empty rafts wait"
        notes.add(f"{place}: {rafts} for those ahead; the closures of the new book keep that room")
    known = {name for place in farm.places for name in (place.name, place.belongs_to)}
    for place in dict.fromkeys(unit.place for unit in state.units if unit.place not in known):
        lots = sorted({content.lot for unit in state.in_place(place) for content in unit.contents})
        notes.add(f"{place} is no place of the book any more; left out: {', '.join(lots)}")


def where(unit: Standing) -> str:
    """Return the place of a unit and its slot, where it is known."""
    slot = "position" if unit.item == BED else "slot"
    return f"{unit.place} {slot} {unit.slot}" if unit.slot else unit.place


FORMS = {CELLS: "cells", SEEDLINGS: "seedlings", GOOD: "seedlings"}
"""What is counted -> the word for it; plants for anything else."""


def said_of(content: Content) -> str:
    """Return what a count counts: cells, seedlings or plants."""
    return FORMS.get(content.form, "plants")
