"""How lots go through a place over the season: which slots each one holds, from which day until which."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.rows import ContentRow, Plan, PositionRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One lot in one slot for some days; lots that share a unit share its slot.

    Attributes:
        slot: 1 is at the harvest end of a row.
        start, end: first day, and first day no longer so; within the days that are reported.
        unit: the tray, board or raft.
        lot, crop: what is in it; empty for a raft that is empty and waits for those ahead of it.
        part, parts: which of how many lots in the unit this is, from 0.
    """

    slot: int
    start: int
    end: int
    unit: str
    lot: str
    crop: str
    part: int
    parts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Days on which a place has as many slots open."""

    start: int
    end: int
    slots: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceFlow:
    """One place over the season.

    Attributes:
        place, kind, belongs_to: as in the farm.
        most: slots open on the best of all days, or held at any time if more.
        openings: slots open over the days that are reported, in order and without gaps.
        stretches: by slot and day.
    """

    place: str
    kind: PlaceKind
    belongs_to: str
    most: int
    openings: tuple[Opening, ...]
    stretches: tuple[Stretch, ...]


def flows(farm: Farm, plan: Plan, places: Iterable[str]) -> tuple[PlaceFlow, ...]:
    """Return how lots go through some places on the days that are reported, in the order of the farm.

    Units and lots that the plan does not know are passed over; the audit reports those.
    """
    wanted = set(places)
    known = {unit.unit for unit in plan.units}
    standing: dict[str, list[PositionRow]] = defaultdict(list)
    for row in plan.positions:
        if row.place in wanted and row.unit in known:
            standing[row.place].append(row)
    crops = {lot.lot: lot.crop for lot in plan.lots if lot.crop in farm.crops}
    held: dict[str, list[ContentRow]] = defaultdict(list)
    for content in plan.contents:
        if content.lot in crops:
            held[content.unit].append(content)
    found = []
    for place in farm.places:
        if place.name in wanted:
            stretches = [
                stretch
                for row in standing[place.name]
                for stretch in _stretches(row, held[row.unit], crops, farm.calendar.days)
            ]
            found.append(_flow(farm, place, stretches))
    return tuple(found)


def _flow(farm: Farm, place: Place, stretches: list[Stretch]) -> PlaceFlow:
    days = farm.calendar.days
    changes = sorted({0, days, *(day for day in place.slots.changes() if 0 < day < days)})
    return PlaceFlow(
        place=place.name,
        kind=place.kind,
        belongs_to=place.belongs_to,
        most=max(1, place.slots.highest(), *(each.slot for each in stretches)),
        openings=tuple(
            Opening(start=start, end=end, slots=place.slots.on(start)) for start, end in pairwise(changes)
        ),
        stretches=tuple(sorted(stretches, key=lambda each: (each.slot, each.start, each.part))),
    )


def _stretches(
    row: PositionRow, contents: list[ContentRow], crops: dict[str, str], days: int
) -> Iterator[Stretch]:
    """Yield what is in a unit while it stands in one slot, a stretch for each lot between two changes."""
    start, end = max(row.enters, 0), min(row.until, days)
    if start >= end:
        return
    cuts = {each.leaves for each in contents} | {each.enters for each in contents}
    changes = sorted({start, end, *(day for day in cuts if start < day < end)})
    for first, last in pairwise(changes):
        lots = list(dict.fromkeys(each.lot for each in contents if each.enters <= first < each.leaves))
        for part, lot in enumerate(lots or [""]):
            yield Stretch(
                slot=row.slot,
                start=first,
                end=last,
                unit=row.unit,
                lot=lot,
                crop=crops.get(lot, ""),
                part=part,
                parts=max(1, len(lots)),
            )
