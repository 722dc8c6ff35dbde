"""Every rule of a plan is kept by the planner too, and each part of the planner that keeps one is tested.

That each rule has its sentence in the README and a test that breaks it is for ``test_rules.py`` to say.
"""

from pathlib import Path

from scheduler.model.build import RULES as CONSTRAINTS
from scheduler.model.build import list_options
from scheduler.model.rules.amounts import amounts
from scheduler.model.rules.beds import bed_pickings, bed_positions
from scheduler.model.rules.boxes import boxes
from scheduler.model.rules.coolers import coolers
from scheduler.model.rules.cuts import cuts, deliveries, heads
from scheduler.model.rules.equipment import equipment
from scheduler.model.rules.hours import hours
from scheduler.model.rules.lane_order import lane_order
from scheduler.model.rules.losses import losses
from scheduler.model.rules.outlets import outlets
from scheduler.model.rules.rest import rest
from scheduler.model.rules.space import lane_slots, tier_slots, zone_slots
from scheduler.model.rules.units import queues, whole_units
from scheduler.plan.audit import RULES
from scheduler.plan.layout import lay_out

TESTS = Path(__file__).resolve().parents[1]

# Days on which nothing may be done are never listed, and one place writes all tables, so that they agree;
# every other rule is a constraint.
KEPT_BY = {
    "slots": (tier_slots, zone_slots, lane_slots, queues),
    "lane order": (lane_order, queues),
    "rest": (rest,),
    "beds": (list_options, bed_positions),
    "stage days": (list_options,),
    "whole units": (whole_units, losses, heads, deliveries),
    "work days": (list_options,),
    "heat": (list_options,),
    "equipment": (equipment,),
    "fresh": (list_options, cuts, deliveries),
    "products": (deliveries, amounts),
    "outlets": (outlets, amounts),
    "boxes": (boxes,),
    "picking": (list_options, bed_pickings),
    "growing": (list_options, losses),
    "hours": (hours,),
    "coolers": (coolers,),
    "bookkeeping": (lay_out,),
}
TESTED_IN = {
    list_options: TESTS / "model" / "test_options.py",
    lay_out: TESTS / "plan" / "layout" / "test_layout.py",
} | {rule: TESTS / "model" / "rules" / f"test_{rule.__name__}.py" for rule in CONSTRAINTS}


def test_every_rule_of_the_audit_is_kept_by_a_part_of_the_planner():
    assert [rule for rule in RULES if not KEPT_BY.get(rule)] == []
    assert [rule for rule in KEPT_BY if rule not in RULES] == []


def test_every_constraint_of_the_planner_keeps_a_rule_of_the_audit():
    kept = {part for parts in KEPT_BY.values() for part in parts}
    assert [rule.__name__ for rule in CONSTRAINTS if rule not in kept] == []


def test_every_part_of_the_planner_that_keeps_a_rule_has_tests_of_its_own():
    missing = {
        f"{rule}: {part.__name__}"
        for rule, parts in KEPT_BY.items()
        for part in parts
        if part not in TESTED_IN
        or not TESTED_IN[part].is_file()
        or part.__name__ not in TESTED_IN[part].read_text(encoding="utf-8")
    }
    assert missing == set()
