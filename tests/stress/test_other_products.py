"""Mixes and substitutes under chance: every part of a bag is needed, and what stands in comes last."""

import numpy as np
from farms import delivery, make_farm, make_mix
from scipy.stats import binom
from stressed import crop_that_comes_up, fits, hits, lot, replayed, sound

from scheduler.farm.farm import Substitute

CROPS = (crop_that_comes_up(6000), crop_that_comes_up(7000, "Kale", code="KAL"))


def raft(share):
    """Return the chances of 0 to 6 plants on a raft of six holes, of twelve cells sown."""
    return np.append(binom.pmf(np.arange(6), 12, share), binom.sf(5, 12, share))


def both(farm, heads, kale=6):
    """Return a plan with a raft of each crop, and fills (lettuce, kale) of the first delivery."""
    (demand, *_) = farm.demands
    fills = [(demand.name, "LET-260302", 34, heads)] + [(demand.name, "KAL-260302", 34, kale)] * bool(kale)
    return sound(farm, lot(34, 6), lot(34, 6, crop="Kale"), fills=fills)


def test_a_bag_of_fixed_shares_needs_every_part():
    mix = make_mix("Salad", 150, ("Lettuce", 60, 60, 60, 90), ("Kale", 40, 40, 40, 30))
    farm = make_farm(crops=CROPS, mixes=[mix], demands=[delivery("Salad", 34, 3)])
    found = hits(farm, replayed(farm, both(farm, 3)))
    # three bags are three heads of lettuce and six of kale
    assert fits(found["Salad 34"], raft(0.6)[3:].sum() * raft(0.7)[6])


def test_parts_of_a_mix_go_to_their_greatest_share_where_another_is_short():
    mix = make_mix("Salad", 100, ("Lettuce", 25, 50, 75, 25), ("Kale", 25, 50, 75, 25))
    farm = make_farm(crops=CROPS, mixes=[mix], demands=[delivery("Salad", 34, 2)])
    found = hits(farm, replayed(farm, both(farm, 4, 4)))
    lettuce, kale = raft(0.6), raft(0.7)
    # a bag is four heads in all, one to three of each
    chance = sum(
        lettuce[a] * kale[b]
        for a in range(7)
        for b in range(7)
        if min(a, 6) + min(b, 6) >= 8 and a >= 2 and b >= 2
    )
    assert fits(found["Salad 34"], chance)


def test_a_substitute_stands_in_for_what_is_missing():
    instead = (Substitute(product="Kale", rank=1, price=100),)
    farm = make_farm(crops=CROPS, demands=[delivery("Lettuce", 34, 6, substitutes=instead)])
    found = hits(farm, replayed(farm, both(farm, 6, 0)))
    lettuce, kale = raft(0.6), raft(0.7)
    chance = sum(lettuce[a] * kale[b] for a in range(7) for b in range(7) if a + b >= 6)
    assert fits(found["Lettuce 34"], chance)
