"""What the goals say: all that rows show is worked out again, and limits and proofs are held against it."""

from dataclasses import replace

import pytest
from boxed_plans import boxed_farm, boxed_plan
from farms import delivery, growing, make_farm, target
from plans import Batch, build, settle

from scheduler.farm.crops import StageKind
from scheduler.plan.audit import audit
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.exact import CLEARED, EDITION, KEY, WHOLE
from scheduler.plan.rows import GoalRow
from scheduler.plan.worth import GOAL_NAMES, cost, points, unit_of

FIRM, FLEXIBLE = GOAL_NAMES[1], GOAL_NAMES[2]
WANTED = [
    delivery("Lettuce", 34, 8, price=150, priority=2),
    delivery("Lettuce", 35, 6, price=100, priority=5, firm=False),
    target("Lettuce", 36, 4, price=100, priority=4, name="weekly 36"),
]
"""6 of the first are cut: 2 x 150 x 10^3 are short, and beside them 6 x 100 and 4 x 100 x 10."""


def goal(level, value, **more):
    made = GoalRow(level=level, goal=GOAL_NAMES[level], value=value, unit="", bound=None, status="best found")
    return replace(made, **more)


def told(*goals, more=()):
    """What the audit says of the goals of a plan that leaves part of ``WANTED`` and all of ``more`` short."""
    farm = make_farm(demands=[*WANTED, *more])
    plan = build(farm, Batch(rafts=(6,)), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    return heard(farm, replace(plan, goals=goals))


def heard(farm, plan):
    return [str(fault).removeprefix("bookkeeping | goals: ") for fault in audit(farm, settle(farm, plan))]


def heard_of_goals(farm, plan):
    """The same of the goals alone: these plans list no tasks."""
    return [fault.message for fault in audit(farm, settle(farm, plan)) if fault.where == "goals"]


def worked_out(changed=None, extra=(), edition=EDITION):
    """What the audit says of a plan that costs 12.25 and comes to 324 points, its goals told but for some."""
    farm = make_farm(demands=[delivery("Lettuce", 34, 6)], costs={"lot": 1225})
    plan = build(farm, Batch(rafts=(6,)), fills=[("Lettuce 34", "LET-260302", 34, 6)])
    plan = replace(plan, made={KEY: edition})
    assert (cost(farm, plan), points(farm, plan)) == (1225, 324)
    right = {1: goal(1, 0.0), 2: goal(2, 0.0), 3: goal(3, 12.25), 5: goal(5, 324.0)}
    right = {level: replace(row, unit=unit_of(farm, level)) for level, row in right.items()}
    rows = {level: replace(row, **(changed or {}).get(level, {})) for level, row in right.items()}
    told = [row for level, row in rows.items() if (changed or {}).get(level, {}) is not None]
    return heard_of_goals(farm, replace(plan, goals=(*told, *extra)))


def test_goals_that_the_rows_give_are_no_fault():
    assert told(goal(1, 300_000.0), goal(2, 4_600.0), goal(3, 12.34)) == []
    assert told() == []
    assert worked_out() == []


@pytest.mark.parametrize("off", [-0.005, 0.0, 0.005])
def test_a_cost_in_whole_hundredths_is_near_enough(off):
    assert worked_out({3: {"value": 12.25 + off}}) == []


@pytest.mark.parametrize("value", [12.256, 12.244, 0.0, -1.0, float("inf"), float("nan")])
def test_a_cost_that_the_rows_do_not_come_to(value):
    assert worked_out({3: {"value": value}}) == [f"value of cost is {value:,.3f}, the rows give 12.250"]


@pytest.mark.parametrize(("edition", "right", "wrong"), [(EDITION, 0.84, 0.0), (CLEARED, 0.0, 0.84)])
def test_what_is_thrown_away_later_counts_in_the_plans_that_say_so(edition, right, wrong):
    found = growing("Lettuce", StageKind.BOARD, -8, 12, 1, place="Trough boards")
    farm = make_farm(growing=[found], costs={"discarded_plant": 7})
    plan = replace(build(farm, Batch(found=found, raft_day=2, rafts=())), made={KEY: edition})
    rest = [replace(goal(level, 0.0), unit=unit_of(farm, level)) for level in (1, 2, 5)]
    for value, said in ((right, []), (wrong, [f"value of cost is {wrong:.3f}, the rows give {right:.3f}"])):
        money = goal(3, value, unit=unit_of(farm, 3))
        assert heard_of_goals(farm, replace(plan, goals=(*rest, money))) == said


@pytest.mark.parametrize("value", [323.0, 325.0, 324.5, 0.0, float("nan")])
def test_points_that_the_rows_do_not_come_to(value):
    said = f"value of lots and units to look after is {value:,.2f}, the rows give 324"
    assert worked_out({5: {"value": value}}) == [said]


def test_cost_and_points_of_a_plan_made_before_this_rule_are_not_judged():
    wrong = {3: {"value": 99.0, "unit": ""}, 5: {"value": 7.0}}
    assert worked_out(wrong, edition=WHOLE - 1) == []
    assert len(worked_out(wrong)) == 3


@pytest.mark.parametrize("level", [3, 5])
def test_each_goal_that_every_plan_has_is_told(level):
    farm = make_farm()
    rows = [replace(goal(each, 0.0), unit=unit_of(farm, each)) for each in (1, 2, 3, 5) if each != level]
    plan = replace(build(farm), goals=tuple(rows), made={KEY: EDITION})
    assert heard_of_goals(farm, plan) == [f"the row of level {level} is missing"]


def test_a_goal_is_called_by_its_name_and_told_in_its_unit():
    assert worked_out({3: {"goal": "gain", "unit": "USD"}}) == [
        "goal of level 3 is gain, not cost",
        "unit of level 3 is USD, not EUR",
    ]


def test_there_is_no_level_beyond_the_last():
    extra = replace(goal(5, 0.0), level=6)
    assert worked_out(extra=[extra]) == ["level 6 is none: a plan has levels 1 to 5"]


@pytest.mark.parametrize("value", [0.0, 3.0, 306.0])
def test_change_from_the_plan_before_is_lots_at_300_and_plants_at_3(value):
    assert worked_out(extra=[goal(4, value, unit="points")]) == []


@pytest.mark.parametrize("value", [-3.0, 1.0, 304.0, 3.5, float("inf"), float("nan")])
def test_change_that_no_lots_and_plants_come_to(value):
    said = f"value of {GOAL_NAMES[4]} is {value:,.2f}, which no lots at 300 and plants at 3 add up to"
    assert worked_out(extra=[goal(4, value, unit="points")]) == [said]


@pytest.mark.parametrize(
    ("level", "bound", "shown"),
    [(1, 1.0, "0.00"), (3, 12.256, "12.25"), (5, 325.0, "324.00"), (3, float("inf"), "12.25")],
)
def test_a_limit_that_the_plan_itself_passes(level, bound, shown):
    said = f"limit of {GOAL_NAMES[level]} is {bound:,.2f}, and the plan itself reaches {shown}"
    assert worked_out({level: {"bound": bound}}) == [said]


@pytest.mark.parametrize(("level", "bound"), [(1, 0.0), (3, 12.255), (3, 0.0), (5, 324.0), (5, 1.0)])
def test_a_limit_that_the_plan_reaches_or_stays_above(level, bound):
    assert worked_out({level: {"bound": bound}}) == []


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
        ({"bound": 300_001.0}, [f"limit of {FIRM} is 300,001.00, and the plan itself reaches 300,000.00"]),
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


@pytest.mark.parametrize(
    ("changed", "told_of"),
    [
        ({3: {"status": "proven together"}, 5: {"status": "proven together"}}, []),
        ({3: {"status": "proven", "bound": 12.25}, 5: {"status": "proven together"}}, []),
        ({3: {"status": "proven together"}}, [3]),
        ({5: {"status": "proven together"}}, [5]),
        ({1: {"status": "proven together", "bound": 0.0}}, [1]),
    ],
)
def test_cost_and_points_are_proven_together_or_not_at_all(changed, told_of):
    assert worked_out(changed) == [
        f"status of {GOAL_NAMES[level]} is proven together, but cost and points are not both proven"
        for level in told_of
    ]
