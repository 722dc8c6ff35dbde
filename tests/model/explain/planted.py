"""Tiny farms with one known bottleneck each, and farms with much more of one thing."""

from dataclasses import replace

from farms import (
    BOARD,
    EVER,
    OPEN,
    RAFT,
    TRAY,
    delivery,
    make_cooler,
    make_crop,
    make_farm,
    make_greens,
)
from solving import quick_crop

from scheduler.farm.calendar import Work
from scheduler.farm.coolers import Crating
from scheduler.farm.places import PlaceKind, Steps
from scheduler.plan.relief import Limit

DAYS = {"tray": (3, 0, 10_000), "raft": (4, 0, 10_000)}
OVER_BOARDS = {**DAYS, "board": (3, 0, 10_000)}
WIDE = {"days": 20, "tier_slots": 9, "zone_slots": 9, "lane_slots": 9}
"""Room for everything that is asked for below."""


def lettuce(amount=24, **needs):
    """Lettuce without waits, all of it wanted on the first day it can be cut."""
    return {"crops": [quick_crop(**DAYS, **needs)], "demands": [delivery("Lettuce", 7, amount, max_age=0)]}


def over_boards():
    return {
        "crops": [make_crop("Lettuce", **OVER_BOARDS)],
        "demands": [delivery("Lettuce", 10, 24, max_age=0)],
    }


def cut_the_day_before(amount=30):
    """Lettuce that is cut on the day before its delivery, and stands in crates of ten for a night."""
    crop = quick_crop(**DAYS, crating=Crating(heads=10, coldest=0, warmest=2_00))
    return {
        "crops": [crop],
        "closed": {Work.HARVEST: [8]},
        "demands": [delivery("Lettuce", 8, amount, max_age=1)],
    }


def cucumber():
    """Cucumbers that give one piece a plant and day for two weeks."""
    return make_crop("Cucumber", tray=(3, 0, 10_000), bed=(4, 10_000), curve=(7000, 7000))


def picked(amount=6, day=7):
    return {"crops": [cucumber()], "demands": [delivery("Cucumber", day, amount, max_age=0)]}


def greens(amount=400, **needs):
    """Cress that gives 100 g an open tray, all of it wanted on one day."""
    return {
        "open_trays": 9,
        "crops": [make_greens("Cress", days=5, window=0, grams=100, **needs)],
        "demands": [delivery("Cress", 8, amount, max_age=0)],
    }


def in_order():
    """Kale ahead in a row of two slots; lettuce behind it is cut, and stays until the kale leaves."""
    return {
        "lane_slots": 2,
        "crops": [quick_crop("Kale", **{**DAYS, "raft": (10, 0, 10_000)}), quick_crop(**DAYS)],
        "demands": [
            delivery("Lettuce", 8, 6, max_age=0, price=500),
            delivery("Lettuce", 12, 6, max_age=0),
            delivery("Kale", 13, 6, max_age=0, price=1000),
        ],
    }


def resting():
    """Lettuce leaves its row on day 8, and kale is to come in on day 10: the row rests three days."""
    return {
        "rest": 3,
        "crops": [quick_crop(**DAYS), quick_crop("Kale", **DAYS)],
        "demands": [
            delivery("Lettuce", 8, 6, max_age=0, price=500),
            delivery("Kale", 14, 6, max_age=0),
        ],
    }


PLANTED = {
    # 30 cells need two trays, one has a place
    Limit.SHELF: {"tier_slots": 1, **lettuce(30)},
    Limit.TRAYS: {"trays": 1, **lettuce(30)},
    # 24 plants need two boards and four rafts
    Limit.ZONE: {"zone_slots": 1, **over_boards()},
    Limit.BOARDS: {"boards": 1, **over_boards()},
    Limit.ROW: {"lane_slots": 2, **lettuce()},
    Limit.RAFTS: {"rafts": 2, **lettuce()},
    # six plants need a position each
    Limit.BED: {"beds": {"Bed": 4}, **picked()},
    # 30 heads fill three crates
    Limit.COOLER: {"coolers": [make_cooler(2)], **cut_the_day_before()},
    Limit.DOMES: {"domes": 1, **lettuce(30, handling={"dome_days": 2})},
    # 24 heads take 24 minutes
    Limit.HOURS: {"crew": 10_00, **lettuce(minutes={"cut": 1_00})},
    Limit.ORDER: in_order(),
    Limit.REST: resting(),
    Limit.SOWING: {
        "crops": [quick_crop(**DAYS, sowing=((0, 2),))],
        "demands": [delivery("Lettuce", 17, 6, max_age=0)],
    },
}
"""What is planted -> a farm whose one short delivery it keeps short."""

NEEDED = {
    Limit.SHELF: ("Shelf 1", 1, 0, 2),
    Limit.TRAYS: (TRAY, 1, 0, 2),
    Limit.ZONE: ("Trough boards", 1, 3, 5),
    Limit.BOARDS: (BOARD, 1, 3, 5),
    Limit.ROW: ("Trough 1", 2, 3, 6),
    Limit.RAFTS: (RAFT, 2, 3, 6),
    Limit.BED: ("Bed", 2, 3, 19),
    Limit.COOLER: ("Cold room", 1, 7, 7),
    Limit.DOMES: ("dome", 1, 0, 1),
    Limit.HOURS: ("", 14_00, 7, 7),
    Limit.ORDER: ("", 1, 12, 12),
    # empty on days 8 and 9 alone
    Limit.REST: ("Trough 1", 1, 8, 9),
    Limit.SOWING: ("Lettuce", 8, 10, 10),
}
"""What is planted -> of what, how much and on which days there must be more, by arithmetic."""


GREENS = {
    Limit.SHELF: {"tier_slots": 2, **greens()},
    Limit.TRAYS: {**greens(), "open_trays": 3},
    # four trays take forty minutes
    Limit.HOURS: {"crew": 15_00, **greens(minutes={"cut": 10_00})},
}
"""The same for what is cut in its trays."""

NEEDED_OF_GREENS = {
    Limit.SHELF: ("Shelf 1", 2, 3, 7),
    Limit.TRAYS: (OPEN, 1, 3, 7),
    Limit.HOURS: ("", 25_00, 8, 8),
}


def planted(limit, among=PLANTED):
    return make_farm(**{**WIDE, **among[limit]})


def with_plenty(farm, limit):
    """The farm with fifty more of one thing, written down apart from the code that is tested."""
    kinds = {
        Limit.SHELF: PlaceKind.TIER,
        Limit.ZONE: PlaceKind.ZONE,
        Limit.ROW: PlaceKind.LANE,
        Limit.BED: PlaceKind.BED,
    }
    items = {Limit.TRAYS: "tray", Limit.BOARDS: "board", Limit.RAFTS: "raft", Limit.DOMES: "dome"}
    if limit in kinds:
        more = Steps(((EVER, 50),))
        return replace(
            farm, places=tuple(replace(p, slots=more) if p.kind is kinds[limit] else p for p in farm.places)
        )
    if limit in items:
        return replace(
            farm,
            equipment={
                name: replace(kind, owned=kind.owned + 50) if kind.item == items[limit] else kind
                for name, kind in farm.equipment.items()
            },
        )
    if limit is Limit.COOLER:
        return replace(farm, coolers=tuple(replace(each, crates=each.crates + 50) for each in farm.coolers))
    if limit is Limit.HOURS:
        return replace(farm, crew=None)
    if limit is Limit.REST:
        places = (replace(place, rest=min(place.rest, 1)) for place in farm.places)
        return replace(farm, places=tuple(places))
    if limit is Limit.ORDER:
        return replace(farm, rules=replace(farm.rules, lift_out=True))
    return replace(
        farm, crops={name: replace(crop, sowing=((EVER, -EVER),)) for name, crop in farm.crops.items()}
    )
