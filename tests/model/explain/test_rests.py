"""A shorter rest of a row is named where it is what fills a delivery, and only then."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm
from model.explain.planted import DAYS, WIDE, lettuce, resting
from model.explain.test_planted import explained
from model.explain.test_reliefs import SETTINGS, checked
from solving import quick_crop, solved

from scheduler.model.explain import explain
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.relief import Limit


def rested(farm, days):
    """The farm with another rest of its rows, by code of its own."""
    return replace(farm, places=tuple(replace(p, rest=days) if p.rest else p for p in farm.places))


def rests_of(found):
    """Return (row, days less, first and last day) of every rest that is named."""
    grants = [grant for relief in found.reliefs for grant in relief.grants if grant.limit is Limit.REST]
    return [(grant.what, grant.amount, grant.first, grant.last) for grant in grants]


def resting_farm(**needs):
    return make_farm(**{**WIDE, **resting(), **needs})


def test_the_plan_of_a_shorter_rest_breaks_only_the_rule_of_the_rest_that_it_cuts():
    farm = resting_farm()
    plan = solved(farm)
    (found,) = explain(farm, plan, SETTINGS).explained
    assert Limit.REST in checked(farm, plan, found)
    (relief,) = (each for each in found.reliefs if each.limit is Limit.REST)
    assert fault_lines(audit(rested(farm, 2), relief.plan)) == []
    assert {line.split(" | ")[0] for line in fault_lines(audit(farm, relief.plan))} == {"rest"}


@pytest.mark.parametrize(("rest", "less"), [(2, None), (4, 2), (5, 3)])
def test_no_more_days_are_taken_off_than_it_takes(rest, less):
    farm = resting_farm(rest=rest)
    if less is None:
        assert explained(farm) == ()
    else:
        assert rests_of(explained(farm)[0]) == [("Trough 1", less, 8, 9)]


def test_the_last_day_of_a_rest_is_never_taken_off():
    """Kale would have to come in on the very day the lettuce leaves."""
    demands = [delivery("Lettuce", 8, 6, max_age=0, price=500), delivery("Kale", 12, 6, max_age=0)]
    (found,) = explained(resting_farm(demands=demands))
    assert found.row.demand == "Kale 12"
    assert rests_of(found) == []


def test_a_rest_that_is_not_in_the_way_is_not_named():
    (found,) = explained(make_farm(**{**WIDE, **lettuce(), "lane_slots": 2, "rest": 3}))
    assert found.cause.limits == (Limit.ROW,)
    assert rests_of(found) == []


def test_where_no_row_rests_no_rest_is_named():
    crops = [quick_crop(**DAYS), quick_crop("Kale", **{**DAYS, "raft": (9, 0, 10_000)})]
    demands = [delivery("Kale", 14, 6, max_age=0, price=500), delivery("Lettuce", 14, 6, max_age=0)]
    (found,) = explained(make_farm(**{**WIDE, "lane_slots": 1}, crops=crops, demands=demands))
    assert rests_of(found) == []


def of_days(*days):
    """Lettuce and kale by turns, each raft on the water for the four days before."""
    names = ("Lettuce", "Kale") * len(days)
    return [
        delivery(name, day, 6, max_age=0, price=100 if name == "Kale" else 500)
        for name, day in zip(names, days, strict=False)
    ]


def test_of_many_rests_in_a_season_only_the_one_that_is_too_long_is_named():
    """The row would be empty for 3, 2 and 3 days between the crops."""
    (found,) = explained(resting_farm(demands=of_days(8, 15, 21, 28), days=32))
    assert found.row.demand == "Kale 15"
    assert rests_of(found) == [("Trough 1", 1, 15, 16)]


def test_where_the_rest_before_and_the_rest_after_are_both_too_long_both_are_named():
    (found,) = explained(resting_farm(demands=of_days(8, 14, 20), days=30))
    assert found.row.demand == "Kale 14"
    assert rests_of(found) == [("Trough 1", 1, 8, 9), ("Trough 1", 1, 14, 15)]
