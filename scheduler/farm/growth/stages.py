"""On which days a stage may end: grown enough, not too long, and a day of the work that comes next."""

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import Keeps, Place, PlaceKind

PLACE_OF = {
    StageKind.TRAY: PlaceKind.TIER,
    StageKind.BOARD: PlaceKind.ZONE,
    StageKind.RAFT: PlaceKind.LANE,
    StageKind.BED: PlaceKind.BED,
}
"""The kind of place each stage stands in."""


def next_work(crop: Crop, kind: StageKind) -> Work:
    """Return the work that ends a stage of a crop's route."""
    if crop.ends_in(kind):
        return Work.HARVEST
    return Work.TRANSPLANT if kind is StageKind.TRAY and crop.board else Work.RAFT


def may_stand(crop: Crop, place: Place) -> bool:
    """Say whether a crop may stand in a place of the kind one of its stages needs."""
    if place.kind is PlaceKind.TIER:
        return place.keeps is not (Keeps.NURSERY if crop.is_cut_in_trays else Keeps.GREENS)
    if place.kind is PlaceKind.BED:
        return crop.picking is not None and place.name in crop.picking.beds
    return place.kind is not PlaceKind.LANE or place.name in crop.lanes


def stage_days(farm: Farm, crop: Crop, kind: StageKind, owner: str, entered: int) -> list[int]:
    """Return the days on which plants that entered a stage may leave it (the last: the first cut), in order.

    ``owner`` is the shelf or trough whose pace counts. Days before ``farm.today`` are left out.
    """
    stage = crop.stage(kind)
    if stage is None:
        return []
    first = farm.pace.first_day_reached(owner, entered, stage.days)
    last = farm.pace.last_day_within(owner, entered, stage.days + stage.wait)
    return farm.calendar.open_days(next_work(crop, kind), max(first, farm.today), last)


def pace_groups(farm: Farm, kind: StageKind, crop: Crop) -> list[tuple[Place, ...]]:
    """Return the places a stage of a crop may stand in, grouped by equal pace, in the book's order."""
    groups: dict[tuple[int, ...], list[Place]] = {}
    for place in farm.places_of(PLACE_OF[kind]):
        if may_stand(crop, place):
            groups.setdefault(farm.pace.signature(place.belongs_to), []).append(place)
    return [tuple(places) for places in groups.values()]
