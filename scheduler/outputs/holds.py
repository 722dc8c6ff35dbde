"""What places hold and how crops are grown, in words: a grower sees whether the book was understood."""

from collections.abc import Iterator
from fractions import Fraction

from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import MILLI, nearest
from scheduler.outputs.words import counted, plain
from scheduler.plan.words import head_word

IN = {StageKind.TRAY: "in", StageKind.BOARD: "on", StageKind.RAFT: "on", StageKind.BED: "in"}
"""Where plants are in each stage."""


def holds(farm: Farm) -> list[str]:
    """Return one line for each shelf, trough and bed, such as ``North trough: 3 rows of 9 rafts``."""
    lines = []
    for name in dict.fromkeys(place.belongs_to for place in farm.places):
        own = [place for place in farm.places if place.belongs_to == name]
        parts = [
            *_rows([place for place in own if place.kind is PlaceKind.TIER], "tier", "tray"),
            *_rows([place for place in own if place.kind is PlaceKind.LANE], "row", "raft"),
            *(
                f"{plain(place.name)} for {_most(place, 'board')}"
                for place in own
                if place.kind is PlaceKind.ZONE
            ),
            *(_most(place, "position") for place in own if place.kind is PlaceKind.BED),
        ]
        lines.append(f"{plain(name)}: {', '.join(parts)}")
    return lines


def grown(farm: Farm) -> list[str]:
    """Return one line for each crop: days of its stages at pace 1, holes that are planted, and pickings."""
    return [_grown(farm, crop) for crop in farm.crops.values()]


def _grown(farm: Farm, crop: Crop) -> str:
    stages = [stage for stage in crop.route if stage.days or not crop.bought]
    days = [
        f"{counted(stage.days, 'day') if at == 0 else stage.days} {IN[stage.kind]} the {stage.kind}"
        for at, stage in enumerate(stages)
    ]
    planted = [said for stage in crop.route[1:] if (said := _planted(farm, stage))]
    parts = [", ".join(days), *([", ".join(planted)] if planted else []), *_picked(crop)]
    return f"{plain(crop.name)}: {'; '.join(parts)}"


def _picked(crop: Crop) -> Iterator[str]:
    """Say how often, how long and how much a crop in a bed is picked."""
    if crop.picking is not None:
        weeks = counted(len(crop.picking.curve), "week")
        gives = counted(nearest(Fraction(sum(crop.picking.curve), MILLI)), head_word(crop))
        yield f"picked on {counted(crop.picking.a_week, 'day')} a week for {weeks}, {gives} a plant in all"


def _planted(farm: Farm, stage: Stage) -> str:
    """Return how many holes of a board or raft are planted; nothing for beds."""
    kind = farm.equipment.get(stage.unit)
    if kind is None:
        return ""
    if kind.holes == stage.plants_per_unit:
        return f"all {kind.holes:,} holes of a {stage.kind}"
    return f"{stage.plants_per_unit:,} of {kind.holes:,} holes of a {stage.kind}"


def _rows(places: list[Place], row: str, unit: str) -> list[str]:
    """Return places of equal slots together, in the order they first come."""
    sizes: dict[str, int] = {}
    for place in places:
        said = _most(place, unit)
        sizes[said] = sizes.get(said, 0) + 1
    return [f"{counted(number, row)} of {said}" for said, number in sizes.items()]


def _most(place: Place, unit: str) -> str:
    steps = place.slots.steps
    changes = len({slots for _, slots in steps}) > 1
    return ("up to " if changes else "") + counted(place.slots.highest(), unit)
