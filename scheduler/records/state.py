"""What stands where by the records: the entries gone through in the order in which they happened.

The same entries give the same state, whoever asks and whatever the book says by then.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from scheduler.records.applying import apply
from scheduler.records.entries import CLOSED, Entry, in_force
from scheduler.records.restricted import Restricted
from scheduler.records.yard import Unit, Yard


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Plants of one lot in one unit.

    Attributes:
        lot: lot code.
        plants: how many.
        form: what was counted: ``cells`` sown, ``seedlings`` (cells with one), ``good seedlings`` that the
            book counts on, or ``plants``.
        cuts, last_cut: how often these plants were cut, and when the last time.
        until: last day on which a treatment forbids to cut them; None for none.
    """

    lot: str
    plants: int
    form: str
    cuts: int
    last_cut: date | None
    until: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One tray, board or raft, or one plant in a bed; a raft without contents waits for those ahead of it.

    Attributes:
        item: tray, board, raft or bed.
        place: where it stands; a shelf where its tier is not known.
        slot: its slot, in a row the rank from the harvest end, in a bed its position; 0 where not known.
        since: day it was filled.
        contents: what it holds.
    """

    item: str
    place: str
    slot: int
    since: date
    contents: tuple[Content, ...]

    def of(self, lot: str) -> int:
        """Return the plants of a lot."""
        return sum(each.plants for each in self.contents if each.lot == lot)

    @property
    def plants(self) -> int:
        """Plants of all its lots."""
        return sum(each.plants for each in self.contents)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotFacts:
    """What is known of a lot besides where it stands.

    Attributes:
        lot, crop: code and crop.
        sown: day it was sown, None where not known.
        began: day of the first entry about it.
        cells: cells sown; 0 for what was found growing.
        seed_lots: lots of its seed.
        cooler: (day of the cut, heads of it not delivered yet), without those that are all gone.
        cut: (day the plants came into their units, number of the cut, plants cut so far).
    """

    lot: str
    crop: str
    sown: date | None
    began: date
    cells: int
    seed_lots: tuple[str, ...]
    cooler: tuple[tuple[date, int], ...]
    cut: tuple[tuple[date, int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The farm by the records.

    Attributes:
        units: by place; rafts of a row from the harvest end, else by slot.
        lots: lot code -> what is known of it, in the order of the records.
        restricted: every quarantine and closure, in the order of the records.
    """

    units: tuple[Standing, ...]
    lots: Mapping[str, LotFacts]
    restricted: tuple[Restricted, ...]

    def holding(self, lot: str) -> tuple[Standing, ...]:
        """Return the units that hold a lot."""
        return tuple(unit for unit in self.units if unit.of(lot))

    def in_place(self, place: str) -> tuple[Standing, ...]:
        """Return the units of a place, in order."""
        return tuple(unit for unit in self.units if unit.place == place)


def replay(numbered: Iterable[tuple[int, Entry]], until: date | None = None) -> State:
    """Return the state after all entries, or after those of days up to ``until``.

    Closures that begin later are told as well: they are known already.

    Raises:
        Refused: an entry cannot be, which no log has that was written by :mod:`scheduler.records.recording`.
    """
    yard = Yard()
    for each in in_force(numbered):
        if until is None or each.entry.day <= until or each.entry.what == CLOSED:
            apply(yard, each.entry, each.number)
    return state_of(yard)


def state_of(yard: Yard) -> State:
    """Return a yard as it is now, places in order of their names."""
    return State(
        units=tuple(_standing(yard, unit) for place in sorted(yard.at) for unit in yard.at[place]),
        lots={
            lot.lot: LotFacts(
                lot=lot.lot,
                crop=lot.crop,
                sown=lot.sown,
                began=lot.began,
                cells=lot.cells,
                seed_lots=tuple(lot.seed_lots),
                cooler=tuple((cut.day, cut.heads) for cut in lot.stock if cut.heads),
                cut=tuple((since, number, plants) for (since, number), plants in lot.cut.items()),
            )
            for lot in yard.lots.values()
        },
        restricted=tuple(yard.restrictions),
    )


def _standing(yard: Yard, unit: Unit) -> Standing:
    return Standing(
        item=unit.item,
        place=unit.place,
        slot=yard.slot_of(unit),
        since=unit.since,
        contents=tuple(
            Content(
                lot=held.lot,
                plants=held.plants,
                form=held.form,
                cuts=held.cuts,
                last_cut=held.last_cut,
                until=held.until,
            )
            for held in unit.held
        ),
    )
