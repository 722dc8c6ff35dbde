"""Plans broken in every way there is an operator for: the audit catches each, and says little else."""

import pytest
from fuzz.base_books import EXAMPLES, SMALL
from fuzz.broken_plans import scores, table
from fuzz.plan_mutations import OPERATORS
from fuzz.results import note

from scheduler.plan.audit import RULES


def caught(names, seeds):
    """Break plans and return the score; what is not caught, or brings undeclared faults, fails."""
    made = scores(names, seeds)
    assert [each for score in made for each in score.missed] == []
    assert [each for score in made for each in score.undeclared] == []
    return made


def test_every_rule_has_an_operator_that_breaks_it():
    assert {operator.rule for operator in OPERATORS} == set(RULES)


def test_every_broken_plan_is_caught_by_the_rule_it_breaks():
    made = caught(SMALL, range(1))
    assert [score.operator.name for score in made if not score.made] == []


@pytest.mark.soak
@pytest.mark.parametrize(
    ("name", "seeds"), [*((name, 40) for name in SMALL), *((name, 3) for name in EXAMPLES)]
)
def test_every_broken_plan_is_caught_by_the_rule_it_breaks_long(name, seeds):
    made = caught([name], range(1, 2 + seeds))
    for rule, broken, others in table(made):
        if broken:
            note(f"plans that break '{rule}', of which so many brought other faults too", broken, others)
