"""The rules of a crew: firm first, margin, what is ripe elsewhere, flexible deliveries; late rafts."""

import pytest
from farms import delivery, make_farm, target
from scipy.stats import binom
from stressed import RUNS, crop_that_comes_up, fits, hits, lot, replayed, sound

from scheduler.stress.chances import Chances

HALF = 5000
"""Share that comes up, so that a lot of twelve cells fills its six holes in six runs of ten."""

FILLED = binom.sf(5, 12, 0.5)


def chance_of_sum(need, lots=2):
    """Return the chance that lots of twelve cells and six holes give so many heads together."""
    one = [*(binom.pmf(k, 12, 0.5) for k in range(6)), FILLED]
    spread = [1.0]
    for _ in range(lots):
        made = [0.0] * (len(spread) + 6)
        for at, chance in enumerate(spread):
            for k, more in enumerate(one):
                made[at + k] += chance * more
        spread = made
    return sum(spread[need:])


def half_farm(*demands, **needs):
    """A farm whose lettuce comes up by half."""
    return make_farm(crops=[crop_that_comes_up(HALF)], demands=demands, **needs)


def early_lot(cut):
    """Return a lot that is ripe on day 34 and waits for a day after."""
    return lot(cut, 6, sown=0, board_day=10, raft_day=20)


def test_a_firm_delivery_takes_what_a_flexible_one_was_promised():
    firm = delivery("Lettuce", 36, 6, name="firm")
    flexible = delivery("Lettuce", 36, 6, name="flexible", firm=False, priority=1)
    farm = half_farm(firm, flexible)
    fills = [("firm", "LET-260302", 36, 6), ("flexible", "LET-260304", 36, 6)]
    plan = sound(farm, early_lot(36), lot(36, 6), fills=fills)
    found = hits(farm, replayed(farm, plan))
    assert fits(found["firm"], chance_of_sum(6))
    assert fits(found["flexible"], chance_of_sum(12))


def test_a_flexible_delivery_takes_nothing_that_a_firm_one_was_promised():
    firm = delivery("Lettuce", 38, 6, name="firm", max_age=2)
    flexible = delivery("Lettuce", 36, 6, name="flexible", firm=False)
    farm = half_farm(firm, flexible)
    fills = [("flexible", "LET-260302", 36, 6), ("firm", "LET-260304", 36, 6)]
    plan = sound(farm, early_lot(36), lot(36, 6), fills=fills)
    found = hits(farm, replayed(farm, plan))
    # the second lot is ripe for the flexible delivery, but every head of it is promised to the firm one
    assert fits(found["flexible"], FILLED)
    assert fits(found["firm"], FILLED)


@pytest.mark.parametrize("other_firm", [True, False])
def test_heads_promised_to_another_firm_delivery_are_left_alone(other_firm):
    first = delivery("Lettuce", 34, 6, name="first")
    second = delivery("Lettuce", 36, 6, name="second", firm=other_firm)
    farm = half_farm(first, second)
    plan = sound(
        farm,
        lot(34, 6),
        lot(36, 6, sown=0, board_day=10, raft_day=20),
        fills=[("first", "LET-260302", 34, 6), ("second", "LET-260302", 36, 6)],
    )
    found = hits(farm, replayed(farm, plan))
    # both stand on rafts of one lot that are ripe on the day of the first delivery
    assert fits(found["first"], binom.sf(5, 24, 0.5))
    assert fits(found["second"], binom.sf(11, 24, 0.5))


@pytest.mark.parametrize("raft_day", [22, 23])
def test_the_next_raft_helps_out_with_its_margin_once_it_is_ripe(raft_day):
    first, second = delivery("Lettuce", 36, 6, name="first"), delivery("Lettuce", 38, 2, name="second")
    farm = half_farm(first, second)
    fills = [("first", "LET-260302", 36, 6), ("second", "LET-260304", 38, 2)]
    plan = sound(farm, early_lot(36), lot(38, 6, sown=2, board_day=12, raft_day=raft_day), fills=fills)
    found = hits(farm, replayed(farm, plan))["first"]
    one = [*(binom.pmf(k, 12, 0.5) for k in range(6)), FILLED]
    # two heads of the second raft are kept for the other firm delivery
    helped = sum(one[a] * one[b] for a in range(7) for b in range(7) if a + max(0, b - 2) >= 6)
    assert fits(found, helped if raft_day == 22 else FILLED)


def test_heads_too_old_are_not_delivered():
    early, late = delivery("Lettuce", 34, 6, name="early"), delivery("Lettuce", 37, 6, name="late")
    farm = half_farm(early, late)
    plan = sound(
        farm,
        lot(34, 6),
        lot(37, 6, sown=3),
        fills=[("early", "LET-260302", 34, 6), ("late", "LET-260305", 37, 6)],
    )
    found = hits(farm, replayed(farm, plan))
    assert fits(found["early"], FILLED)
    assert fits(found["late"], FILLED)


def test_all_or_nothing_leaves_no_part_of_a_delivery():
    farm = half_farm(delivery("Lettuce", 34, 6), rules={"all_or_nothing": True})
    plan = sound(farm, lot(34, 6), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    tally = replayed(farm, plan)
    assert tally.short[0] == 6 * (RUNS - tally.filled[0])


SLOW = Chances(losses=False, slow=100, early=0)
"""Every week a little slower, so that nothing is ripe on its day and everything a few days after."""


def week_of_lettuce():
    """Return a target that does not mind on which day of two weeks it is cut."""
    return target("Lettuce", 28, 6, name="week", last=41)


def test_growth_is_never_faster_than_the_book_has_it():
    farm = make_farm(crops=[crop_that_comes_up(10_000)], demands=[delivery("Lettuce", 34, 6, max_age=0)])
    plan = sound(farm, lot(34, 6, rows=2), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    assert hits(farm, replayed(farm, plan, SLOW)) == {"Lettuce 34": 0}


@pytest.mark.parametrize(("slots", "kept"), [(6, RUNS), (1, 0)])
def test_a_late_raft_stays_until_it_is_ripe_where_its_row_has_room(slots, kept):
    farm = make_farm(crops=[crop_that_comes_up(10_000)], demands=[week_of_lettuce()], lane_slots=slots)
    next_raft = lot(48, 6, rows=2, sown=14, board_day=24, raft_day=34)
    plan = sound(farm, lot(34, 6, rows=2), next_raft, fills=[("week", "LET-260302", 34, 6)])
    assert hits(farm, replayed(farm, plan, SLOW)) == {"week": kept}


@pytest.mark.parametrize(("owned", "kept"), [(3, RUNS), (1, 0)])
def test_a_late_raft_stays_only_while_no_other_filling_needs_it(owned, kept):
    farm = make_farm(crops=[crop_that_comes_up(10_000)], demands=[week_of_lettuce()], lanes=2, rafts=owned)
    next_raft = lot(48, 6, rows=2, sown=14, board_day=24, raft_day=34, lane="Trough 2")
    plan = sound(farm, lot(34, 6, rows=2), next_raft, fills=[("week", "LET-260302", 34, 6)])
    assert hits(farm, replayed(farm, plan, SLOW)) == {"week": kept}


@pytest.mark.parametrize(("slots", "lift_out", "kept"), [(3, False, RUNS), (2, False, 0), (2, True, RUNS)])
def test_a_late_raft_keeps_those_behind_it_in_the_row(slots, lift_out, kept):
    quick = crop_that_comes_up(10_000, "Rocket", board=None, raft=(5, 6, 10_000))
    rules = {"lift_out": lift_out}
    farm = make_farm(
        crops=[crop_that_comes_up(10_000), quick], demands=[week_of_lettuce()], rules=rules, lane_slots=slots
    )
    behind = lot(33, 6, crop="Rocket", sown=12, rows=2, board_day=None, raft_day=22)
    next_raft = lot(48, 6, rows=2, sown=14, board_day=24, raft_day=34)
    plan = sound(farm, lot(34, 6, rows=2), behind, next_raft, fills=[("week", "LET-260302", 34, 6)])
    # the late raft and the empty one behind it both keep their slots when the next comes in
    assert hits(farm, replayed(farm, plan, SLOW)) == {"week": kept}
