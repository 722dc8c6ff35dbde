"""Books that stay short are looked at in every way: all days of sowing, moving and cutting again."""

from dataclasses import replace

import pytest
from farms import EVERY_DAY, delivery, make_crop, make_farm
from solving import got, outcome, shortage_goal, solved

from scheduler.farm.calendar import Work
from scheduler.model.build import build, list_options
from scheduler.model.explain import explain
from scheduler.model.first.start import nothing
from scheduler.model.options.frame import season
from scheduler.model.options.options import MOST_CUT_DAYS
from scheduler.model.options.pools import bundles_of
from scheduler.model.search import begun
from scheduler.model.search.every_way import fits_every_way, to_be_widened
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.sizes import steps_of
from scheduler.plan.carried import carried

TRAY, RAFT = 4, 6
MONDAYS = {**dict.fromkeys(Work, EVERY_DAY), Work.SOW: frozenset({0})}


def farm_of(day, wait=5):
    """Basil that goes onto rafts 4 days after each Monday, and is first cut 6 to 6 + wait days after that."""
    basil = make_crop(
        "Basil", tray=(TRAY, 0, 10_000), board=None, raft=(RAFT, wait, 10_000), cuts=2, interval=9
    )
    return make_farm(
        days=28, crops=[basil], work_days=MONDAYS, demands=[delivery("Basil", day, 6, max_age=0)]
    )


@pytest.mark.parametrize("late", [MOST_CUT_DAYS - 1, MOST_CUT_DAYS, 5])
def test_a_delivery_that_only_a_late_first_cut_can_meet_is_filled(late):
    farm = farm_of(TRAY + RAFT + late)
    narrow, every = season(farm), replace(season(farm), in_every_way=frozenset({"Basil"}))
    assert bool(list_options(narrow).raft_sets) is (late < MOST_CUT_DAYS)
    assert list_options(every).whole
    assert list_options(every).raft_sets
    plan = solved(farm)
    assert got(plan) == {f"Basil {TRAY + RAFT + late}": 6}
    assert shortage_goal(plan) == (0.0, "proven")


def test_a_plan_with_a_cut_that_is_rarely_looked_at_is_explained():
    day = TRAY + RAFT + MOST_CUT_DAYS
    farm = farm_of(day)
    lost = delivery("Basil", TRAY + RAFT - 1, 6, max_age=0)
    farm = make_farm(
        days=28, crops=list(farm.crops.values()), work_days=MONDAYS, demands=[*farm.demands, lost]
    )
    plan = solved(farm)
    assert got(plan) == {f"Basil {day}": 6, lost.name: 0}
    (found,) = explain(farm, plan, SolveSettings(seconds=10, deterministic=True)).explained
    assert found.row.demand == lost.name


@pytest.mark.parametrize("small", [0, begun.SMALL_BOOK])
def test_a_search_goes_on_from_a_plan_with_a_cut_that_is_rarely_looked_at(monkeypatch, small):
    monkeypatch.setattr(begun, "SMALL_BOOK", small)
    day = TRAY + RAFT + MOST_CUT_DAYS
    farm = farm_of(day)
    plan = solved(farm)
    more = [*farm.demands, delivery("Basil", day + 7, 6, max_age=0)]
    larger = make_farm(days=28, crops=list(farm.crops.values()), work_days=MONDAYS, demands=more)
    found = begun.plan_from(larger, carried(larger, plan), SolveSettings(seconds=2, deterministic=True))
    assert found is not None
    assert got(found) == {demand.name: 6 for demand in more}


def test_one_day_beyond_the_window_stays_short():
    assert outcome(farm_of(TRAY + RAFT + 6)).status == "short"


def test_the_model_of_every_way_is_larger_and_only_looked_at_up_to_a_limit():
    farm = farm_of(TRAY + RAFT)
    narrow, bundles = season(farm), bundles_of(farm)
    every = steps_of(list_options(replace(narrow, in_every_way=frozenset({"Basil"}))), bundles)
    assert steps_of(list_options(narrow), bundles) < every
    built = build(narrow, bundles)
    best = Incumbent(built, Parts(built.model), nothing(built))
    assert fits_every_way(best, frozenset({"Basil"}), every)
    assert not fits_every_way(best, frozenset({"Basil"}), every - 1)


def test_first_the_crops_that_are_short_are_looked_at_and_then_all():
    day = TRAY + RAFT + MOST_CUT_DAYS
    farm = farm_of(day)
    kale = make_crop("Kale", tray=(TRAY, 0, 10_000), board=None, raft=(RAFT, 8, 10_000), cuts=2, interval=9)
    farm = make_farm(
        days=28,
        crops=[*farm.crops.values(), kale],
        work_days=MONDAYS,
        demands=[delivery("Basil", day, 6, max_age=0)],
    )
    best = incumbent_of(season(farm), farm)
    assert to_be_widened(best, (), 10_000) == {"Basil"}
    assert to_be_widened(best, (0,), 10_000) == set()
    assert to_be_widened(best, (), 0) == set()
    wider = incumbent_of(replace(season(farm), in_every_way=frozenset({"Basil"}), sources=1), farm)
    assert to_be_widened(wider, (), 10_000) == {"Basil", "Kale"}


def incumbent_of(frame, farm):
    built = build(frame, bundles_of(farm))
    return Incumbent(built, Parts(built.model), nothing(built))
