"""Loops of water: which tanks feed which troughs and beds on a day, and how much feed plants ask."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from scheduler.farm.loops.fish import FishTank

WHOLE_FARM = "All water"
"""The loop of a farm whose book tells no loops."""

LEAFY, FRUITING = "leafy", "fruiting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A tank, trough or bed, or a whole loop, that belongs to a loop from first through last day."""

    loop: str
    part: str
    first: int
    last: int

    def is_on(self, day: int) -> bool:
        """Say whether it belongs to the loop on a day."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Feed a day that plants ask for each square metre, in whole grams."""

    low: int
    high: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """The fish of a farm and the water they share with the plants.

    Attributes:
        tanks: in the order of the book.
        members: in the order of the book; empty where all water is one loop.
        parts: every tank, trough and bed.
        bands: ``leafy`` and ``fruiting`` -> the feed they ask.
        bed_areas: bed -> square millimetres of one of its positions.
        leafy: crops that ask as leafy plants in beds too: those whose card is for no bed.
    """

    tanks: tuple[FishTank, ...] = ()
    members: tuple[Member, ...] = ()
    parts: tuple[str, ...] = ()
    bands: Mapping[str, Band] = field(default_factory=dict)
    bed_areas: Mapping[str, int] = field(default_factory=dict)
    leafy: frozenset[str] = frozenset()

    def kind_in_beds(self, crops: Iterable[str]) -> str:
        """Return what plants of these crops in a bed are: leafy where all of them are, else fruiting."""
        found = list(crops)
        return LEAFY if found and self.leafy.issuperset(found) else FRUITING

    def loops_on(self, day: int) -> dict[str, str]:
        """Return part -> name of its loop on a day; a part of no loop is left out.

        Loops that are joined are one, with the names of all of them in the order of the book.
        """
        if not self.members:
            return dict.fromkeys(self.parts, WHOLE_FARM)
        return loops_of(self.members, self.parts, day)


def loops_of(members: Iterable[Member], parts: Iterable[str], day: int) -> dict[str, str]:
    """Return part -> name of its loop on a day, see :meth:`Water.loops_on`."""
    listed, known = list(members), set(parts)
    named = joined_names(listed, day)
    return {
        member.part: named[member.loop]
        for member in listed
        if member.is_on(day) and member.part in known and member.part not in named
    }


def joined_names(members: Iterable[Member], day: int) -> dict[str, str]:
    """Return loop -> the names of all loops it is joined with on a day, itself included."""
    listed = list(members)
    order = list(dict.fromkeys(member.loop for member in listed))
    joined = {loop: loop for loop in order}

    def root(loop: str) -> str:
        while joined[loop] != loop:
            loop = joined[loop]
        return loop

    for member in listed:
        if member.part in joined and member.is_on(day):
            first, second = sorted((root(member.loop), root(member.part)), key=order.index)
            joined[second] = first
    together: dict[str, list[str]] = defaultdict(list)
    for loop in order:
        together[root(loop)].append(loop)
    return {loop: " + ".join(together[root(loop)]) for loop in order}
