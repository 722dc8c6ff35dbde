"""Chances whose answer is known: binomial losses, and slow weeks alone."""

from math import erf

import numpy as np
import pytest
from farms import delivery, make_crop, make_farm
from scipy.optimize import brentq
from scipy.stats import binom
from stressed import RUNS, crop_that_comes_up, fits, hits, lot, replayed, sound

from scheduler.stress.chances import Chances, wilson


@pytest.mark.parametrize(("share", "need"), [(9000, 6), (6000, 6), (5000, 4), (7500, 6)])
def test_one_lot_and_one_delivery_are_a_binomial_of_the_cells(share, need):
    farm = make_farm(crops=[crop_that_comes_up(share)], demands=[delivery("Lettuce", 34, need)])
    plan = sound(farm, lot(34, 6), fills=[("Lettuce 34", "LET-260302", 34, need)])
    tally = replayed(farm, plan)
    assert fits(hits(farm, tally)["Lettuce 34"], binom.sf(need - 1, 12, share / 10_000))
    short = sum((need - k) * binom.pmf(k, 12, share / 10_000) for k in range(need))
    assert tally.short[0] / RUNS == pytest.approx(short, abs=0.05)


def test_losses_of_all_stages_are_one_binomial():
    shares = (9000, 9500, 9200, 9600)
    tray, board, raft, saleable = shares
    crop = make_crop(
        "Lettuce", tray=(10, 3, tray), board=(10, 3, board), raft=(14, 6, raft), saleable=saleable
    )
    farm = make_farm(crops=[crop], demands=[delivery("Lettuce", 34, 5)])
    plan = sound(
        farm,
        lot(34, 6, boards=(7,), cuts=((34, 6, 5),)),
        fills=[("Lettuce 34", "LET-260302", 34, 5)],
    )
    # twelve cells fill the board's twelve holes at most, and six holes of the raft take what is left
    there = sum(
        binom.pmf(k, 12, tray * board / 1e8) * binom.sf(4, min(k, 6), raft * saleable / 1e8)
        for k in range(13)
    )
    assert fits(hits(farm, replayed(farm, plan))["Lettuce 34"], there)


def test_two_lots_for_one_delivery_add_up():
    crops = [crop_that_comes_up(5500), crop_that_comes_up(6500, "Salanova", code="SAL")]
    mixed = {"Mix": {"Lettuce": 1000, "Salanova": 1000}}
    farm = make_farm(crops=crops, products=mixed, demands=[delivery("Mix", 34, 12)])
    plan = sound(
        farm,
        lot(34, 6),
        lot(34, 6, crop="Salanova"),
        fills=[("Mix 34", "LET-260302", 34, 6), ("Mix 34", "SAL-260302", 34, 6)],
    )
    # each raft has six holes: what comes up beyond is of no use to the other lot
    assert fits(hits(farm, replayed(farm, plan))["Mix 34"], binom.sf(5, 12, 0.55) * binom.sf(5, 12, 0.65))


def test_two_lots_make_up_for_each_other():
    crops = [crop_that_comes_up(5500), crop_that_comes_up(6500, "Salanova", code="SAL")]
    mixed = {"Mix": {"Lettuce": 1000, "Salanova": 1000}}
    farm = make_farm(crops=crops, products=mixed, demands=[delivery("Mix", 34, 8)])
    plan = sound(
        farm,
        lot(34, 6),
        lot(34, 6, crop="Salanova"),
        fills=[("Mix 34", "LET-260302", 34, 4), ("Mix 34", "SAL-260302", 34, 4)],
    )
    of_a_raft = [
        np.append(binom.pmf(np.arange(6), 12, share), binom.sf(5, 12, share)) for share in (0.55, 0.65)
    ]
    chance = np.convolve(*of_a_raft)[8:].sum()
    assert fits(hits(farm, replayed(farm, plan))["Mix 34"], chance)


def test_two_deliveries_that_share_a_lot_are_served_one_after_the_other():
    demands = [
        delivery("Lettuce", 34, 6, name="first", customer="A"),
        delivery("Lettuce", 35, 5, name="second"),
    ]
    farm = make_farm(crops=[crop_that_comes_up(8000)], demands=demands)
    plan = sound(
        farm,
        lot(34, 12, rows=4, boards=(12,)),
        fills=[("first", "LET-260302", 34, 6), ("second", "LET-260302", 34, 5)],
    )
    found = hits(farm, replayed(farm, plan))
    assert fits(found["first"], binom.sf(5, 16, 0.8))
    assert fits(found["second"], binom.sf(10, 16, 0.8))


def test_a_margin_that_gives_95_percent_gives_95_percent():
    cells, need = 12, 6
    share = brentq(lambda each: binom.sf(need - 1, cells, each) - 0.95, 0.1, 0.9)
    rounded = round(10_000 * share)
    farm = make_farm(crops=[crop_that_comes_up(rounded)], demands=[delivery("Lettuce", 34, need)])
    plan = sound(farm, lot(34, 6), fills=[("Lettuce 34", "LET-260302", 34, need)])
    found = hits(farm, replayed(farm, plan))["Lettuce 34"]
    low, high = wilson(found, RUNS)
    assert low <= 0.95 <= high


@pytest.mark.parametrize(("slow", "early"), [(500, 500), (1000, 500), (400, 300)])
def test_slow_weeks_alone_are_two_normal_numbers(slow, early):
    # a week on a shelf and a week in a trough: in time while both together are no later than heads may be
    crop = make_crop("Cress", tray=(7, 0, 10_000), board=None, raft=(7, 0, 10_000))
    farm = make_farm(crops=[crop], demands=[delivery("Cress", 14, 6, max_age=0)])
    plan = sound(
        farm,
        lot(14, 6, crop="Cress", sown=0, rows=2, board_day=None, raft_day=7),
        fills=[("Cress 14", "CRE-260302", 14, 6)],
    )
    tally = replayed(farm, plan, Chances(losses=False, slow=slow, early=early))
    # |a| + |b| <= 2 * early / slow is a square on its corner
    assert fits(hits(farm, tally)["Cress 14"], erf(early / slow) ** 2)


def test_nothing_left_to_chance_gives_what_the_plan_gives():
    farm = make_farm(crops=[crop_that_comes_up(9000)], demands=[delivery("Lettuce", 34, 6)])
    plan = sound(farm, lot(34, 6), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    tally = replayed(farm, plan, Chances(losses=False, slow=0, early=0), runs=3)
    assert tally.filled == (3,)
    assert tally.short == (0,)
    assert tally.whole == {"Lettuce": 3}


@pytest.mark.parametrize(
    ("found", "runs", "low", "high"),
    [(0, 10, 0.0, 0.2775), (10, 10, 0.7225, 1.0), (81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605)],
)
def test_the_interval_of_a_counted_chance_is_the_score_interval(found, runs, low, high):
    # the last two: Newcombe R.G., 1998: Two-sided confidence intervals for the single proportion, Statistics
    # in Medicine 17:857-872, table I (from memory)
    assert wilson(found, runs) == pytest.approx((low, high), abs=5e-5)


def test_a_count_of_no_runs_has_no_chance():
    with pytest.raises(ValueError, match="0 of 0 runs"):
        wilson(0, 0)
