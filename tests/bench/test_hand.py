import pytest
from bench.trials.books import farm_of
from bench.trials.contenders import CONTENDERS
from bench.trials.families import FAMILIES, SHAPES, Case
from bench.trials.judge import judged
from boxed import box_farm, share, slot
from farms import delivery, make_crop, make_farm
from seeds import sample
from solving import quick_crop

from scheduler.farm.farm import Substitute
from scheduler.model.settings import SolveSettings

SETTINGS = SolveSettings(seconds=0.2, deterministic=True)


def by_hand(farm, who="hand"):
    plan = CONTENDERS[who](farm, SETTINGS).plan
    assert plan is not None
    return plan


def filled(plan):
    return {row.demand: row.filled for row in plan.demands}


@pytest.mark.parametrize(
    "case",
    sample(
        [*(("micro", orders) for orders in SHAPES), ("small", SHAPES[-1]), ("boxes", SHAPES[0])],
        [("small", orders) for orders in SHAPES[:-1]] + [("boxes", orders) for orders in SHAPES[1:]],
    ),
    ids="-".join,
)
def test_a_plan_by_hand_keeps_every_rule(case):
    name, orders = case
    farm = farm_of(Case(family=FAMILIES[name], load=85, orders=orders, seed=2))
    score = judged(farm, by_hand(farm))
    assert score.faults == 0
    assert 0 < score.short_firm < score.ordered / 2


def test_by_hand_a_batch_is_sown_as_late_as_can_be():
    farm = make_farm(demands=[delivery("Lettuce", 50, 6)])
    plan = by_hand(farm)
    # 10 + 10 + 14 days, cut on the day of delivery
    assert [lot.sown for lot in plan.lots] == [16]
    assert filled(plan) == {"Lettuce 50": 6}


def test_by_hand_what_is_left_on_a_raft_serves_a_later_delivery():
    farm = make_farm(demands=[delivery("Lettuce", 50, 4), delivery("Lettuce", 53, 2)])
    plan = by_hand(farm)
    assert filled(plan) == {"Lettuce 50": 4, "Lettuce 53": 2}
    assert len([unit for unit in plan.units if unit.item == "raft"]) == 1


def test_by_hand_a_raft_cut_again_serves_later_deliveries():
    basil = make_crop("Basil", board=None, cuts=3, interval=7)
    farm = make_farm(crops=[basil], demands=[delivery("Basil", day, 6) for day in (40, 47, 54)])
    plan = by_hand(farm)
    assert set(filled(plan).values()) == {6}
    assert len(plan.lots) == 1


def test_by_hand_nothing_is_moved_again_to_make_room():
    # one slot: the raft for day 50 is there until then, so the delivery of day 51 finds no room
    farm = make_farm(
        lane_slots=1, demands=[delivery("Lettuce", 50, 6), delivery("Lettuce", 52, 6, max_age=0)]
    )
    assert filled(by_hand(farm)) == {"Lettuce 50": 6, "Lettuce 52": 0}


def test_by_hand_no_raft_overtakes_another():
    slow = make_crop("Slow", raft=(30, 0, 10_000))
    fast = make_crop("Fast", raft=(10, 0, 10_000))
    wanted = [delivery("Slow", 70, 6, max_age=0), delivery("Fast", 60, 6, max_age=0)]
    farm = make_farm(crops=[slow, fast], demands=wanted)
    score = judged(farm, by_hand(farm))
    assert score.faults == 0
    # Fast is planned first and leaves the row on day 60 at the latest, Slow enters on day 40 and stays
    assert score.short_firm == 6


def test_by_hand_boxes_get_products_in_turn_and_the_next_where_one_cannot_be_had():
    crops = [quick_crop("Lettuce"), quick_crop("Kale", sowing=((0, 8),)), quick_crop("Cress")]
    own = share(slot(), most_running=1, max_age=0)
    farm = box_farm(own, on=range(9, 44, 7), days=49, boxes=(5, 0), crops=crops, lanes=3)
    plan = by_hand(farm)
    assert judged(farm, plan).faults == 0
    # Kale, the dearest, comes first, and again in its turn as long as it is sown.
    assert [row.product for row in plan.box_items] == ["Kale", "Lettuce", "Cress", "Lettuce", "Cress"]
    assert all(row.filled == row.amount for row in plan.demands)


def test_by_hand_a_place_that_may_be_split_gets_what_is_missing_of_another():
    crops = [quick_crop("Lettuce"), quick_crop("Kale", lanes=["Trough 1"]), quick_crop("Cress")]
    farm = box_farm(share(slot(most_products=2)), on=[9], boxes=(9, 0), crops=crops, lanes=3, lane_slots=1)
    plan = by_hand(farm)
    assert judged(farm, plan).faults == 0
    assert {row.product: row.filled for row in plan.box_items} == {"Kale": 6, "Lettuce": 3}


def test_by_hand_what_is_short_is_filled_with_what_may_stand_in():
    crops = [quick_crop("Lettuce", lanes=["Trough 1"]), quick_crop("Romaine")]
    other = Substitute(product="Romaine", rank=1, price=80)
    wanted = [delivery("Lettuce", 12, 9, max_age=0, price=100, substitutes=(other,))]
    farm = make_farm(crops=crops, lanes=2, lane_slots=1, demands=wanted)
    plan = by_hand(farm)
    assert judged(farm, plan).faults == 0
    assert {(row.crop, row.substitute): row.heads for row in plan.fills} == {
        ("Lettuce", ""): 6,
        ("Romaine", "Romaine"): 3,
    }


@pytest.mark.parametrize("who", ["hand-repaired", "cp-sat"])
def test_others_plan_boxes_and_substitutes_as_well(who):
    crops = [quick_crop("Lettuce", lanes=["Trough 1"]), quick_crop("Kale"), quick_crop("Cress")]
    other = Substitute(product="Kale", rank=1, price=80)
    wanted = [delivery("Lettuce", 12, 9, max_age=0, price=100, substitutes=(other,))]
    own = share(slot(), most_running=1, max_age=0)
    farm = box_farm(
        own, on=[9, 16], days=21, boxes=(5, 0), crops=crops, lanes=3, lane_slots=1, demands=wanted
    )
    result = CONTENDERS[who](farm, SolveSettings(seconds=30 if who == "cp-sat" else 0.2, deterministic=True))
    assert not result.note.startswith("not repaired")
    assert judged(farm, result.plan).faults == 0
    assert all(row.filled == row.amount for row in result.plan.demands)
    assert {row.substitute for row in result.plan.fills} == {"", "Kale"}


def test_repair_makes_a_plan_by_hand_better_and_keeps_every_rule():
    # one slot; by hand it goes to the first delivery, though the second is worth more
    farm = make_farm(
        lane_slots=1,
        demands=[delivery("Lettuce", 50, 6), delivery("Lettuce", 52, 6, max_age=0, price=300)],
    )
    before, after = judged(farm, by_hand(farm)), judged(farm, by_hand(farm, "hand-repaired"))
    assert after.faults == 0
    assert after.level_1 < before.level_1
