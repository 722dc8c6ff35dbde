"""Rows of every kind in whole plans: alone, many, opening, closing, lifted out of, with unlike crops."""

from dataclasses import replace

import pytest
from farms import EVER, delivery, make_farm
from solving import got, outcome, quick_crop, solved

from scheduler.model import solve
from scheduler.model.first.sharing import Ahead, by_weight, in_order
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.audit import audit

SLOW = {"raft": (20, 3, 10_000)}


@pytest.fixture(params=["small", "large"])
def book(request, monkeypatch):
    """Solve the farm as a small book is solved, and as a larger one."""
    if request.param == "large":
        monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    return request.param


def filled(farm):
    """Say whether a plan, which the audit finds no fault in, fills everything."""
    plan = outcome(farm, seconds=0.12).plan
    return all(row.filled == row.amount for row in plan.demands)


def orders(days, *crops, units=6):
    return [delivery(crop, day, units, max_age=1) for crop in crops for day in days]


def test_one_row_serves_crops_of_very_different_days_one_after_another(book):
    # Kale stands three weeks in the only row; lettuce of a week is set in so that it never passes it.
    farm = make_farm(
        days=64,
        lane_slots=5,
        crops=[quick_crop(), quick_crop("Kale", **SLOW)],
        demands=[*orders((30, 51), "Kale"), *orders((31, 40, 52, 60), "Lettuce")],
    )
    assert filled(farm)


def test_of_many_rows_crops_of_very_different_days_have_their_own(monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    farm = make_farm(
        days=40,
        lanes=7,
        lane_slots=3,
        tier_slots=20,
        rafts=60,
        crops=[quick_crop(), quick_crop("Kale", **SLOW)],
        demands=[*orders((31, 38), "Kale", units=12), *orders((10, 24, 38), "Lettuce", units=12)],
    )
    assert filled(farm)


@pytest.mark.parametrize(
    ("slots", "days"), [(((EVER, 0), (30, 2)), (40, 50)), (((EVER, 2), (30, 0)), (12, 25))]
)
def test_a_row_that_opens_or_closes_within_the_plan_serves_the_days_it_is_there(book, slots, days):
    farm = make_farm(
        days=60, lane_slots=slots, crops=[quick_crop()], demands=orders((*days, 32), "Lettuce", units=12)
    )
    plan = outcome(farm, seconds=0.25).plan
    short = {row.day for row in plan.demands if row.filled < row.amount}
    assert short == {32}


def test_a_row_in_which_rafts_may_be_lifted_out_serves_what_its_order_cannot():
    # The kale enters first and leaves last; the row has two slots.
    farm = make_farm(
        days=32,
        lane_slots=2,
        crops=[quick_crop(), quick_crop("Kale", **SLOW)],
        demands=[*orders((30,), "Kale"), *orders((14, 19, 24, 29), "Lettuce")],
    )
    assert filled(replace(farm, rules=replace(farm.rules, lift_out=True)))
    assert not filled(farm)


@pytest.mark.parametrize(("crew", "fills"), [(20_00, True), (19_99, False)])
def test_only_the_raft_that_passes_another_needs_the_minutes_of_lifting(crew, fills):
    # Kale stands from before until after; each lettuce is lifted out past it, and the kale past nothing.
    farm = make_farm(
        days=30,
        lane_slots=2,
        crew=crew,
        crops=[quick_crop(), quick_crop("Kale", **SLOW)],
        demands=[delivery("Kale", 28, 6, priority=1), *orders((17,), "Lettuce")],
        rules={"lift_out": True, "lift_minutes": 20_00},
    )
    assert got(solved(farm, seconds=0.25)) == {"Kale 28": 6, "Lettuce 17": 6 if fills else 0}
    assert filled(replace(farm, rules=replace(farm.rules, lift_minutes=0)))


# --- the order in which a first plan serves deliveries ---


class Asked:
    """As much of a model's decisions as says what is asked for."""

    def __init__(self, farm):
        from scheduler.model.build import build
        from scheduler.model.options.frame import season
        from scheduler.model.options.pools import bundles_of

        self.chosen = build(season(farm), bundles_of(farm)).chosen

    def names(self, order):
        return [wish.name for _, wish in order]


def ranked_farm():
    return make_farm(
        days=40,
        crops=[quick_crop()],
        demands=[
            delivery("Lettuce", 12, 6, priority=4),
            delivery("Lettuce", 20, 6, priority=1),
            delivery("Lettuce", 16, 6, priority=1, firm=False),
        ],
    )


def test_deliveries_are_served_by_date_or_by_what_they_weigh():
    asked = Asked(ranked_farm())
    assert asked.names(in_order(asked.chosen)) == ["Lettuce 12", "Lettuce 16", "Lettuce 20"]
    assert asked.names(by_weight(asked.chosen)) == ["Lettuce 20", "Lettuce 12", "Lettuce 16"]


def test_the_heaviest_of_what_was_short_is_let_ahead_each_time():
    asked = Asked(ranked_farm())
    ahead = Ahead(asked.chosen)
    values = [1] * 1_000_000
    assert ahead.let_ahead(values)
    assert asked.names(ahead.now) == ["Lettuce 20", "Lettuce 12", "Lettuce 16"]
    assert ahead.let_ahead(values)
    assert ahead.let_ahead(values)
    assert asked.names(ahead.now) == ["Lettuce 20", "Lettuce 12", "Lettuce 16"]
    assert not ahead.let_ahead(values)


def test_a_first_plan_gives_the_only_raft_to_what_weighs_most_though_it_comes_later(monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    farm = make_farm(
        days=40,
        lane_slots=1,
        crops=[quick_crop(), quick_crop("Kale")],
        demands=[
            delivery("Kale", 18, 6, priority=4, max_age=0),
            delivery("Lettuce", 20, 6, priority=1, max_age=0),
        ],
    )
    told = []
    found = plan_farm(farm, SolveSettings(seconds=0.5, deterministic=True), told.append)
    first = next(each for each in told if each.short >= 0)
    assert (first.phase, first.short) == ("planning delivery by delivery", 6)
    assert audit(farm, found.plan) == []
    assert got(found.plan) == {"Kale 18": 0, "Lettuce 20": 6}
