"""The course of a sowing that never waits: where it may stand, and from when until when."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.growth.pace import Pace
from scheduler.farm.growth.stages import PLACE_OF, may_stand
from scheduler.farm.places import Place

Homes = Mapping[StageKind, tuple[str, ...]]
"""Stage -> the shelves or troughs it may stand in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Days on which a sowing may stand in a shelf or trough: from ``first`` up to, not including, ``end``."""

    kind: StageKind
    home: str
    first: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """All stays of a sowing, and the days of its first cut by way of the fastest and the slowest places."""

    stays: tuple[Stay, ...]
    earliest: int
    latest: int


def homes_of(places: Iterable[Place], crop: Crop) -> Homes:
    """Return the shelves or troughs each stage of a crop may stand in, in the order of the book."""
    found: dict[StageKind, dict[str, None]] = {stage.kind: {} for stage in crop.route}
    for place in places:
        for kind, homes in found.items():
            if place.kind is PLACE_OF[kind] and may_stand(crop, place):
                homes[place.belongs_to] = None
    return {kind: tuple(homes) for kind, homes in found.items()}


def course_of(crop: Crop, homes: Homes, pace: Pace, sown: int) -> Course | None:
    """Return the course of a sowing by days and pace alone: work days, room and waits do not count.

    None where a stage of the crop has no place at all.
    """
    earliest = latest = sown
    stays: list[Stay] = []
    for stage in crop.route:
        if not homes[stage.kind]:
            return None
        ends = {home: pace.first_day_reached(home, latest, stage.days) for home in homes[stage.kind]}
        stays += [Stay(kind=stage.kind, home=home, first=earliest, end=end) for home, end in ends.items()]
        earliest = min(pace.first_day_reached(home, earliest, stage.days) for home in ends)
        latest = max(ends.values())
    return Course(stays=tuple(stays), earliest=earliest, latest=latest)
