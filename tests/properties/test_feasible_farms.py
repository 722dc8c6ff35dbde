"""Farms made to fit a plan: the planner must fill every delivery that plan could.

A random plan is written down first: batches of several crops, set out in rows so that none overtakes
another. From it follow the slots, trays, boards and rafts that are needed, a tenth more of each as slack,
and deliveries of exactly the heads it gives.
"""

import random
from collections import defaultdict
from dataclasses import dataclass

import pytest
from farms import delivery, make_crop, make_farm
from larger import most
from seeds import blocks, each_of, sample
from solving import got, solved

from scheduler.farm.calendar import Work
from scheduler.farm.units import ceil_div, needed_for, share_down

DAYS = 42
PER_RAFT, PER_BOARD, PER_ROW, ROWS = 6, 12, 4, 5
MOVES = frozenset({0, 3})
"""Monday and Thursday."""


@dataclass(frozen=True)
class Planned:
    """One batch of the plan the farm is made for."""

    crop: str
    sown: int
    board_day: int | None
    raft_day: int
    rafts: int
    row: str
    cuts: tuple[tuple[int, int], ...]
    leaves: int


def any_crops(draw):
    share = lambda: draw.choice((10_000, 9_500, 9_000))  # noqa: E731
    return [
        make_crop(
            name,
            tray=(draw.randint(4, 7), 4, share()),
            board=(draw.randint(4, 6), 4, share()) if draw.random() < 0.7 else None,
            raft=(draw.randint(5, 9), draw.randint(3, 5), share()),
            saleable=share(),
        )
        for name in ("Lettuce", "Kale", "Chard")[: draw.randint(1, 3)]
    ]


def work_days(first, last):
    """Moving days from first through last; the first day of the farm is a Monday."""
    return [day for day in range(first, last + 1) if day % 7 in MOVES]


def any_batches(draw, crops, rows):
    """Batches in the order they enter their rows, none leaving a row before the one ahead of it."""
    paths = []
    for _ in range(draw.randint(3, 7)):
        crop = draw.choice(crops)
        sown = draw.choice(work_days(0, 12))
        board_day = None
        raft_day = draw.choice(work_days(sown + crop.tray.days, sown + crop.tray.days + crop.tray.wait))
        if crop.board:
            board_day = raft_day
            raft_day = draw.choice(
                work_days(board_day + crop.board.days, board_day + crop.board.days + crop.board.wait)
            )
        paths.append((raft_day, crop.name, sown, board_day, crop))
    made, latest = [], defaultdict(int)
    for raft_day, name, sown, board_day, crop in sorted(paths, key=lambda path: path[:3]):
        row = draw.choice(rows)
        rafts = draw.randint(1, 3)
        first, last = raft_day + crop.finish.days, raft_day + crop.finish.days + crop.finish.wait
        days = sorted(draw.sample(range(first, last + 1), draw.randint(1, 2)))
        each = [rafts * PER_RAFT // len(days)] * len(days)
        each[-1] += rafts * PER_RAFT - sum(each)
        latest[row] = max(latest[row], days[-1])
        made.append(
            Planned(
                name, sown, board_day, raft_day, rafts, row, tuple(zip(days, each, strict=True)), latest[row]
            )
        )
    return made


def farm_for(seed):
    """Return a farm that some plan fits, with a tenth more of everything."""
    draw = random.Random(seed)
    crops = any_crops(draw)
    rows = [f"Trough {n}" for n in range(1, draw.randint(1, 3) + 1)]
    batches = any_batches(draw, crops, rows)
    of = {crop.name: crop for crop in crops}
    trays, boards, rafts, heads = [], [], defaultdict(list), defaultdict(int)
    for batch in batches:
        crop = of[batch.crop]
        plants = on_boards = batch.rafts * PER_RAFT
        if crop.board:
            on_boards = needed_for(plants, crop.board.survival)
            boards.append((batch.board_day, batch.raft_day, ceil_div(on_boards, PER_BOARD)))
        cells = needed_for(on_boards, crop.tray.survival)
        trays.append((batch.sown, batch.board_day or batch.raft_day, ceil_div(cells, PER_ROW * ROWS)))
        rafts[batch.row].append((batch.raft_day, batch.leaves, batch.rafts))
        for day, number in batch.cuts:
            heads[batch.crop, day] += share_down(number, crop.heads_share)
    demands = []
    for (name, day), number in sorted(heads.items()):
        age = draw.randint(0, 2)
        on = day + draw.randint(0, age)
        if number:
            demands.append(delivery(name, on, number, name=f"{name} {day}", max_age=age, priority=3))
    return make_farm(
        days=DAYS,
        work_days={work: MOVES for work in (Work.SOW, Work.TRANSPLANT, Work.RAFT)},
        crops=crops,
        demands=demands,
        tier_slots=most(trays),
        trays=most(trays),
        zone_slots=most(boards),
        boards=most(boards),
        lanes=len(rows),
        lane_slots=max(most(stays) for stays in rafts.values()),
        rafts=most([stay for stays in rafts.values() for stay in stays]),
    )


def fills_everything(seed, seconds):
    farm = farm_for(seed)
    filled = got(solved(farm, seconds=seconds))
    assert {demand.name: demand.amount for demand in farm.demands} == filled


@pytest.mark.parametrize("seed", sample(range(5), range(5, 8)))
def test_a_farm_that_some_plan_fits_is_filled(seed):
    fills_everything(seed, seconds=0.4)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(range(15, 315)))
def test_a_farm_that_some_plan_fits_is_filled_long(seeds):
    each_of(seeds, lambda seed: fills_everything(seed, seconds=10))
