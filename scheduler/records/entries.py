"""One entry of the records: what was done or counted, on which day, to which lot, where and by whom.

An entry is complete in itself: how many plants came into which unit stands in it, so that the state of the
farm follows from the entries alone, whatever becomes of the book later.
"""

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from scheduler.plan.earlier import lot_at_large

FOUND, SOWN, GERMINATED, THINNED = "found", "sown", "germinated", "thinned"
MOVED, LOST, CULLED, DISCARDED = "moved", "lost", "culled", "discarded"
CUT, DELIVERED, TREATED = "cut", "delivered", "treated"
QUARANTINED, CLOSED, RELEASED, WITHDRAWN = "quarantined", "closed", "released", "withdrawn"

KINDS: dict[str, str] = {
    FOUND: "stood there when the records began",
    SOWN: "seed was sown into trays",
    GERMINATED: "cells with a seedling were counted",
    THINNED: "doubles were thinned; cells with a seedling were counted",
    MOVED: "plants were set on boards or rafts or into beds, or whole units changed their place",
    LOST: "plants died or went missing",
    CULLED: "plants were taken out on purpose",
    DISCARDED: "all that was left of a lot, or of a place, was thrown away",
    CUT: "plants were cut, or picked in a bed; heads that can be sold were counted",
    DELIVERED: "heads of a lot went to a customer",
    TREATED: "something was applied; nothing of it may be cut while its interval lasts",
    QUARANTINED: "nothing may go into, out of or be cut in a place, or of a lot",
    CLOSED: "nothing may go into a place, for cleaning or repair",
    RELEASED: "a quarantine or a closure ended before its last day",
    WITHDRAWN: "an earlier entry never happened",
}
"""Kind of entry -> what it says."""

NEW, LAST = 0, -1
"""Slots of :class:`Put`: a new unit without a slot of its own, and the unit nearest the intake end."""


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A place, and the slots of it that are meant; none for all of it.

    A slot that nobody told is a guess, which tells units of one lot apart, and is written with a minus.
    """

    place: str
    slots: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, order=True)
class Put:
    """Plants that came into one unit.

    ``slot`` is its slot: on tiers and board zones a new unit, or the one there; in rows 0 is a new raft at
    the intake end, -1 the raft nearest that end, -2 the one ahead of it; in beds it is the position. Where
    whole units change their place ``plants`` is 0.
    """

    place: str
    slot: int
    plants: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry, complete.

    Attributes:
        op: name of the entry, given where it was made; one that is known already is not taken again.
        what: kind of entry, a key of :data:`KINDS`.
        day: day on which it was done, the farm's own date; of a closure the first day closed.
        at: time at which it was done, UTC, such as ``2026-03-29T01:30:00Z``; empty when only the day is told.
        lot, crop: which plants; of a treatment or quarantine empty when it is for a place.
        stage: what the plants of ``to`` came into: tray, board, raft or bed.
        place: where they stood, or what is treated or closed.
        to: units they came into.
        plants: plants, cells of trays, or sale units delivered.
        left: plants that stayed where they were; of those cut, plants that stay for another cut; of those
            culled, where whole trays, boards or rafts were emptied.
        heads: heads that can be sold.
        lifted: whether emptied rafts were lifted out of their row at once.
        seed_lot: lots of the seed, ``; `` between.
        product, customer, delivery: what was delivered, to whom, for which delivery; of a treatment the
            product that was applied.
        since: of what was found, the day it came into its stage.
        until: last day on which a closure, a quarantine or a treatment's interval holds; None without end.
        cuts, last_cut: of what was found, cuts done and the day of the last.
        who, note: by whom, and in their own words.
        task: key of the plan's task, if it was one.
        due, wanted: of such a task, the day and the number of plants or heads that the plan has; None
            where it does not say.
        corrects: number of the entry it stands in for; 0 for none.
        given: the entry as it was told, so that one told twice is known again.
    """

    op: str
    what: str
    day: date
    at: str = ""
    lot: str = ""
    crop: str = ""
    stage: str = ""
    place: tuple[Spot, ...] = ()
    to: tuple[Put, ...] = ()
    plants: int | None = None
    left: int | None = None
    heads: int | None = None
    lifted: bool = False
    seed_lot: str = ""
    product: str = ""
    customer: str = ""
    delivery: str = ""
    since: date | None = None
    until: date | None = None
    cuts: int = 0
    last_cut: date | None = None
    who: str = ""
    note: str = ""
    task: str = ""
    due: date | None = None
    wanted: int | None = None
    corrects: int = 0
    given: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """An entry in the log.

    Attributes:
        number: its number, counted from 1 in the order of writing.
        entry: the entry.
        written: UTC time it was written down, by the clock of the computer that wrote it.
        source: command, file or row it came from.
    """

    number: int
    entry: Entry
    written: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InForce:
    """An entry that holds: not withdrawn, and no other stands in for it.

    Attributes:
        entry: the entry.
        number: its own number.
        root: number of the first entry that it stands in for, else its own; within a day entries hold in
            the order of these, so that a correction takes the place of what it corrects.
    """

    entry: Entry
    number: int
    root: int

    @property
    def key(self) -> tuple[date, int]:
        """Return what entries are sorted by: day, then order within it."""
        return self.entry.day, self.root


def in_force(numbered: Iterable[tuple[int, Entry]]) -> list[InForce]:
    """Return the entries that hold, in the order in which they happened.

    Args:
        numbered: number and entry, by number; what ``corrects`` names has a lower number.
    """
    holds: dict[int, InForce] = {}
    for number, entry in numbered:
        replaced = holds.pop(entry.corrects, None) if entry.corrects else None
        if entry.what != WITHDRAWN:
            root = number if replaced is None else replaced.root
            holds[number] = InForce(entry=entry, number=number, root=root)
    return sorted(holds.values(), key=lambda each: each.key)


def spots_text(spots: Sequence[Spot]) -> str:
    """Write spots so that they can be read again: ``Shelf A 1;1,2;Shelf A 2;``; places hold no semicolon."""
    return ";".join(f"{spot.place};{','.join(map(str, spot.slots))}" for spot in spots)


def spots_of(text: str) -> tuple[Spot, ...]:
    """Read what :func:`spots_text` wrote."""
    parts = text.split(";") if text else []
    return tuple(
        Spot(place, tuple(int(slot) for slot in slots.split(",") if slot))
        for place, slots in zip(parts[::2], parts[1::2], strict=True)
    )


def puts_text(puts: Sequence[Put]) -> str:
    """Write units and their plants so that they can be read again: ``Shelf A 1;1:98;Shelf A 1;2:40``."""
    return ";".join(f"{put.place};{put.slot}:{put.plants}" for put in puts)


def puts_of(text: str) -> tuple[Put, ...]:
    """Read what :func:`puts_text` wrote."""
    parts = text.split(";") if text else []
    pairs = (said.split(":") for said in parts[1::2])
    return tuple(
        Put(place, int(slot), int(plants)) for place, (slot, plants) in zip(parts[::2], pairs, strict=True)
    )


def seed_lots_of(text: str) -> tuple[str, ...]:
    """Return the seed lots of a text that may name several with semicolons between."""
    return tuple(dict.fromkeys(name for part in text.split(";") if (name := part.strip())))


def lot_in_records(lot: str, known: Container[str]) -> str:
    """Return the lot of the records that a plan means: its own, or the one it is a numbered row of."""
    return lot if lot in known else lot_at_large(lot, known)
