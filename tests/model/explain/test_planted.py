"""A bottleneck planted on a tiny farm is found, and nothing else; its relief is what arithmetic says."""

import pytest
from farms import make_farm
from model.explain.planted import (
    GREENS,
    NEEDED,
    NEEDED_OF_GREENS,
    PLANTED,
    WIDE,
    lettuce,
    planted,
    with_plenty,
)
from solving import got, solved

from scheduler.model.explain import explain, season
from scheduler.model.settings import SolveSettings
from scheduler.plan.relief import CAPACITY, Limit

ALONE = (*CAPACITY, Limit.REST, Limit.SOWING)


def explained(farm, most=5):
    plan = solved(farm)
    return explain(farm, plan, SolveSettings(seconds=60, deterministic=True), most).explained


@pytest.mark.parametrize("small", [True, False], ids=["whole season", "near by"])
@pytest.mark.parametrize("limit", list(PLANTED))
def test_a_planted_bottleneck_is_found_and_its_relief_is_the_least(limit, small, monkeypatch):
    if not small:
        monkeypatch.setattr(season, "SMALL_QUESTION", -1)
    (found,) = explained(planted(limit))
    alone = {relief.limit: relief for relief in found.reliefs if relief.limit in ALONE}
    # Slots of a row hold what its order keeps waiting, so more of them help there too.
    assert set(alone) == ({limit, Limit.ROW} if limit is Limit.ORDER else {limit})
    assert found.cause.limits[0] is limit
    assert not found.cause.together
    (grant,) = alone[limit].grants
    assert (grant.what, grant.amount, grant.first, grant.last) == NEEDED[limit]
    assert found.ended


@pytest.mark.parametrize("limit", list(PLANTED))
def test_the_planner_itself_fills_the_delivery_with_plenty_of_that_and_of_nothing_else(limit):
    farm = planted(limit)
    wanted = {demand.name: demand.amount for demand in farm.demands}
    helps = {each for each in ALONE if got(solved(with_plenty(farm, each))) == wanted}
    assert helps == ({limit, Limit.ROW} if limit is Limit.ORDER else {limit})


@pytest.mark.parametrize("small", [True, False], ids=["whole season", "near by"])
@pytest.mark.parametrize("limit", list(GREENS))
def test_the_bottleneck_of_what_is_cut_in_its_trays_is_found(limit, small, monkeypatch):
    if not small:
        monkeypatch.setattr(season, "SMALL_QUESTION", -1)
    (found,) = explained(planted(limit, GREENS))
    alone = {relief.limit: relief for relief in found.reliefs if relief.limit in ALONE}
    assert set(alone) == {limit}
    assert found.cause.limits == (limit,)
    (grant,) = alone[limit].grants
    assert (grant.what, grant.amount, grant.first, grant.last) == NEEDED_OF_GREENS[limit]


def test_where_two_things_are_lacking_both_are_named_together_and_neither_alone():
    (found,) = explained(make_farm(**{**WIDE, "tier_slots": 1, "trays": 1, **lettuce(30)}))
    assert found.cause.together
    assert found.cause.limits == (Limit.SHELF, Limit.TRAYS)
    (relief,) = [relief for relief in found.reliefs if relief.limit is Limit.SEVERAL]
    assert [(grant.limit, grant.amount) for grant in relief.grants] == [(Limit.SHELF, 1), (Limit.TRAYS, 1)]


def test_the_days_on_which_it_was_used_up_are_told():
    (found,) = explained(planted(Limit.ZONE))
    assert (found.cause.what, found.cause.first, found.cause.last, found.cause.days) == (
        "Trough boards",
        3,
        5,
        3,
    )
