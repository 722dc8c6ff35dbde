"""The farm as the entries leave it, while they are gone through one by one.

Nothing here knows a book, a plan or a crop: whatever an entry needs stands in the entry itself.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from scheduler.records.entries import Put, Spot
from scheduler.records.restricted import Restricted

TRAY, BOARD, RAFT, BED = "tray", "board", "raft", "bed"
"""Kinds of units; in a bed each plant is one by itself, and its slot is its position."""

CELLS, SEEDLINGS, GOOD, PLANTS = "cells", "seedlings", "good seedlings", "plants"
"""What ``plants`` counts: cells sown, cells with a seedling, seedlings to be moved on, plants."""


class Refused(Exception):  # it is an answer, not an error of the program
    """What an entry says cannot be; ``name`` is the field of the entry that says so."""

    def __init__(self, name: str, found: str, expected: str, code: str) -> None:
        """Keep what a fault needs besides the place."""
        super().__init__(f"found {found}; expected {expected}")
        self.name, self.found, self.expected, self.code = name, found, expected, code


@dataclass(slots=True, kw_only=True, eq=False)
class Held:
    """Plants of one lot in one unit; see :class:`scheduler.records.state.Content`."""

    lot: str
    plants: int
    form: str
    cuts: int = 0
    last_cut: date | None = None
    until: date | None = None


@dataclass(slots=True, kw_only=True, eq=False)
class Unit:
    """One tray, board or raft, or one plant in a bed; an empty one is a raft that waits for others.

    Where ``guessed``, nobody told in which slot of its place it stands: ``slot`` is only a number of its own,
    and makes room for what is told to stand there; ``found`` is the number it had when the records began.
    """

    item: str
    place: str
    slot: int
    since: date
    held: list[Held] = field(default_factory=list)
    guessed: bool = False
    found: int = 0

    @property
    def plants(self) -> int:
        """Plants of all its lots."""
        return sum(each.plants for each in self.held)

    def of(self, lot: str) -> int:
        """Return plants of a lot, or of all lots when it is empty."""
        plants = 0
        # asked millions of times of a large farm, whose units mostly hold one lot
        for each in self.held:
            if not lot or each.lot == lot:
                plants += each.plants
        return plants

    def put_in(self, new: Held) -> None:
        """Add plants to those of the same lot that are alike, or beside them."""
        for each in self.held:
            if (each.lot, each.form, each.cuts, each.last_cut, each.until) == (
                new.lot,
                new.form,
                new.cuts,
                new.last_cut,
                new.until,
            ):
                each.plants += new.plants
                return
        self.held.append(new)

    def drop_empty(self) -> None:
        """Forget contents without plants."""
        self.held = [each for each in self.held if each.plants > 0]


@dataclass(slots=True, kw_only=True)
class Stock:
    """Heads of one cut that are not delivered yet."""

    day: date
    heads: int


@dataclass(slots=True, kw_only=True)
class Lot:
    """What is known of a lot besides where it stands; ``stock`` holds its cuts as they were told.

    ``cut`` has (day the plants came into their units, number of the cut) -> plants cut so far; ``moves`` what
    it was set out into each time, and the task of which that was told.
    """

    lot: str
    crop: str
    sown: date | None
    began: date
    cells: int = 0
    seed_lots: list[str] = field(default_factory=list)
    stock: list[Stock] = field(default_factory=list)
    cut: dict[tuple[date, int], int] = field(default_factory=dict)
    moves: list[tuple[str, str]] = field(default_factory=list)

    def in_cooler(self, day: date) -> int:
        """Return heads cut by a day that are not delivered yet."""
        return sum(cut.heads for cut in self.stock if cut.day <= day)

    def take_heads(self, day: date, heads: int) -> None:
        """Take heads cut by a day out of the cooler, the oldest first; there must be as many."""
        for cut in sorted(self.stock, key=lambda each: each.day):
            taken = min(cut.heads, heads) if cut.day <= day else 0
            cut.heads -= taken
            heads -= taken


class Yard:
    """All units by place, all lots, and what is closed.

    Attributes:
        at: place -> its units; in rows from the harvest end, else by slot.
        lots: lot code -> what is known of it.
        restrictions: quarantines and closures in the order they were told.
    """

    def __init__(self) -> None:
        """Begin with an empty farm."""
        self.at: dict[str, list[Unit]] = defaultdict(list)
        self.lots: dict[str, Lot] = {}
        self.restrictions: list[Restricted] = []
        self._been: dict[str, set[str]] = defaultdict(set)

    def units(self) -> Iterator[Unit]:
        """Yield every unit, place by place."""
        for units in self.at.values():
            yield from units

    def holding(self, lot: str) -> Iterator[Unit]:
        """Yield the units with plants of a lot, or of any lot when it is empty, place by place.

        Only places to which some of it ever came are looked through: of a large farm they are few.
        """
        been = self._been.get(lot, ())
        for place, units in self.at.items():
            if not lot or place in been:
                yield from (unit for unit in units if unit.of(lot))

    def slot_of(self, unit: Unit) -> int:
        """Return a unit's slot, 0 where it is not known; in a row its rank from the harvest end."""
        if unit.item == RAFT:
            return self.at[unit.place].index(unit) + 1
        return 0 if unit.guessed else unit.slot

    def in_slot(self, place: str, slot: int, since: date, *, guessed: bool = False) -> Unit | None:
        """Return the tray or board in a slot that was filled on a day; None when there is none."""
        return next(
            (
                unit
                for unit in self.at[place]
                if slot and unit.slot == slot and unit.since == since and unit.guessed is guessed
            ),
            None,
        )

    def chosen(self, lot: str, spots: Sequence[Spot], items: Sequence[str]) -> list[Unit]:
        """Return the units of some kinds that hold a lot, in order, at some spots or anywhere.

        Raises:
            Refused: a slot is named in which the lot does not stand, or it stands nowhere there.
        """
        if not spots:
            found = [unit for unit in self.holding(lot) if unit.item in items]
        else:
            # a place of which no slot is known may be named once for each unit in it
            taken: list[Unit] = []
            several = (unit for spot in spots for unit in self._at_spot(lot, spot, (items, taken)))
            found = list(dict.fromkeys(several))
        if found or not lot:
            return found
        where = sorted({unit.place for unit in self.holding(lot)})
        nothing = "" if where else ", of which nothing stands"
        there = f"{_listed(spots)}, where none of '{lot}' stands" if spots else f"'{lot}'{nothing}"
        kinds = " or ".join(items)
        expected = (
            f"a place where it stands: {', '.join(where)}" if where else f"a lot that stands in a {kinds}"
        )
        raise Refused("place" if spots else "lot", there, expected, "not-there")

    def _at_spot(self, lot: str, spot: Spot, asked: tuple[Sequence[str], list[Unit]]) -> Iterator[Unit]:
        """Yield the units of a spot; those whose slot is not known are each ``taken`` for one slot only."""
        items, taken = asked
        for slot in spot.slots:
            unit = self._in_slot(lot, spot.place, slot, taken)
            if unit is None or (lot and not unit.of(lot)):
                inside = " and ".join(sorted({each.lot for each in unit.held})) if unit else ""
                named = f"{self._slot_word(spot.place)} {slot}" if slot > 0 else "without a slot"
                found = f"{spot.place} {named}, " + (f"which holds {inside}" if inside else "which is empty")
                raise Refused("place", found, self._slots_with(lot, spot.place), "not-there")
            taken.append(unit)
            if unit.item in items:
                yield unit
        if not spot.slots:
            yield from (unit for unit in self.at[spot.place] if unit.item in items and unit.of(lot))

    def _in_slot(self, lot: str, place: str, slot: int, taken: Sequence[Unit]) -> Unit | None:
        """Return what is meant by a slot; of those whose slot is not known, one that holds the lot."""
        told = [each for each in self.at[place] if self.slot_of(each) == slot]
        guessed = [each for each in self.at[place] if each.guessed and each not in taken]
        if slot < 0:
            alike = (each for each in guessed if each.of(lot))
            return min(alike, key=lambda each: each.found != -slot, default=None)
        # a number that was written before it was known to be a guess still means the same unit
        there = [*told, *(each for each in guessed if each.slot == slot)]
        if lot:
            holding = (each for each in (*there, *guessed) if each.of(lot))
            return next(holding, next(iter(told), None))
        return next((each for each in there if each.held), next(iter(there), None))

    def _slots_with(self, lot: str, place: str) -> str:
        slots = [str(self.slot_of(unit)) for unit in self.at[place] if unit.of(lot) and not unit.guessed]
        what = f"'{lot}'" if lot else "something"
        if not slots:
            return f"a place where {what} stands"
        return f"{self._slot_word(place)} {', '.join(slots)}, where {what} stands"

    def _slot_word(self, place: str) -> str:
        return "position" if any(unit.item == BED for unit in self.at[place]) else "slot"

    def put(self, puts: Iterable[Put], new: Unit, held: Held) -> None:
        """Put plants into units; ``new`` and ``held`` are patterns of those that are made.

        Raises:
            Refused: the unit that is to be shared is not there, or came on another day.
        """
        several = tuple(puts)
        rafts_before = {put.place: list(self.at.get(put.place, ())) for put in several}
        for put in several:
            unit = self._target(put, new, rafts_before[put.place])
            unit.put_in(_copy(held, put.plants))
            self._been[held.lot].add(put.place)

    def _target(self, put: Put, new: Unit, before: list[Unit]) -> Unit:
        if put.slot < 0:
            shared = before[put.slot] if len(before) >= -put.slot else None
            if shared is None or shared.since != new.since or not shared.held:
                found = f"a raft of {put.place} to share"
                raise Refused("to", found, "one that came in on the same day", "not-there")
            return shared
        there = self.in_slot(put.place, put.slot, new.since, guessed=new.guessed)
        if there is not None:
            return there
        made = Unit(item=new.item, place=put.place, slot=put.slot, since=new.since, guessed=new.guessed)
        made.found = put.slot if new.guessed else 0
        self.stand(made)
        return made

    def stand(self, unit: Unit) -> None:
        """Let a unit stand in its place: in rows behind all others, else by its slot.

        Where only a guess has another there, that one stands elsewhere.
        """
        units = self.at[unit.place]
        units.append(unit)
        if unit.slot and not unit.guessed:
            for other in units:
                if other.guessed and other.slot == unit.slot:
                    other.slot = _lowest_free({each.slot for each in units})
        for each in unit.held:
            self._been[each.lot].add(unit.place)
        if unit.item != RAFT:
            units.sort(key=lambda each: each.slot)

    def remove(self, unit: Unit) -> None:
        """Let a unit leave its place."""
        self.at[unit.place] = [each for each in self.at[unit.place] if each is not unit]

    def tidy(self, touched: Iterable[Unit], *, lifted: bool) -> None:
        """Let what is empty leave: trays and boards at once, rafts when none is ahead of them.

        ``lifted`` lets emptied rafts leave past others.
        """
        lanes = set()
        for unit in touched:
            unit.drop_empty()
            if unit.item == RAFT:
                lanes.add(unit.place)
            if not unit.held and (unit.item != RAFT or lifted):
                self.remove(unit)
        for lane in lanes:
            self.close_up(lane)

    def close_up(self, lane: str) -> None:
        """Let empty rafts at the harvest end leave."""
        while self.at[lane] and not self.at[lane][0].held:
            self.at[lane].pop(0)


def _lowest_free(taken: set[int]) -> int:
    return next(number for number in range(1, len(taken) + 2) if number not in taken)


def _copy(held: Held, plants: int) -> Held:
    return Held(
        lot=held.lot,
        plants=plants,
        form=held.form,
        cuts=held.cuts,
        last_cut=held.last_cut,
        until=held.until,
    )


def _listed(spots: Sequence[Spot]) -> str:
    return ", ".join(dict.fromkeys(spot.place for spot in spots))
