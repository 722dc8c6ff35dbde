"""Farms with beds made to fit a plan, farms of every kind with beds, and one over the turn of a year."""

import random
from dataclasses import replace
from datetime import date

import pytest
from farms import delivery, make_crop, make_farm
from larger import most
from model.any_season import COSTS
from model.test_beds_optimum import any_farm
from seeds import blocks, each_of
from solving import got, outcome, solved

from scheduler.farm.calendar import Work
from scheduler.farm.growth.picking import picks_of
from scheduler.farm.units import ceil_div, needed_for

MOVES = frozenset({0, 3})
"""Monday and Thursday."""


def farm_for(seed):
    """Return a farm that some plan of successions in beds fits, with a tenth more of everything."""
    draw = random.Random(seed)
    crops = [
        make_crop(
            name,
            tray=(draw.randint(4, 7), 4, draw.choice((10_000, 9_000))),
            bed=(draw.randint(5, 12), draw.choice((10_000, 9_500))),
            curve=tuple(draw.choice((1000, 2500, 4000)) for _ in range(draw.randint(1, 4))),
            a_week=draw.choice((1, 2, 3)),
            saleable=draw.choice((10_000, 9_000)),
        )
        for name in ("Tomato", "Cucumber", "Bean")[: draw.randint(1, 3)]
    ]
    clean = draw.choice((0, 2, 5))
    bare = make_farm(days=98, crops=crops, beds={"Bed": 1}, clean_days=clean)
    trays, stays, demands = [], [], []
    for number in range(draw.randint(2, 5)):
        crop = bare.crops[draw.choice(crops).name]
        sown = draw.choice([day for day in range(35) if day % 7 in MOVES])
        first, last = sown + crop.tray.days, sown + crop.tray.days + crop.tray.wait
        day = draw.choice([day for day in range(first, last + 1) if day % 7 in MOVES])
        plants = draw.randint(3, 12)
        picks = picks_of(crop.picking, bare.pace, "Bed", day, crop.finish.days)
        stays.append((day, picks[-1].day + clean, plants))
        trays.append((sown, day, ceil_div(needed_for(plants, crop.tray.survival), 4)))
        for pick in picks:
            before = pick.most(plants, crop.picking.curve, crop.heads_share, gone=pick.part - 1)
            heads = before // 2 if draw.random() < 0.3 else before
            if heads and draw.random() < 0.7:
                name = f"{number} {crop.name} {pick.day}"
                demands.append(delivery(crop.name, pick.day, heads, name=name, max_age=0, priority=3))
    return make_farm(
        days=98,
        work_days={work: MOVES for work in (Work.SOW, Work.RAFT)},
        crops=crops,
        demands=demands,
        beds={"Bed": most(stays)},
        clean_days=clean,
        tier_slots=most(trays),
        trays=most(trays),
        lanes=0,
        zones=0,
    )


def fills_everything(seed):
    farm = farm_for(seed)
    picked = {name: crop.picking.days for name, crop in farm.crops.items()}
    bare = make_farm(days=98, crops=list(farm.crops.values()), beds={"Bed": 1})
    if any(bare.crops[name].picking.days != days for name, days in picked.items()):
        return  # the deliveries moved the picking days, so the plan it was made for is none
    filled = got(solved(farm, seconds=10))
    assert {demand.name: demand.amount for demand in farm.demands} == filled


@pytest.mark.parametrize("seed", range(8))
def test_a_farm_that_some_plan_in_beds_fits_is_filled(seed):
    fills_everything(seed)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(range(8, 212)))
def test_a_farm_that_some_plan_in_beds_fits_is_filled_long(seeds):
    each_of(seeds, fills_everything)


def test_most_of_these_farms_are_tried():
    same = 0
    for seed in range(12):
        farm = farm_for(seed)
        bare = make_farm(days=98, crops=list(farm.crops.values()), beds={"Bed": 1})
        same += all(bare.crops[name].picking.days == crop.picking.days for name, crop in farm.crops.items())
    assert same >= 6


def any_season(seed):
    """A tiny farm with beds, with prices, flexible deliveries and targets."""
    draw = random.Random(-seed - 1)
    farm = any_farm(seed)
    kinds = ("firm", "firm", "flexible", "target")
    demands = []
    for demand in farm.demands:
        kind = draw.choice(kinds)
        week = {"first": max(0, demand.first - 6), "max_age": 0, "customer": "", "is_target": True}
        changed = {"firm": kind == "firm", "reported": draw.random() < 0.8}
        demands.append(replace(demand, **changed, **(week if kind == "target" else {})))
    return replace(
        farm, costs={name: draw.choice((0, 7, 150)) for name in COSTS}, demands=tuple(demands), today=0
    )


def is_planned_and_sound(seed):
    # the audit is in ``outcome``
    assert outcome(any_season(seed), 5).plan is not None


@pytest.mark.parametrize("seed", range(1000, 1008))
def test_farms_of_every_kind_with_beds_are_planned_without_a_fault(seed):
    is_planned_and_sound(seed)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(range(1008, 1315)))
def test_farms_of_every_kind_with_beds_are_planned_without_a_fault_long(seeds):
    each_of(seeds, is_planned_and_sound)


def test_a_bed_is_picked_on_over_the_turn_of_the_year_at_each_months_pace():
    crop = make_crop("Tomato", tray=(7, 3, 10_000), bed=(21, 10_000), curve=(2000,) * 6, a_week=2)
    made = make_farm(
        first_day=date(2026, 11, 2),
        days=112,
        crops=[crop],
        beds={"Bed": 10},
        clean_days=3,
        work_days={Work.SOW: {0}, Work.RAFT: {0}, Work.HARVEST: {0, 3}},
        demands=[delivery("Tomato", day, 5, max_age=0) for day in (56, 59, 63, 66, 70)],
        lanes=0,
        zones=0,
    )
    months = {"Bed": dict.fromkeys(range(1, 13), 1000) | {12: 500, 1: 700}}
    farm = replace(made, pace=replace(made.pace, months=months))
    plan = solved(farm, 2.0)
    assert all(row.filled == row.amount for row in plan.demands)
    for row in plan.plantings:
        assert farm.date_of(row.enters).year == 2026
        assert farm.date_of(row.leaves).year == 2027
        days = [each.day for each in plan.pickings if each.planting == row.planting]
        assert [each.number for each in plan.pickings if each.planting == row.planting] == list(
            range(1, len(days) + 1)
        )
        # grown to the first picking: full days of November, half ones of December, 0.7 of January
        grown = 0
        for day in range(row.enters, days[0]):
            grown += {11: 1000, 12: 500, 1: 700, 2: 1000}[farm.date_of(day).month]
        assert grown >= 21_000
        assert grown - 7 * 1000 < 21_000
        assert row.lot == f"TOM-{farm.date_of(row.from_day):%y%m%d}"
