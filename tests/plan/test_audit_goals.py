"""What the goals say: shortages are worked out again from the rows, and a proof needs its limit."""

from dataclasses import replace

import pytest
from boxed_plans import boxed_farm, boxed_plan
from farms import delivery, make_farm, target
from plans import Batch, build, settle

from scheduler.plan.audit import audit
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.rows import GoalRow

FIRM, FLEXIBLE = "firm deliveries short", "flexible deliveries and targets short"
WANTED = [
    delivery("Lettuce", 34, 8, price=150, priority=2),
    delivery("Lettuce", 35, 6, price=100, priority=5, firm=False),
    target("Lettuce", 36, 4, price=100, priority=4, name="weekly 36"),
]
"""6 of the first are cut: 2 x 150 x 10^3 are short, and beside them 6 x 100 and 4 x 100 x 10."""


def goal(level, value, **more):
    name = {1: FIRM, 2: FLEXIBLE, 3: "cost"}[level]
    made = GoalRow(level=level, goal=name, value=value, unit="", bound=None, status="best found")
    return replace(made, **more)


def told(*goals, more=()):
    """What the audit says of the goals of a plan that leaves part of ``WANTED`` and all of ``more`` short."""
    farm = make_farm(demands=[*WANTED, *more])
    plan = build(farm, Batch(rafts=(6,)), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    return heard(farm, replace(plan, goals=goals))


def heard(farm, plan):
    return [str(fault).removeprefix("bookkeeping | goals: ") for fault in audit(farm, settle(farm, plan))]


def test_shortages_that_the_rows_give_are_no_fault_and_cost_is_not_worked_out():
    assert told(goal(1, 300_000.0), goal(2, 4_600.0), goal(3, 12.34)) == []
    assert told() == []


@pytest.mark.parametrize("value", [299_999.0, 300_001.0, 0.0, -1.0, float("nan")])
def test_a_shortage_that_the_rows_do_not_give(value):
    said = f"value of {FIRM} is {value:,.0f}, the rows give 300,000"
    assert told(goal(1, value), goal(2, 4_600.0)) == [said]


def test_flexible_deliveries_and_targets_count_together():
    said = f"value of {FLEXIBLE} is 600, the rows give 4,600"
    assert told(goal(1, 300_000.0), goal(2, 600.0)) == [said]


def test_what_no_sowing_can_reach_may_count_or_not():
    early = [delivery("Lettuce", 20, 5)]
    for value in (300_000.0, 800_000.0):
        assert told(goal(1, value), goal(2, 4_600.0), more=early) == []
    for value in (299_999.0, 800_001.0):
        said = f"value of {FIRM} is {value:,.0f}, the rows give 300,000 to 800,000"
        assert told(goal(1, value), goal(2, 4_600.0), more=early) == [said]


def test_what_boxes_lack_counts_with_the_flexible_deliveries():
    farm = boxed_farm()
    plan = boxed_plan(farm)
    weight = {demand.name: demand.weight for demand in farm.demands}
    short = sum(
        weight[row.demand] * (row.amount - row.filled) for row in plan.demands if row.state == "short"
    )
    lacks = lacking_weight(farm, plan)
    assert short > 0
    assert lacks > 0
    before = heard(farm, plan)
    sound = replace(plan, goals=(goal(1, 0.0), goal(2, float(short + lacks))))
    assert heard(farm, sound) == before
    (said,) = set(heard(farm, replace(plan, goals=(goal(1, 0.0), goal(2, float(short)))))) - set(before)
    assert said.startswith(f"value of {FLEXIBLE} is {short:,}, the rows give {short + lacks:,}")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"status": "proven", "bound": 300_000.0}, []),
        (
            {"status": "proven", "bound": 299_999.0},
            [f"{FIRM} is said to be proven: 300,000.00 with a limit of 299,999.00"],
        ),
        ({"status": "proven"}, [f"{FIRM} is said to be proven: 300,000.00 with no limit"]),
        ({"status": "sure"}, [f"status of {FIRM} is sure; it may be proven, proven together, best found"]),
    ],
)
def test_a_proof_needs_a_limit_that_is_reached(more, said):
    assert told(goal(1, 300_000.0, **more), goal(2, 4_600.0)) == said


def test_each_shortage_has_one_row():
    assert told(goal(1, 300_000.0)) == ["the row of level 2 is missing"]
    twice = [goal(1, 300_000.0), goal(2, 4_600.0), goal(2, 4_600.0)]
    assert told(*twice) == ["level 2 has 2 rows"]
