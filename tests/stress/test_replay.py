"""Runs of a plan: the same in any order and company, and every kind of plan can be replayed."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, make_greens, target
from plans import Batch
from scipy.stats import binom
from solving import solved
from stressed import RUNS, crop_that_comes_up, fits, hits, lot, replayed, sound

from scheduler.farm.crops import StageKind
from scheduler.stress.chances import Chances
from scheduler.stress.replay import Replay, total


@pytest.fixture(scope="module")
def two_lots():
    demands = [delivery("Lettuce", 34, 6), delivery("Lettuce", 41, 6), target("Lettuce", 35, 6)]
    farm = make_farm(crops=[crop_that_comes_up(8000, raft=(14, 8, 9500), saleable=9000)], demands=demands)
    plan = sound(
        farm,
        lot(34, 6, cuts=((34, 6, 5),)),
        lot(41, 6, cuts=((41, 6, 5),)),
        fills=[("Lettuce 34", "LET-260302", 34, 5), ("Lettuce 41", "LET-260309", 41, 5)],
    )
    return farm, plan


def test_runs_are_the_same_in_any_order_and_company(two_lots):
    farm, plan = two_lots
    replay = Replay(farm, plan, Chances())
    whole = replay.tally(range(700))
    parts = [replay.tally(range(*each)) for each in ((650, 700), (0, 1), (1, 650))]
    assert total(parts) == whole
    assert Replay(farm, plan, Chances()).tally(range(700)) == whole


def test_another_seed_is_other_luck(two_lots):
    farm, plan = two_lots
    first, second = (Replay(farm, plan, Chances(seed=seed)).tally(range(300)) for seed in (1, 2))
    assert first.filled != second.filled


def test_no_runs_are_no_tally():
    with pytest.raises(ValueError, match="no runs"):
        total([])


@pytest.mark.parametrize(("slow", "early"), [(-1, 0), (0, 10_001)])
def test_a_spread_is_a_share(slow, early):
    with pytest.raises(ValueError, match="shares"):
        Chances(slow=slow, early=early)


def test_slower_weeks_never_help_the_delivery_served_first(two_lots):
    farm, plan = two_lots
    found = [hits(farm, replayed(farm, plan, Chances(slow=slow), runs=300)) for slow in (0, 300, 900)]
    for name in ("Lettuce 34", "Lettuce 41"):
        chances = [each[name] for each in found]
        assert chances == sorted(chances, reverse=True)
        assert chances[0] > chances[-1]


def test_a_crop_cut_again_gives_each_cut_its_own_heads():
    crop = make_crop(
        "Basil", tray=(10, 3, 10_000), board=None, raft=(14, 6, 8000), cuts=2, interval=7, saleable=10_000
    )
    demands = [delivery("Basil", 24, 4), delivery("Basil", 31, 4)]
    farm = make_farm(crops=[crop], demands=demands)
    plan = sound(
        farm,
        Batch(crop="Basil", rows=2, board_day=None, raft_day=10, rafts=(6,), cuts=((24, 6, 4), (31, 6, 4))),
        fills=[("Basil 24", "BAS-260302", 24, 4), ("Basil 31", "BAS-260302", 31, 4)],
    )
    tally = replayed(farm, plan)
    # what was lost before the first cut is lost for the second as well
    assert fits(tally.filled[0], binom.sf(3, 6, 0.8))
    assert tally.filled[0] == tally.filled[1] == tally.whole["Basil"]


def test_a_second_cut_is_late_when_the_first_was():
    crop = make_crop("Basil", tray=(10, 3, 10_000), board=None, raft=(14, 20, 10_000), cuts=2, interval=7)
    demands = [target("Basil", 24, 6, name="first", last=30), delivery("Basil", 31, 6, name="second")]
    farm = make_farm(crops=[crop], demands=demands)
    plan = sound(
        farm,
        Batch(crop="Basil", rows=2, board_day=None, raft_day=10, rafts=(6,), cuts=((24, 6), (31, 6))),
        fills=[("first", "BAS-260302", 24, 6), ("second", "BAS-260302", 31, 6)],
    )
    found = hits(farm, replayed(farm, plan, Chances(losses=False, slow=50, early=0)))
    assert found == {"first": RUNS, "second": 0}


def test_what_grows_already_loses_only_what_is_to_come():
    crop = make_crop("Lettuce", tray=(10, 3, 5000), raft=(14, 6, 9000))
    entry = growing("Lettuce", StageKind.BOARD, -5, 6, 1)
    farm = make_farm(crops=[crop], demands=[delivery("Lettuce", 19, 5)], growing=[entry])
    plan = sound(
        farm,
        Batch(found=entry, board_day=-5, boards=(6,), raft_day=5, rafts=(6,), cuts=((19, 6, 5),)),
        fills=[("Lettuce 19", "G", 19, 5)],
    )
    assert fits(replayed(farm, plan).filled[0], binom.sf(4, 6, 0.9))


def test_seedlings_that_are_expected_of_growing_trays_are_there():
    crop = make_crop("Lettuce", tray=(10, 3, 5000))
    entry = growing("Lettuce", StageKind.TRAY, -5, 6, 1)
    farm = make_farm(crops=[crop], demands=[delivery("Lettuce", 29, 6)], growing=[entry])
    plan = sound(
        farm,
        Batch(found=entry, board_day=5, boards=(6,), raft_day=15, rafts=(6,), cuts=((29, 6),)),
        fills=[("Lettuce 29", "G", 29, 6)],
    )
    assert replayed(farm, plan, runs=50).filled == (50,)


def test_products_of_several_plants_are_counted_in_whole_units():
    farm = make_farm(
        crops=[crop_that_comes_up(8000)],
        products={"Bunch": {"Lettuce": 2500}},
        demands=[delivery("Bunch", 34, 2)],
    )
    plan = sound(farm, lot(34, 6, rows=2), fills=[("Bunch 34", "LET-260302", 34, 5)])
    tally = replayed(farm, plan)
    # five heads make two bunches, two to four make one or none
    assert fits(tally.filled[0], binom.sf(4, 8, 0.8))


def test_open_trays_give_their_mass_and_come_late_in_slow_weeks():
    crop = replace(make_greens("Cress", days=8, window=4, grams=150), seed_share=9000)
    week = target("Cress", 7, 300, name="week", last=13)
    farm = make_farm(crops=[crop], demands=[delivery("Cress", 8, 300, max_age=0), week], open_trays=10)
    plan = solved(farm, seconds=0.5)
    calm = hits(farm, replayed(farm, plan, runs=50))
    assert calm == {"Cress 8": 50, "week": 50}
    late = hits(farm, replayed(farm, plan, Chances(slow=200, early=0), runs=50))
    assert late["Cress 8"] == 0


def test_greens_that_are_counted_are_lost_cell_by_cell():
    crop = replace(make_greens("Pea", days=8, window=4), seed_share=8000)
    farm = make_farm(crops=[crop], demands=[delivery("Pea", 8, 18)])
    plan = solved(farm, seconds=0.5)
    cells = plan.lots[0].cells
    assert fits(replayed(farm, plan).filled[0], binom.sf(17, cells, 0.8))


def test_plugs_that_are_bought_are_followed_from_the_day_they_come():
    crop = replace(make_crop("Lettuce", tray=(0, 0, 9000), raft=(14, 6, 9500)), bought=True)
    farm = make_farm(crops=[crop], demands=[delivery("Lettuce", 30, 6)], days=35)
    plan = solved(farm, seconds=0.5)
    cells, holes = plan.lots[0].cells, sum(row.plants for row in plan.contents if row.unit.startswith("R"))
    found = replayed(farm, plan).filled[0] / RUNS
    # as many as come up, stand and are left: at least as likely as without the holes that are left
    assert found >= binom.sf(5, min(cells, holes), 0.9 * 0.95) - 0.03
    assert found <= binom.sf(5, cells, 0.9 * 0.95) + 0.03
