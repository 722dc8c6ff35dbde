"""On tiny farms with beds the proven shortage is what a second planner finds, position by position."""

import random
from dataclasses import replace

import pytest
from farms import EVER, growing, make_crop, make_farm
from model.test_optimum import agrees, any_demands, any_work_days
from seeds import blocks, each_of

from scheduler.farm.crops import StageKind

SLOW = {2, 23, 26, 45, 57}
"""Farms that take the second planner seconds each."""

SAMPLE = [seed for seed in range(30) if seed not in SLOW]
LONG = [*sorted(SLOW), *(seed for seed in range(30, 60) if seed not in SLOW), *range(100, 700)]
DAYS = 30


def any_bed_crop(draw, name, beds):
    weeks = draw.randint(1, 2)
    return make_crop(
        name,
        tray=(draw.randint(2, 3), draw.randint(0, 1), draw.choice((10_000, 10_000, 8_000))),
        bed=(draw.randint(3, 8), draw.choice((10_000, 9_000))),
        curve=tuple(draw.choice((0, 700, 1500, 3000)) for _ in range(weeks - 1))
        + (draw.choice((900, 2000)),),
        a_week=draw.choice((1, 2, 2, 3)),
        beds=draw.choice(((), (), beds[:1])),
        saleable=draw.choice((10_000, 9_500)),
        sowing=draw.choice((((0, 40),), ((0, 40),), ((0, 1), (8, 12)))),
        minutes={"sow": 20_00, "bed": 2_00, "pick": 60, "clear": 3_00},
    )


def any_slots(draw):
    slots = draw.randint(1, 3)
    if draw.random() < 0.7:
        return slots
    return ((EVER, slots), (draw.randint(6, 22), draw.randint(0, slots)), (draw.randint(23, 28), slots))


def any_growing(draw, crop, beds, lettuce):
    """Plants in the first bed or in trays, or none."""
    chance = draw.random()
    if chance < 0.35:
        slots = beds["Bed"]
        units = draw.randint(1, slots if isinstance(slots, int) else slots[0][1])
        since = -draw.randint(0, crop.finish.days + 7 * len(crop.picking.curve) - 1)
        again = {}
        if draw.random() < 0.4:
            again = {"cuts_done": 1, "last_cut": 0}
        plants = draw.randint(1, units)
        return [growing(crop.name, StageKind.BED, since, plants, units, **again)]
    if chance < 0.5:
        return [growing(crop.name, StageKind.TRAY, -draw.randint(0, 2), draw.randint(1, 4), 1)]
    return []


def any_farm(seed):
    """A few positions, and a lettuce on rafts that shares trays and crew with what goes into them."""
    draw = random.Random(seed)
    beds = {name: any_slots(draw) for name in ["Bed", "Other bed"][: draw.randint(1, 2)]}
    names = ["Tomato", "Bean"][: draw.choice((1, 1, 2))]
    crops = [any_bed_crop(draw, name, list(beds)) for name in names]
    lettuce = draw.random() < 0.4
    if lettuce:
        crops.append(make_crop("Lettuce", tray=(3, 1, 9_000), board=None, raft=(3, 2, 10_000)))
    products = {"Box": {name: draw.choice((1000, 2500)) for name in names}} if draw.random() < 0.3 else {}
    wanted = [*[crop.name for crop in crops], *products]
    demands = any_demands(draw, wanted, (2, DAYS - 2), 7, draw.randint(2, 5))
    farm = make_farm(
        days=DAYS,
        crops=crops,
        products=products,
        demands=demands,
        growing=any_growing(draw, crops[0], beds, lettuce),
        beds=beds,
        clean_days=draw.choice((0, 0, 1, 3)),
        work_days=any_work_days(draw),
        tier_slots=draw.randint(1, 2),
        lanes=int(lettuce),
        lane_slots=2,
        zones=0,
        trays=draw.randint(1, 2),
        rafts=2,
        crew=draw.choice((None, None, 14_00, 25_00)),
        rules={"share_trays": draw.random() < 0.5, "all_or_nothing": draw.random() < 0.2},
    )
    months = {bed: dict.fromkeys(range(1, 13), draw.choice((800, 1000, 1000, 1300))) for bed in beds}
    return replace(farm, pace=replace(farm.pace, months=farm.pace.months | months))


@pytest.mark.parametrize("seed", SAMPLE)
def test_the_proven_shortage_is_what_another_model_and_solver_find(seed):
    agrees(any_farm(seed))


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG))
def test_the_proven_shortage_is_what_another_model_and_solver_find_long(seeds):
    each_of(seeds, lambda seed: agrees(any_farm(seed)))
