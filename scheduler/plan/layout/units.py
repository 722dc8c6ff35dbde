"""Trays, boards and rafts as they are being laid out, and how plants are packed into them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from scheduler.farm.units import ceil_div, spread

Cuts = tuple[tuple[int, int], ...]
"""(cut number, day) of each cut the same plants get, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Plants of one lot that go through a stage together.

    Attributes:
        lot, crop: lot code and crop name.
        amount: plants; whole rows of cells in trays that are sown.
        leaves: day they leave the unit.
        from_day: day they entered the stage before, None when not known.
        cuts: their cuts, of rafts and of trays they are cut in.
    """

    lot: str
    crop: str
    amount: int
    leaves: int
    from_day: int | None = None
    cuts: Cuts = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where a unit stands from a day until (not including) another."""

    place: str
    slot: int
    enters: int
    until: int


@dataclass(slots=True, kw_only=True, eq=False)
class Unit:
    """One tray, board or raft.

    Attributes:
        item, kind: tray, board or raft, and its name in the equipment.
        enters: day it is filled.
        parts: what it holds.
        places: names of the places it may stand in.
        home: names of the places it may stand in first; other than ``places`` only for what grows already.
        growing: index of the growing row it belongs to, or -1.
        planned: rafts: the day by which its slot is free.
        leaves: day its slot is free.
        stands: where it stands, in order of time.
        name: its name, given last.
        found_slot: trays and boards that grow already: the slot the book has them in; 0 where it tells none.
        first_slot: rafts that grow already: their slot on the morning of the first day; else 0.
    """

    item: str
    kind: str
    enters: int
    parts: list[Part]
    places: tuple[str, ...] = ()
    home: tuple[str, ...] = ()
    growing: int = -1
    planned: int = 0
    leaves: int = 0
    stands: list[Stand] = field(default_factory=list)
    name: str = ""
    found_slot: int = 0
    first_slot: int = 0

    @property
    def is_sown_tray(self) -> bool:
        """Say whether it is a tray of the plan: its parts count whole rows of cells."""
        return self.item == "tray" and self.growing < 0

    @property
    def emptied(self) -> int:
        """The day its last plants leave it."""
        return max(part.leaves for part in self.parts)

    @property
    def lot(self) -> str:
        """The lot it holds, the first of several."""
        return self.parts[0].lot

    @property
    def crop(self) -> str:
        """The crop it holds, the first of several."""
        return self.parts[0].crop

    def stand_before(self, day: int) -> Stand:
        """Return where it stands as the work of a day begins: where it stood the day before."""
        found = self.stands[0]
        if day <= 0 and self.first_slot:
            # its slots count from the evening of the first day, when what left that morning is out of the way
            return replace(found, slot=self.first_slot)
        for stand in self.stands:
            if stand.enters < day:
                found = stand
        return found


def longest_first(parts: Iterable[Part]) -> list[Part]:
    """Order parts so that those that stay longest, then those of one crop and lot, come together."""
    return sorted(
        (part for part in parts if part.amount > 0),
        key=lambda part: (
            -part.leaves,
            part.crop,
            part.lot,
            part.from_day is not None,
            part.from_day or 0,
            part.cuts,
        ),
    )


def pack(parts: Sequence[Part], size: int) -> list[list[Part]]:
    """Fill units of ``size`` one after the other; only the last is part-filled."""
    total = sum(part.amount for part in parts)
    return _fill(parts, (size for _ in range(ceil_div(total, size))))


def pack_found(parts: Sequence[Part], units: int) -> list[list[Part]]:
    """Spread plants over as many units as were found, none empty, the parts that come first in full ones.

    A full unit holds the plants over the units, rounded up.
    """
    total = sum(part.amount for part in parts)
    return _fill(parts, spread(total, units, ceil_div(total, units)))


def _fill(parts: Sequence[Part], sizes: Iterable[int]) -> list[list[Part]]:
    units: list[list[Part]] = []
    waiting = list(reversed(parts))
    for size in sizes:
        held: list[Part] = []
        room = size
        while room > 0 and waiting:
            part = waiting.pop()
            taken = min(room, part.amount)
            held.append(part if taken == part.amount else replace(part, amount=taken))
            if taken < part.amount:
                waiting.append(replace(part, amount=part.amount - taken))
            room -= taken
        units.append(held)
    return units
