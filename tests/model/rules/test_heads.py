"""Heads that can be sold are what losses leave of the plants cut, on the day they are cut."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm
from solving import allows, cut, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.farm.places import Keeps
from scheduler.model.rules.cuts import heads


def farm(**crop):
    return make_farm(
        days=20,
        crops=[quick_crop(**crop)],
        demands=[delivery("Lettuce", 6, 50, max_age=2)],
        growing=[growing("Lettuce", StageKind.RAFT, 0, 20, 4)],
    )


def taken(chosen, day):
    return next(v for (lot, _, d), v in chosen.heads.items() if lot.growing >= 0 and d == day)


def fixed(cuts, sold):
    def amounts(chosen):
        given = [(cut(chosen, 0, day, source=None), cuts.get(day, 0)) for day in (4, 5, 6)]
        return [*given, *((taken(chosen, day), number) for day, number in sold.items())]

    return amounts


@pytest.mark.parametrize(("sold", "allowed"), [(5, True), (6, False)])
def test_heads_are_the_saleable_share_of_the_plants_rounded_down(sold, allowed):
    # 7 plants, 80 percent good: 5.6.
    assert allowed is allows(farm(saleable=8000), heads, fixed({4: 7}, {4: sold}))


@pytest.mark.parametrize(("sold", "allowed"), [(4, True), (5, False)])
def test_plants_lost_on_the_raft_and_heads_that_cannot_be_sold_are_both_taken_off(sold, allowed):
    # 7 plants: 80 percent of 90 percent is 72 percent, 5.04; at 70 percent of 90 it is 63 percent, 4.41.
    assert allows(farm(saleable=8000, raft=(4, 2, 9000)), heads, fixed({4: 7}, {4: 5}))
    assert allowed is allows(farm(saleable=7000, raft=(4, 2, 9000)), heads, fixed({4: 7}, {4: sold}))


@pytest.mark.parametrize(
    ("sold", "allowed"),
    [({4: 4, 5: 4}, True), ({4: 4, 5: 5}, False), ({4: 5, 5: 3}, False), ({4: 3, 5: 5}, True)],
)
def test_what_rounding_left_over_on_one_day_counts_on_the_next(sold, allowed):
    # 5 and 5 plants at 85 percent: 4.25 up to the first day, 8.5 up to the second.
    assert allowed is allows(farm(saleable=8500), heads, fixed({4: 5, 5: 5}, sold))


@pytest.mark.parametrize(
    ("sold", "allowed"), [({4: 10}, True), ({6: 10}, False), ({5: 2, 6: 2}, False), ({5: 2}, True)]
)
def test_heads_count_on_the_day_their_plants_are_cut_and_not_later(sold, allowed):
    assert allowed is allows(farm(), heads, fixed({4: 10, 5: 2}, sold))


def begun(part, cuts_done=0, **crop):
    """Seven plants are left of a lot that was cut before, at 80 percent 5.6 heads, and a part of one over."""
    left = growing("Lettuce", StageKind.RAFT, 0, 7, 2, part_heads=part, cuts_done=cuts_done)
    return replace(farm(saleable=8000, **crop), growing=(left,))


@pytest.mark.parametrize(
    ("part", "sold", "allowed"),
    [
        (0, {4: 6}, False),
        (3999, {4: 6}, False),
        (4000, {4: 6}, True),
        (9999, {4: 7}, False),
        (4000, {4: 3, 5: 3}, True),
        (3999, {4: 3, 5: 3}, False),
        (4000, {4: 4, 5: 2}, False),
        # 4 plants give 3.2 of their own, so at most 4 on that day, whatever was left over
        (9999, {4: 4}, True),
        (9999, {4: 5}, False),
    ],
)
def test_what_rounding_left_over_before_the_first_day_counts_with_the_plants_that_stand(part, sold, allowed):
    cuts = {4: 7} if len(sold) == 1 and max(sold.values()) > 5 else {4: 4, 5: 3}
    assert allowed is allows(begun(part), heads, fixed(cuts, sold))


@pytest.mark.parametrize(("again", "allowed"), [(5, True), (6, False)])
def test_what_rounding_left_over_counts_with_the_next_cut_alone(again, allowed):
    def amounts(chosen):
        option = next(option for option in chosen.raft_plants if option.source is None)
        second = next(step.day for step in option.cuttings if (step.number, step.after) == (2, 4))
        return [
            (cut(chosen, 0, 4, source=None), 7),
            (cut(chosen, 0, second, 2, after=4, source=None), 7),
            (chosen.heads[chosen.raft_lots[option], 1, 4], 6),
            (chosen.heads[chosen.raft_lots[option], 2, second], again),
        ]

    assert allowed is allows(begun(4000, cuts=2, interval=3), heads, amounts)


def two_shelves():
    """A farm whose lots may be raised on two shelves; of what they have on rafts a head in twenty is lost."""
    return make_farm(
        days=20,
        crops=[quick_crop(saleable=9_500)],
        demands=[delivery("Lettuce", 8, 50, max_age=2)],
        tiers=2,
        keeps=[Keeps.NURSERY],
    )


def cut_of(chosen, entered, plants):
    """Fix what is sown on day 0 and set on rafts on a day: plants cut by shelf and day; return its lot."""
    fixed_now, lots = [], set()
    for option in chosen.raft_plants:
        if (option.source.sown, option.day) == (0, entered):
            lots.add(chosen.raft_lots[option])
            of_shelf = plants.get(option.source.pool, {})
            fixed_now += [(chosen.cut_plants[option, s], of_shelf.get(s.day, 0)) for s in option.cuttings]
    (lot,) = lots
    return lot, fixed_now


@pytest.mark.parametrize(
    ("sold", "allowed"),
    [
        ({7: 19, 8: 19}, True),
        ({7: 20}, False),
        # 18 of the first day leave 20 of both, but the 20 plants of the second give 19 at most
        ({7: 18, 8: 19}, True),
        ({7: 18, 8: 20}, False),
    ],
)
def test_plants_of_a_lot_that_come_onto_rafts_together_are_rounded_together_wherever_raised(sold, allowed):
    def amounts(chosen):
        lot, plants = cut_of(chosen, 3, {"Shelf 1": {7: 10, 8: 10}, "Shelf 2": {7: 10, 8: 10}})
        return [*plants, *((chosen.heads[lot, 1, day], number) for day, number in sold.items())]

    assert allowed is allows(two_shelves(), heads, amounts)


@pytest.mark.parametrize(("sold", "allowed"), [(9, True), (10, False)])
def test_plants_of_a_lot_that_come_onto_rafts_on_two_days_are_rounded_apart(sold, allowed):
    def amounts(chosen):
        first, plants = cut_of(chosen, 3, {"Shelf 1": {8: 10}})
        second, more = cut_of(chosen, 4, {"Shelf 1": {8: 10}})
        return [*plants, *more, (chosen.heads[first, 1, 8], 9), (chosen.heads[second, 1, 8], sold)]

    assert allowed is allows(two_shelves(), heads, amounts)
