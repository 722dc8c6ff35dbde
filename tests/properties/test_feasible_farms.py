"""Farms made to fit a plan: the planner must fill every delivery that plan could.

A random plan is written down first: batches of several crops, cut once or again, set out in rows so that
none overtakes another, with boards of all of them in one zone, greens cut in their trays, and days on which
nothing is done. From it follow the slots, trays, boards and rafts that are needed, a tenth more of each as
slack, and deliveries of exactly the heads it gives.
"""

import os
import random
from collections import defaultdict
from dataclasses import dataclass

import pytest
from farms import delivery, make_crop, make_farm, make_greens
from fuzz.results import note
from solving import got, solved

from scheduler.farm.calendar import Work
from scheduler.farm.units import ceil_div, needed_for, share_down

DAYS = 42
PER_RAFT, PER_BOARD, PER_ROW, ROWS = 6, 12, 4, 5
MOVES = frozenset({0, 3})
"""Monday and Thursday."""

FARMS = int(os.environ.get("RAFTWAY_FARMS", "2000"))
CHUNK = 100


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
    again = lambda: draw.choice(({}, {}, {"cuts": draw.randint(2, 3), "interval": 5}))  # noqa: E731
    return [
        make_crop(
            name,
            tray=(draw.randint(4, 7), 4, share()),
            board=(draw.randint(4, 6), 4, share()) if draw.random() < 0.7 else None,
            raft=(draw.randint(5, 9), draw.randint(3, 5), share()),
            saleable=share(),
            **again(),
        )
        for name in ("Lettuce", "Kale", "Chard")[: draw.randint(1, 3)]
    ]


def moving_days(closed, first, last):
    """Moving days from first through last that are not closed; the first day of the farm is a Monday."""
    return [day for day in range(first, last + 1) if day % 7 in MOVES and day not in closed]


def any_path(draw, crop, closed):
    """Return the days a batch is sown, set on boards and set on rafts; None when closed days leave none."""
    days = [draw.choice(moving_days(closed, 0, 12))]
    for stage in crop.route[:-1]:
        open_days = moving_days(closed, days[-1] + stage.days, days[-1] + stage.days + stage.wait)
        if not open_days:
            return None
        days.append(draw.choice(open_days))
    return (days[0], days[1] if crop.board else None, days[-1])


def any_cuts(draw, crop, raft_day, plants, closed):
    """Return (day, plants) of each cut, all of them cut again, or some on one day and some on another."""
    first = raft_day + crop.finish.days
    open_days = [day for day in range(first, first + crop.finish.wait + 1) if day not in closed]
    if crop.cuts > 1:
        days = [draw.choice(open_days)] if open_days else []
        for _ in range(1, crop.cuts):
            days = [*days, days[-1] + crop.cut_interval] if days else []
        return [] if closed.intersection(days) else [(day, plants) for day in days]
    days = sorted(draw.sample(open_days, min(draw.randint(1, 2), len(open_days))))
    each = [plants // len(days)] * len(days) if days else []
    return [
        (day, number + (plants % len(days) if day == days[-1] else 0))
        for day, number in zip(days, each, strict=True)
    ]


def any_batches(draw, crops, rows, closed):
    """Batches in the order they enter their rows, none leaving a row before the one ahead of it."""
    paths = []
    for _ in range(draw.randint(3, 7)):
        crop = draw.choice(crops)
        path = any_path(draw, crop, closed)
        if path:
            paths.append((path[2], crop.name, path[0], path[1], crop))
    made, latest = [], defaultdict(int)
    for raft_day, name, sown, board_day, crop in sorted(paths, key=lambda path: path[:3]):
        row = draw.choice(rows)
        rafts = draw.randint(1, 3)
        cuts = any_cuts(draw, crop, raft_day, rafts * PER_RAFT, closed)
        if cuts:
            latest[row] = max(latest[row], cuts[-1][0])
            made.append(Planned(name, sown, board_day, raft_day, rafts, row, tuple(cuts), latest[row]))
    return made


def any_greens(draw, crop, closed):
    """Return (day sown, day cut, trays) of whole trays of a crop that is cut in them."""
    made = []
    for _ in range(draw.randint(1, 4)):
        sown = draw.choice(moving_days(closed, 0, 24))
        first = sown + crop.tray.days
        days = [day for day in range(first, first + crop.tray.wait + 1) if day not in closed]
        if days:
            made.append((sown, draw.choice(days), draw.randint(1, 2)))
    return made


def slack(number):
    return number + ceil_div(number, 10)


def most(stays):
    """The most that stand on one day, of (from, until, how many)."""
    standing = defaultdict(int)
    for start, until, number in stays:
        for day in range(start, until):
            standing[day] += number
    return slack(max(standing.values(), default=0))


def farm_for(seed):
    """Return a farm that some plan fits, with a tenth more of everything."""
    draw = random.Random(seed)
    crops = any_crops(draw)
    rows = [f"Trough {n}" for n in range(1, draw.randint(1, 3) + 1)]
    closed = frozenset(draw.sample(range(3, DAYS), draw.choice((0, 0, 2, 4))))
    batches = any_batches(draw, crops, rows, closed)
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
    if draw.random() < 0.4:
        cress = make_greens("Cress", days=draw.randint(4, 8), window=draw.randint(1, 3), saleable=9_500)
        crops.append(cress)
        for sown, cut, number in any_greens(draw, cress, closed):
            trays.append((sown, cut, number))
            heads["Cress", cut] += share_down(number * PER_ROW * ROWS, cress.heads_share)
    return make_farm(
        days=DAYS,
        work_days={work: MOVES for work in (Work.SOW, Work.TRANSPLANT, Work.RAFT)},
        closed={work: closed for work in Work},
        crops=crops,
        demands=any_demands(draw, heads),
        tier_slots=most(trays),
        trays=most(trays),
        zone_slots=most(boards),
        boards=most(boards),
        lanes=len(rows),
        lane_slots=max((most(stays) for stays in rafts.values()), default=1),
        rafts=most([stay for stays in rafts.values() for stay in stays]),
    )


def any_demands(draw, heads):
    """Deliveries of just the heads there are of each crop and day, some a day or two after they are cut."""
    demands = []
    for (name, day), number in sorted(heads.items()):
        age = draw.randint(0, 2)
        on = day + draw.randint(0, age)
        if number and on < DAYS:
            demands.append(delivery(name, on, number, name=f"{name} {day}", max_age=age, priority=3))
    return demands


def fills_everything(seed):
    farm = farm_for(seed)
    filled = got(solved(farm, seconds=10))
    assert {demand.name: demand.amount for demand in farm.demands} == filled, seed


def test_the_hidden_plans_are_of_every_kind():
    farms = [farm_for(seed) for seed in range(30)]
    crops = [crop for farm in farms for crop in farm.crops.values()]
    assert any(crop.cuts > 1 for crop in crops)
    assert any(len(crop.route) == 1 for crop in crops)
    assert any(farm.calendar.closed[Work.SOW] for farm in farms)
    assert sum(len(farm.demands) for farm in farms) > 100


@pytest.mark.parametrize("seed", range(15))
def test_a_farm_that_some_plan_fits_is_filled(seed):
    fills_everything(seed)


@pytest.mark.soak
@pytest.mark.parametrize("first", range(0, FARMS, CHUNK))
def test_farms_that_some_plan_fits_are_filled_long(first):
    for seed in range(first, first + CHUNK):
        fills_everything(seed)
    note("farms made for a hidden plan with a tenth of slack", CHUNK)
