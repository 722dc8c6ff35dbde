"""On the tiniest farms every plan can be tried: the planner delivers as much as the best of them."""

import random
from itertools import product

import pytest
from farms import delivery, make_crop, make_farm
from seeds import sample
from solving import got, solved

CROP = make_crop("Lettuce", tray=(2, 0, 10_000), board=None, raft=(3, 0, 10_000))
SOWN = range(4)  # sown on day s, on rafts from s + 2, cut and gone on s + 5


CHOICES = [(0, 0), *((rafts, trays) for rafts in range(1, 6) for trays in (1, 2))]


def most_delivered(amounts, slots, trays, age):
    """Try every number of six-hole rafts and twenty-cell trays a sowing day; heads go out oldest first."""
    best = 0
    for chosen in product(CHOICES, repeat=len(SOWN)):
        by_day = list(zip(SOWN, chosen, strict=True))
        afloat = [sum(rafts for s, (rafts, _) in by_day if s + 2 <= day < s + 5) for day in range(10)]
        nursery = [sum(used for s, (_, used) in by_day if s <= day < s + 2) for day in range(10)]
        if max(afloat) > slots or max(nursery) > trays:
            continue
        kept = delivered = 0
        for (rafts, used), wanted in zip(chosen, amounts, strict=True):
            cut = min(6 * rafts, 20 * used)
            from_kept = min(kept, wanted)
            from_cut = min(cut, wanted - from_kept)
            delivered += from_kept + from_cut
            kept = (cut - from_cut) if age else 0
        best = max(best, delivered)
    return best


@pytest.mark.parametrize("seed", sample(range(6), range(6, 12)))
def test_the_planner_delivers_as_much_as_the_best_of_all_plans(seed):
    draw = random.Random(seed)
    amounts = [draw.randint(1, 14) for _ in SOWN]
    slots, trays, age = draw.randint(1, 5), draw.randint(1, 2), draw.randint(0, 1)
    orders = [delivery("Lettuce", s + 5, n, max_age=age) for s, n in zip(SOWN, amounts, strict=True)]
    made = make_farm(days=12, crops=[CROP], lane_slots=slots, trays=trays, demands=orders)
    plan = solved(made)
    assert sum(got(plan).values()) == most_delivered(amounts, slots, trays, age)
