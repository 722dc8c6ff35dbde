"""Tiny farms of every kind: those of the planner's own test, with prices, targets, boards and places."""

import random
from dataclasses import replace

from farms import EVER, growing
from model.test_optimum import any_farm

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Equipment
from scheduler.farm.places import PlaceKind, Steps

COSTS = (
    "hour", "tray", "board", "raft", "tray_slot_day", "board_slot_day", "raft_slot_day", "wasted_plant",
    "discarded_plant", "lot",
)  # fmt: skip
PACES = (500, 800, 1000, 1000, 1300)
OWNERS = ("Shelf", "Far shelf", "Trough")


def any_season(seed):
    """A farm of ``any_farm`` with prices, flexible deliveries, targets, other paces, closures and domes."""
    draw = random.Random(-seed - 1)
    farm = any_farm(seed)
    months = {owner: dict.fromkeys(range(1, 13), draw.choice(PACES)) for owner in OWNERS}
    return replace(
        farm,
        costs={name: draw.choice((0, 7, 150)) for name in COSTS},
        demands=tuple(_any_demand(draw, demand) for demand in farm.demands),
        places=tuple(_any_place(draw, place, bool(farm.growing)) for place in farm.places),
        equipment=farm.equipment | _any_domes(draw, farm),
        crops={name: _any_crop(draw, crop) for name, crop in farm.crops.items()},
        growing=farm.growing or _any_boards(draw, farm),
        pace=replace(farm.pace, months=months),
    )


def _any_demand(draw, demand):
    kind = draw.choice(("firm", "firm", "flexible", "target"))
    if kind == "target":
        week = {"first": max(0, demand.first - 3), "max_age": 0, "customer": ""}
        return replace(demand, firm=False, is_target=True, **week)
    return replace(demand, firm=kind == "firm", reported=draw.random() < 0.8)


def _any_place(draw, place, has_growing):
    far = place.kind is PlaceKind.TIER and draw.random() < 0.3 and not has_growing
    place = replace(place, belongs_to="Far shelf" if far else place.belongs_to)
    slots = place.slots.on(0)
    if draw.random() < 0.7:
        return place
    steps = ((EVER, slots), (draw.randint(6, 9), draw.randint(0, slots)), (draw.randint(10, 13), slots))
    return replace(place, slots=Steps(steps))


def _any_domes(draw, farm):
    if draw.random() < 0.6 or any(row.stage is StageKind.TRAY for row in farm.growing):
        return {}
    owned = draw.randint(1, 2)
    return {"dome": Equipment(name="dome", item="dome", holes=0, rows=1, owned=owned, wash_days=0)}


def _any_crop(draw, crop):
    handling = replace(crop.handling, dome_days=draw.choice((0, 2)), seed_cost=draw.choice((0, 900)))
    return replace(crop, handling=handling)


def _any_boards(draw, farm):
    boarded = [crop for crop in farm.crops.values() if crop.board]
    if not boarded or draw.random() < 0.5:
        return ()
    plants = draw.randint(2, 12)
    return (growing(boarded[0].name, StageKind.BOARD, -draw.randint(0, 2), plants, 1, lot="GB"),)
