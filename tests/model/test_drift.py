"""From one plan to another that is short of as much: some of what is short is filled, and no more is."""

import random
from dataclasses import replace

import pytest
from farms import delivery, make_farm
from model.steady import built_of, engine_of, faults_of
from model.test_every_way import RAFT, TRAY, farm_of
from solving import quick_crop

from scheduler.model.bounds.proof import Proof
from scheduler.model.first.start import nothing
from scheduler.model.goals import FLEXIBLE_TAIL, shortage
from scheduler.model.options.frame import season
from scheduler.model.options.options import MOST_CUT_DAYS
from scheduler.model.options.pools import bundles_of
from scheduler.model.search import drift, filling
from scheduler.model.search.drift import PRICES, price_anew
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.search.selection import Part, Selection


def two_crops(**needs):
    """Return a farm of two crops and one slot that is wanted for both on most days."""
    crops = [quick_crop(), quick_crop("Kale")]
    wanted = [delivery(name, day, 6, max_age=2) for name in ("Lettuce", "Kale") for day in (10, 14, 18, 22)]
    return make_farm(**({"days": 28, "lane_slots": 1, "crops": crops, "demands": wanted} | needs))


def incumbent_of(farm):
    built = built_of(season(farm), bundles_of(farm))
    return Incumbent(built, Parts(built.model), nothing(built))


def repaired(farm, units):
    """Return the answer that parts bring a farm to, the search that did it, and its score after each step."""
    best, scores = incumbent_of(farm), []
    engine = engine_of(deterministic=True, seconds=units * 4)
    repair = Repair(engine, best, lambda _: scores.append(best.score[:2]))
    repair.shortages(units)
    return best, repair, scores, engine


def test_the_plan_is_never_shorter_and_in_the_end_as_cheap_where_nothing_was_filled():
    farm = two_crops()
    best, repair, scores, engine = repaired(farm, 0.05)
    assert best.units_short(1)
    before, first = best.score, best.version
    del scores[:]
    repair.drift(engine.spent + 0.1)
    assert best.version > first  # it went through others
    assert scores == sorted(scores, reverse=True)
    assert best.score <= before
    assert best.parts.holds(best.values)
    assert best.score == best.score_of(best.values)
    assert faults_of(farm, best) == []


def test_the_same_seed_goes_through_the_same_plans():
    ends = []
    for _ in range(2):
        best, repair, scores, engine = repaired(two_crops(), 0.05)
        repair.drift(engine.spent + 0.05)
        ends.append((best.values, best.version, scores))
    assert ends[0] == ends[1]


def test_where_nothing_is_short_or_the_time_is_up_there_is_nothing_to_go_on_for():
    for slots, units, seconds in ((8, 2.0, 1.0), (1, 0.05, 0.0)):
        best, repair, _, engine = repaired(two_crops(lane_slots=slots), units)
        version, spent = best.version, engine.spent
        repair.drift(engine.spent + seconds)
        assert (best.version, engine.spent) == (version, spent)


def test_what_is_short_past_the_last_reported_day_alone_is_not_gone_on_for():
    farm = two_crops()
    farm = replace(farm, demands=tuple(replace(demand, reported=False) for demand in farm.demands))
    best, repair, _, engine = repaired(farm, 0.05)
    assert best.units_short(1)
    version = best.version
    repair.drift(engine.spent + 0.1)
    assert best.version == version


def test_only_what_costs_has_another_price():
    best, *_ = repaired(two_crops(), 0.1)
    chosen = best.built.chosen
    free = Selection(chosen).variables(Part(crops=frozenset(), first=0, last=28))
    cut = best.parts.cut(best.values, free)
    goal = cut.model.proto.objective
    before = dict(zip(list(goal.vars), list(goal.coeffs), strict=True))
    price_anew(cut.model, random.Random(1))
    after = dict(zip(list(goal.vars), list(goal.coeffs), strict=True))
    short = {variable.index for level in (1, 2) for _, variable in shortage(chosen, level).terms}
    missing = {at for at, number in enumerate(cut.index) if number in short}
    assert missing
    assert all(before[at] >= FLEXIBLE_TAIL and after[at] == before[at] for at in missing)
    cheap = {at: weight for at, weight in before.items() if weight < drift.DEAREST}
    assert all(after.get(at, 0) in {int(weight * price) for price in PRICES} for at, weight in cheap.items())
    assert any(after.get(at, 0) != weight for at, weight in cheap.items())


@pytest.mark.parametrize(("most", "filled"), [(10_000, True), (0, False)])
def test_ways_left_out_are_looked_at_once_the_model_has_nothing_better(monkeypatch, most, filled):
    monkeypatch.setattr(filling, "MEDIUM_WHOLE", 0)
    monkeypatch.setattr(filling, "LARGEST_WHOLE", most)
    farm = farm_of(TRAY + RAFT + MOST_CUT_DAYS)
    engine = engine_of(deterministic=True, seconds=2.0)
    search = filling.Filling(engine, Proof(engine, season(farm)), frozenset(), lambda *_: None)
    best = search.filled(incumbent_of(farm), 2.0)
    assert (best.units_short(1) == 0) is filled
