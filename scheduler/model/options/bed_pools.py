"""Sections of beds grouped for the planner: positions that grow alike and are open on the same days.

Every planting of a pool lies within one spell for which its positions are open, and keeps its positions all
that time. So there is a position for each plant as long as no day has more plants than positions.
"""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.sections import Section, sections_of

_Alike = tuple[tuple[int, ...], tuple[tuple[int, int], ...], int, frozenset[str]]
"""Pace, spells, days of clean-up, and the crops that may be set in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BedPool:
    """Sections of beds that are alike.

    Attributes:
        name: the first section's bed and positions.
        pace_of: bed whose pace counts for all of them.
        sections: the sections, in the order of the book.
        crops: names of the crops that may be set in.
    """

    name: str
    pace_of: str
    sections: tuple[Section, ...]
    crops: frozenset[str]

    @property
    def positions(self) -> int:
        """How many positions there are in all."""
        return sum(section.positions for section in self.sections)

    @property
    def spells(self) -> tuple[tuple[int, int], ...]:
        """The spells for which its positions are open: (first day, day after the last)."""
        return self.sections[0].spells

    @property
    def clean_days(self) -> int:
        """Days of clean-up before a position is free again."""
        return self.sections[0].bed.clean_days

    def holds(self, bed: str, position: int) -> bool:
        """Say whether a position of a bed is one of the pool's."""
        return any(
            section.bed.name == bed and section.first <= position <= section.last for section in self.sections
        )


def bed_pools(farm: Farm, start: int) -> tuple[BedPool, ...]:
    """Return the pools of all beds from a day on, in the order of the book."""
    groups: dict[_Alike, list[Section]] = defaultdict(list)
    for bed in farm.places_of(PlaceKind.BED):
        crops = frozenset(
            crop.name for crop in farm.crops.values() if crop.picking and bed.name in crop.picking.beds
        )
        for section in sections_of(bed, start):
            alike = (farm.pace.signature(bed.name), section.spells, bed.clean_days, crops)
            groups[alike].append(section)
    return tuple(
        BedPool(
            name=f"{sections[0].bed.name} {sections[0].first}",
            pace_of=sections[0].bed.name,
            sections=tuple(sections),
            crops=crops,
        )
        for (_, _, _, crops), sections in groups.items()
    )
