"""Bags that some heads make: the most for which every part has its share and the weight is reached."""

import random

import pytest
from farms import make_mix

from scheduler.farm.orders.mixes import heads_for, needs_of, units_made

FIXED = make_mix("Salad", 150, ("Lettuce", 60, 60, 60, 90), ("Kale", 40, 40, 40, 30))
LOOSE = make_mix(
    "Salad", 100, ("Lettuce", 30, 50, 70, 50), ("Kale", 0, 30, 50, 20), ("Chard", 10, 20, 30, 10)
)


@pytest.mark.parametrize(
    ("lettuce", "kale", "bags"), [(1, 2, 1), (1, 1, 0), (0, 99, 0), (99, 0, 0), (10, 20, 10), (9, 20, 9)]
)
def test_a_bag_of_fixed_shares_needs_enough_heads_of_every_part(lettuce, kale, bags):
    """A bag holds 90 g of Lettuce, one head, and 60 g of Kale, two heads."""
    assert units_made(FIXED, {"Lettuce": lettuce, "Kale": kale}) == bags


@pytest.mark.parametrize(
    ("lettuce", "kale", "chard", "bags"),
    [
        (7, 0, 15, 5),  # 350 g is 70 percent of 5 bags, 150 g 30 percent
        (7, 0, 14, 4),  # one Chard fewer, and five bags lack 10 g
        (6, 0, 15, 4),  # 300 g + 120 g within the shares of four
        (7, 10, 4, 4),  # 40 g of Chard are its 10 percent in four bags
        (7, 10, 3, 3),
        (100, 100, 1, 1),
        (100, 100, 0, 0),
    ],
)
def test_shares_move_within_their_bounds(lettuce, kale, chard, bags):
    assert units_made(LOOSE, {"Lettuce": lettuce, "Kale": kale, "Chard": chard}) == bags


def can_fill(mix, heads, bags):
    """Put as little as may be of each part into the bags, then fill them up part by part."""
    whole = bags * mix.weight
    rest = whole
    room = 0
    for part in mix.parts:
        there = heads.get(part.crop, 0) * part.grams * 10_000
        if there < part.least * whole:
            return False
        rest -= part.least * whole / 10_000
        room += (min(there, part.most * whole) - part.least * whole) / 10_000
    return room >= rest - 1e-6


def any_mix(draw):
    names = ["A", "B", "C", "D"][: draw.randint(1, 4)]
    cuts = sorted(draw.sample(range(1, 20), len(names) - 1))
    usual = [5 * (b - a) for a, b in zip([0, *cuts], [*cuts, 20], strict=True)]
    return make_mix(
        "Mix",
        draw.choice((50, 100, 150)),
        *(
            (
                name,
                draw.choice((share, max(0, share - 10), 0)),
                share,
                draw.choice((share, min(100, share + 15), 100)),
                draw.randint(3, 120),
            )
            for name, share in zip(names, usual, strict=True)
        ),
    )


@pytest.mark.parametrize("seed", range(60))
def test_it_is_the_most_bags_that_can_be_filled_by_hand(seed):
    draw = random.Random(seed)
    mix = any_mix(draw)
    heads = {part.crop: draw.randint(0, 25) for part in mix.parts}
    bags = units_made(mix, heads)
    assert [number for number in range(60) if can_fill(mix, heads, number)] == list(range(bags + 1))[:60]
    assert all(
        need.unit * bags <= sum(each * heads[crop] for crop, each in need.heads.items())
        for need in needs_of(mix)
    )


@pytest.mark.parametrize("bags", [1, 2, 7])
def test_the_usual_heads_of_some_bags_make_them(bags):
    assert units_made(FIXED, heads_for(FIXED, bags)) == bags
    assert units_made(LOOSE, heads_for(LOOSE, bags)) >= bags
