"""Rows that rest between crops: the day of the rest and one day sooner; any farm against a second planner."""

import random
from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm
from model.test_optimum import agrees, any_farm
from seeds import sample
from solving import allows, got, queue, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.places import Steps
from scheduler.model.rules.rest import rest

CROPS = [quick_crop(raft=(4, 0, 10_000)), quick_crop("Kale", raft=(4, 4, 10_000))]


def farm(**needs):
    orders = [delivery("Lettuce", day, 6, max_age=0) for day in (8, 9)]
    given = {"days": 30, "crops": CROPS, "demands": [*orders, delivery("Kale", 14, 6, max_age=0)], "rest": 2}
    return make_farm(**(given | needs))


def rafts(chosen, crop, enters, leaves):
    return queue(chosen, enters, leaves, crop=crop)


@pytest.mark.parametrize(("enters", "allowed"), [(9, False), (10, True)])
def test_another_crop_comes_in_when_the_row_has_rested(enters, allowed):
    amounts = lambda c: [(rafts(c, "Lettuce", 4, 8), 1), (rafts(c, "Kale", enters, 14), 1)]  # noqa: E731
    assert allowed is allows(farm(), rest, amounts)
    assert allows(farm(rest=0), rest, amounts)


@pytest.mark.parametrize(("first", "allowed"), [(8, False), (9, True), (10, False)])
def test_a_rest_that_is_cut_is_shorter_before_what_comes_in_on_that_day_alone(first, allowed):
    made = farm()
    cut = Steps(((first, 1), (first + 1, 0)))
    made = replace(made, places=tuple(replace(p, rest_cut=cut) if p.rest else p for p in made.places))
    amounts = lambda c: [(rafts(c, "Lettuce", 4, 8), 1), (rafts(c, "Kale", 9, 14), 1)]  # noqa: E731
    assert allows(made, rest, amounts) is allowed


def test_rafts_of_one_crop_follow_each_other_without_a_rest():
    assert allows(farm(), rest, lambda c: [(rafts(c, "Lettuce", 4, 8), 1), (rafts(c, "Lettuce", 5, 9), 1)])


def test_two_crops_do_not_come_in_on_one_day():
    orders = [delivery("Lettuce", 8, 6, max_age=0), delivery("Kale", 8, 6, max_age=0)]
    both = lambda c: [(rafts(c, "Lettuce", 4, 8), 1), (rafts(c, "Kale", 4, 8), 1)]  # noqa: E731
    assert not allows(farm(demands=orders), rest, both)
    assert got(solved(farm(demands=orders, lanes=2))) == {"Lettuce 8": 6, "Kale 8": 6}
    assert sorted(got(solved(farm(demands=orders))).values()) == [0, 6]


def test_what_grows_together_on_the_first_day_stands_together_and_then_the_row_rests():
    rows = [
        growing("Lettuce", StageKind.RAFT, -1, 6, 1, lot="G1", order=1),
        growing("Kale", StageKind.RAFT, -1, 6, 1, lot="G2", order=2),
    ]
    for day, filled in ((9, 0), (10, 6)):
        orders = [delivery("Lettuce", 3, 6), delivery("Kale", 3, 6, max_age=0)]
        orders.append(delivery("Lettuce", day, 6, name="later", max_age=0))
        plan = solved(make_farm(days=20, crops=[quick_crop(raft=(4, 0, 10_000)), CROPS[1]], rest=3,
                                growing=rows, demands=orders))  # fmt: skip
        assert got(plan) == {"Lettuce 3": 6, "Kale 3": 6, "later": filled}


@pytest.mark.parametrize("seed", sample((903, 906, 907, 909), (904, 905, 908, *range(910, 918))))
def test_the_proven_shortage_is_what_another_model_and_solver_find(seed):
    made = any_farm(seed)
    days = random.Random(seed).randint(1, 3)
    places = tuple(replace(place, rest=days if place.kind == "lane" else 0) for place in made.places)
    agrees(replace(made, places=places, rules=replace(made.rules, share_rafts=False)))
