"""Limits know that rafts are whole: what does not fit on one takes another, and crops share none."""

import pytest
from farms import delivery, growing, make_crop, make_farm
from model.few_holes import few_holes
from model.second_planner import least_shortage
from model.test_bound import no_better, units_short
from seeds import blocks, each_of
from solving import quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.model.bounds.bound import FIRM, bounds
from scheduler.model.bounds.program import Limit
from scheduler.model.bounds.relaxation import relaxed
from scheduler.model.options.frame import season

SAMPLE, LONG = range(30), [*range(8, 12), *range(5000, 7000)]
HOLES = 6


def crops(*names, **needs):
    """Crops that stand on rafts for just four days, unless told otherwise."""
    return [quick_crop(name, **({"raft": (4, 0, 10_000)} | needs)) for name in names]


def short(demands, slots, *, on=("Lettuce", "Kale"), rules=None, **needs):
    listed = crops(*on, **needs)
    return units_short(make_farm(days=20, crops=listed, lane_slots=slots, demands=demands, rules=rules or {}))


def test_two_crops_do_not_share_the_only_raft():
    orders = [delivery("Lettuce", 8, 3, max_age=0), delivery("Kale", 8, 2, max_age=0)]
    assert (short(orders, 1), short(orders, 2)) == (2, 0)


def test_where_lots_may_share_rafts_nothing_is_rounded_up():
    orders = [delivery("Lettuce", 8, 3, max_age=0), delivery("Kale", 8, 2, max_age=0)]
    assert short(orders, 1, rules={"share_rafts": True}) == 0


@pytest.mark.parametrize(("wanted", "missing"), [(HOLES, 0), (HOLES + 1, 1), (HOLES + 2, 2)])
def test_what_does_not_fit_on_one_raft_takes_another(wanted, missing):
    orders = [delivery("Lettuce", 8, wanted, max_age=0), delivery("Kale", 8, 4, max_age=0)]
    assert short(orders, 2) == missing


def test_a_raft_serves_deliveries_of_two_days_where_it_may_wait_for_the_second():
    orders = [
        delivery("Lettuce", 8, 3, max_age=0),
        delivery("Lettuce", 9, 3, max_age=0),
        delivery("Kale", 9, 2, max_age=0),
    ]
    waits = {"raft": (4, 1, 10_000)}
    assert (short(orders, 2), short(orders, 2, **waits)) == (2, 0)
    assert short(orders, 1, **waits) == 2


def test_a_raft_that_is_cut_again_serves_two_deliveries_with_few_days_between():
    orders = [delivery("Lettuce", 8, 3, max_age=0), delivery("Lettuce", 11, 3, max_age=0)]
    others = [delivery("Kale", day, 2, max_age=0) for day in (8, 11)]
    again = {"raft": (4, 0, 10_000), "cuts": 2, "interval": 3}
    assert short([*orders, *others], 1, **again) == 4
    assert short(orders, 1, **again) == 0


def test_what_stands_on_rafts_on_the_first_day_is_not_rounded_up():
    found = [growing("Lettuce", StageKind.RAFT, 0, 6, 1, lot="G1", order=1)]
    order = delivery("Lettuce", 4, 6, max_age=0)
    farm = make_farm(days=20, crops=crops("Lettuce"), lane_slots=1, growing=found, demands=[order])
    assert units_short(farm) == 0


def test_either_of_two_products_may_be_on_the_raft_that_a_delivery_needs():
    orders = [delivery("Salad", 8, 4, max_age=0), delivery("Kale", 8, 2, max_age=0)]
    farm = {"days": 20, "crops": crops("Lettuce", "Kale"), "demands": orders}
    either = {"Salad": {"Lettuce": 1000, "Kale": 1000}}
    assert units_short(make_farm(lane_slots=1, products=either, **farm)) == 0
    assert units_short(make_farm(lane_slots=1, products={"Salad": {"Lettuce": 1000}}, **farm)) == 2


def test_plants_for_losses_may_be_cut_on_a_day_of_no_use_and_leave_their_raft_then():
    # seven plants give six heads; the seventh is cut a day early, and its raft makes room for lettuce
    kale = quick_crop("Kale", raft=(3, 1, 10_000), saleable=9_000, cuts=2, interval=3)
    orders = [delivery("Kale", 8, 6, max_age=0), delivery("Lettuce", 10, 4, max_age=0)]
    lettuce = quick_crop(raft=(3, 0, 10_000))
    farm = make_farm(days=12, crops=[lettuce, kale], lanes=2, lane_slots=1, demands=orders)
    assert [row.filled for row in solved(farm).demands] == [6, 4]
    assert units_short(farm) == 0


def test_whole_rafts_are_paid_for():
    order = delivery("Lettuce", 8, 3, max_age=0)
    farm = make_farm(days=20, crops=crops("Lettuce"), demands=[order], costs={"raft": 60, "raft_slot_day": 6})
    # half a raft would do for three heads, but there is none: 60 and 4 days of 6, in thousandths
    assert bounds(farm, season(farm), (0, 0), 60).cost == (60 + 4 * 6) * 1000


# --- never above a plan ---


@pytest.mark.parametrize("seed", SAMPLE[:8])
def test_no_plan_of_few_holes_is_less_short_or_cheaper_than_the_limit(seed):
    no_better(few_holes(seed), seconds=0.2)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG))
def test_no_plan_of_few_holes_is_less_short_or_cheaper_than_the_limit_long(seeds):
    def holds(seed):
        farm = few_holes(seed)
        assert bounds(farm, season(farm), None, 60).firm <= least_shortage(farm)
        no_better(farm)

    each_of(seeds, holds)


def test_the_sample_has_farms_on_which_whole_rafts_raise_the_limit():
    raised = 0
    for seed in SAMPLE:
        farm = few_holes(seed)
        frame = season(farm)
        firm = [wish for wish in frame.wishes if wish.level == FIRM]
        last = max([frame.end, *(wish.last for wish in frame.wishes)])
        plain, whole = (
            relaxed(farm, firm, last, whole=each).least_short(FIRM, Limit(seconds=60))
            for each in (False, True)
        )
        raised += whole > plain
    assert raised >= 2


def test_a_crop_of_another_size_of_raft_is_rounded_by_its_own_holes():
    small = make_crop("Kale", tray=(3, 1, 10_000), board=None, raft=(4, 0, 10_000), per_raft=4)
    orders = [delivery("Kale", 8, 5, max_age=0), delivery("Lettuce", 8, 5, max_age=0)]
    farm = make_farm(days=20, crops=[*crops("Lettuce"), small], lane_slots=2, demands=orders)
    assert units_short(farm) == 1
