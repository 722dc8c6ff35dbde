"""What is proven is told so that rounding never makes it untrue."""

from dataclasses import replace

import pytest
from samples import small_plan

from scheduler.outputs.proven import proven_lines
from scheduler.plan.rows import GoalRow


def lines(*goals, filled=0, reported=True, state="short"):
    rows = tuple(
        GoalRow(level=level, goal="", value=value, unit="", bound=bound, status="")
        for level, value, bound in goals
    )
    plan = small_plan(goals=rows)
    short = tuple(
        replace(plan.demands[0], firm=firm, amount=9, filled=filled, reported=reported, state=state)
        for firm in (True, False)
    )
    return proven_lines(replace(plan, demands=short))


@pytest.mark.parametrize(
    ("goal", "line"),
    [
        ((1, 900.0, 900.0), "Proven: no plan leaves less of the firm deliveries short"),
        (
            (1, 900.0, 299.0),
            "Proven: every plan is short of firm deliveries, by at least 33.2 % of what this one is short "
            "of, counted by price and priority",
        ),
        (
            (2, 10.0, 10.0),
            "Proven: no plan that is as good in firm deliveries leaves less of the flexible deliveries and "
            "targets short",
        ),
        ((3, 300.0, 200.0), "Proven: no plan that fills as much is more than 33.4 % cheaper"),
        ((3, 300.0, 150.0), "Proven: no plan that fills as much is more than 50 % cheaper"),
        ((3, 300.0, 300.0), "Proven: no plan that fills as much is cheaper"),
    ],
)
def test_a_limit_is_told_as_a_share_that_is_never_too_good(goal, line):
    assert lines(goal) == [line]


@pytest.mark.parametrize(
    "goal", [(1, 0.0, 0.0), (1, 900.0, 0.0), (1, 1001.0, 1.0), (3, 300.0, None), (3, 0.0, 0.0), (5, 3, None)]
)
def test_what_says_nothing_is_left_out(goal):
    assert lines(goal) == []


@pytest.mark.parametrize("changes", [{"filled": 9}, {"reported": False}])
def test_where_nothing_that_is_told_is_short_there_is_nothing_to_prove(changes):
    assert lines((1, 900.0, 299.0), (2, 900.0, 299.0), **changes) == []


def test_firm_deliveries_that_are_all_too_early_are_not_told_as_if_some_could_be_filled():
    assert lines((1, 900.0, 299.0), state="too early") == [
        "Proven: every plan is short of firm deliveries, by at least 33.2 % of what this one is short of, "
        "counted by price and priority; all that is short is too early for a new sowing"
    ]


def test_a_book_without_firm_deliveries_has_nothing_that_goes_before_the_others():
    plan = small_plan(goals=(GoalRow(level=2, goal="", value=9.0, unit="", bound=3.0, status=""),))
    short = replace(plan.demands[0], firm=False, amount=9, filled=0, reported=True, state="short")
    assert proven_lines(replace(plan, demands=(short,))) == [
        "Proven: every plan is short of flexible deliveries and targets, by at least 33.3 % of what this one "
        "is short of, counted by price and priority"
    ]
