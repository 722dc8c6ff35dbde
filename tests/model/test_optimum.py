"""On tiny farms the planner's proven shortage is the one that other ways of finding it give."""

import random
from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm
from model.second_planner import least_shortage
from seeds import blocks, each_of
from solving import outcome

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.places import Keeps, PlaceKind

SAMPLE = range(200, 230)
LONG = [*range(230, 260), *range(300, 1100)]
DAYS = 17
RULES = ("share_trays", "share_boards", "share_rafts", "lift_out", "all_or_nothing")


def weighted_shortage(plan):
    return sum(
        (row.amount - row.filled) * max(row.price, 1) * 10 ** (5 - row.priority) for row in plan.demands
    )


def any_crop(draw, name, shared):
    share = lambda: draw.choice((10_000, 10_000, 9_000, 8_000))  # noqa: E731
    cuts = draw.choice((1, 1, 2))
    return make_crop(
        name,
        tray=(draw.randint(2, 3), draw.randint(0, 1), share()),
        board=draw.choice((None, (2, draw.randint(0, 1), share()))),
        raft=(draw.randint(3, 4), draw.randint(0, 2) if cuts == 1 else draw.randint(0, 1), share()),
        cuts=cuts,
        interval=3 if cuts == 2 else 0,
        saleable=share(),
        lanes=draw.choice((None, None, ["Trough 1"])) if not shared else None,
        sowing=draw.choice((((0, 30),), ((0, 30),), ((0, 2), (5, 9)))),
        minutes={"sow": 20_00, "raft": 6_00, "cut": 1_00},
    )


def any_work_days(draw):
    days = [set(range(7))] * 4 + [{0, 3}, {1, 4}, {0, 2, 4}]
    return {work: draw.choice(days) for work in Work}


def any_demands(draw, products, days, most, number):
    """So many deliveries of any of some products, on any of some days, of up to ``most`` units."""
    return [
        delivery(
            draw.choice(products),
            draw.randint(*days),
            draw.randint(1, most),
            name=f"D{n}",
            price=draw.randint(0, 3),
            priority=draw.choice((4, 5)),
            max_age=draw.randint(0, 2),
        )
        for n in range(number)
    ]


def any_farm(seed):
    """A farm of a few slots, a few trays and a few deliveries, more than it can always fill."""
    draw = random.Random(seed)
    names = ["Lettuce", "Kale"][: draw.randint(1, 2)]
    rules = {name: draw.random() < 0.4 for name in RULES}
    crops = [any_crop(draw, name, rules["share_rafts"]) for name in names]
    lanes, slots = draw.randint(1, 2), draw.randint(1, 3)
    rows = []
    if draw.random() < 0.5:
        rows = [
            growing(
                draw.choice(names),
                StageKind.RAFT,
                -draw.randint(0, 3),
                draw.randint(1, 6),
                1,
                lot=f"G{n}",
                order=n,
            )
            for n in range(1, slots + 1)
        ]
    elif draw.random() < 0.5:
        rows = [growing(names[0], StageKind.TRAY, -draw.randint(0, 2), draw.randint(1, 20), 1)]
    products = {"Mix": {name: draw.choice((1000, 1500)) for name in names}} if draw.random() < 0.3 else {}
    days = (3 if rows else 8, DAYS - 2)
    demands = any_demands(draw, [*names, *products], days, 14, draw.randint(1, 4))
    return make_farm(
        days=DAYS,
        crops=crops,
        products=products,
        demands=demands,
        growing=rows,
        work_days=any_work_days(draw),
        closed={work: draw.sample(range(DAYS), draw.choice((0, 0, 2))) for work in Work},
        tier_slots=draw.randint(1, 3),
        zone_slots=draw.randint(1, 3),
        lanes=lanes,
        lane_slots=slots,
        trays=draw.randint(1, 4),
        boards=draw.randint(1, 4),
        rafts=draw.randint(slots if rows else 1, 4),
        wash_days=0 if rows else draw.choice((0, 0, 1)),
        crew=draw.choice((None, None, 40_00)),
        rules=rules | {"lift_minutes": 0},
        tiers=draw.choice((1, 1, 2)),
        keeps=[Keeps.NURSERY],
    )


@pytest.mark.parametrize("seed", SAMPLE)
def test_the_proven_shortage_is_what_another_model_and_solver_find(seed):
    agrees(any_farm(seed))


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG))
def test_the_proven_shortage_is_what_another_model_and_solver_find_long(seeds):
    each_of(seeds, lambda seed: agrees(any_farm(seed)))


def two_ways(places, share, orders):
    """One lot, sown on one day and set on rafts on one; its plants go two ways, as many by each."""
    crop = make_crop("Lettuce", tray=(3, 1, 10_000), board=None, raft=(4, 1, 10_000), saleable=share)
    farm = make_farm(
        days=12,
        crops=[crop],
        demands=[delivery("Lettuce", day, amount, max_age=0) for day, amount in orders.items()],
        work_days={Work.SOW: [0], Work.RAFT: [3]},
        pace={"Trough 2": 1_001},
        **places,
    )
    lanes = {lane.name: replace(lane, belongs_to=lane.name) for lane in farm.places_of(PlaceKind.LANE)}
    return replace(farm, places=tuple(lanes.get(place.name, place) for place in farm.places))


SHELVES = {"tiers": 2, "keeps": [Keeps.NURSERY], "tier_slots": 1, "lane_slots": 7}
TROUGHS = {"lanes": 2, "lane_slots": 1}


@pytest.mark.parametrize(
    ("places", "share", "orders"),
    [
        # twice 20 plants: 17.5 heads, together 35
        (SHELVES, 8_750, {7: 35}),
        # twice 6 plants: 5.5 heads, together 11
        (TROUGHS, 9_200, {7: 11}),
    ],
)
def test_heads_of_a_lot_that_goes_two_ways_are_rounded_together(places, share, orders):
    agrees(two_ways(places, share, orders))


def agrees(farm):
    plan = outcome(farm, seconds=20).plan
    assert plan is not None
    goal = next(goal for goal in plan.goals if goal.level == 1)
    assert goal.status == "proven"
    assert weighted_shortage(plan) == least_shortage(farm)
