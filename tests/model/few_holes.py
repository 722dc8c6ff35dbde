"""Tiny farms on which whole rafts matter: small orders of several crops, and few slots for their rafts."""

import random
from dataclasses import replace

from farms import delivery, growing, make_crop, make_farm
from model.test_optimum import any_work_days

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Substitute

DAYS = 17
COSTS = ("raft", "raft_slot_day", "tray", "tray_slot_day", "wasted_plant", "hour", "discarded_plant", "lot")


def few_holes(seed):
    """A farm of one or two slots a row, with two or three crops that want up to a raft and a bit each."""
    draw = random.Random(seed)
    names = ["Lettuce", "Kale", "Rocket"][: draw.randint(2, 3)]
    slots = draw.randint(1, 2)
    crops = [_any_crop(draw, name) for name in names]
    found = []
    if draw.random() < 0.3:
        lot = {"lot": "G1", "order": 1}
        found = [
            growing(draw.choice(names), StageKind.RAFT, -draw.randint(0, 3), draw.randint(1, 6), 1, **lot)
        ]
    return make_farm(
        days=DAYS,
        crops=crops,
        demands=_any_demands(draw, names, 4 if found else 8),
        growing=found,
        lane_slots=slots,
        lanes=1 if found else draw.randint(1, 2),
        trays=6,
        rafts=6,
        tier_slots=6,
        costs={name: draw.choice((0, 7, 150)) for name in COSTS},
        work_days=any_work_days(draw),
        rules={"lift_out": draw.random() < 0.5},
    )


def _any_crop(draw, name):
    share = lambda: draw.choice((10_000, 10_000, 9_000, 8_000))  # noqa: E731
    cuts = draw.choice((1, 1, 1, 2))
    return make_crop(
        name,
        tray=(draw.randint(2, 3), draw.randint(0, 2), share()),
        board=None,
        raft=(draw.randint(3, 4), draw.randint(0, 3) if cuts == 1 else draw.randint(0, 1), share()),
        cuts=cuts,
        interval=3 if cuts == 2 else 0,
        saleable=share(),
        lanes=None,
    )


def _any_demands(draw, names, first):
    demands = [
        delivery(
            draw.choice(names),
            draw.randint(first, DAYS - 2),
            draw.randint(1, 8),
            name=f"D{number}",
            price=draw.randint(1, 3),
            max_age=draw.randint(0, 2),
        )
        for number in range(draw.randint(2, 5))
    ]
    if draw.random() < 0.7:
        return demands
    return [replace(demand, substitutes=_any_other(draw, names, demand)) for demand in demands]


def _any_other(draw, names, demand):
    other = next(name for name in names if name != demand.product)
    return (Substitute(product=other, rank=1, price=1),) if draw.random() < 0.5 else ()
