"""What the order in rows costs: exactly what it does on tiny farms where that is plain to see."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm
from model.explain.planted import DAYS, PLANTED, WIDE, planted
from solving import quick_crop, solved

from scheduler.model.explain import order, order_cost
from scheduler.model.settings import SolveSettings
from scheduler.outputs.explain import order_in_words
from scheduler.plan.relief import Limit, OrderCost


def cost_of(farm):
    return order_cost(farm, solved(farm), SolveSettings(seconds=8, deterministic=True))


def test_the_order_costs_what_waits_behind_another_raft():
    # Lettuce cut behind kale cannot leave before it: 6 heads of the twelfth have no slot.
    found = cost_of(planted(Limit.ORDER))
    assert found == OrderCost(kept=6, free=0, proven=True)
    assert "the order costs 6." in order_in_words(found)


def test_the_order_costs_nothing_where_slots_are_what_is_lacking():
    # 24 heads need four rafts and there are two slots, in whatever order they leave.
    found = cost_of(planted(Limit.ROW))
    assert found == OrderCost(kept=12, free=12, proven=True)
    assert order_in_words(found).endswith("the order costs nothing.")


def test_what_more_searching_fills_is_no_cost_of_the_order():
    farm = planted(Limit.ORDER)
    # A plan that does not even fill the first delivery, though the order does not stand in its way.
    worse = solved(replace(farm, demands=farm.demands[1:]))
    unfilled = replace(worse.demands[0], demand="Lettuce 8", day=8, last=8, filled=0)
    short = replace(worse, demands=(unfilled, *worse.demands))
    assert order_cost(farm, short, SolveSettings(seconds=8, deterministic=True)).kept == 6


def test_a_larger_farm_begins_from_its_plan_and_is_held_against_its_limits(monkeypatch):
    monkeypatch.setattr(order, "SMALL_BOOK", -1)
    assert cost_of(planted(Limit.ORDER)) == OrderCost(kept=6, free=0, proven=True)
    assert cost_of(planted(Limit.ROW)) == OrderCost(kept=12, free=12, proven=True)
    monkeypatch.setattr(order, "stages", lambda *_: iter(()))
    found = cost_of(planted(Limit.ROW))
    assert found == OrderCost(kept=12, free=12, proven=False)
    assert "no proof" in order_in_words(found)


@pytest.mark.parametrize("rules", [{"lift_out": True}, {}])
def test_there_is_nothing_to_say_where_no_order_is_kept_or_nothing_is_short(rules):
    made = {**WIDE, "crops": [quick_crop(**DAYS)], "demands": [delivery("Lettuce", 8, 6)]}
    if rules:
        made = {**WIDE, **PLANTED[Limit.ROW], "rules": rules}
    assert cost_of(make_farm(**made)) is None
