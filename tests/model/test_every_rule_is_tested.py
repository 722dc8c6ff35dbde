"""Each rule of the planner has a file of tests that bring it to its limit and beyond."""

from pathlib import Path

import pytest

from scheduler.model.build import RULES


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_a_rule_has_tests_of_its_own(rule):
    text = (Path(__file__).parent / "rules" / f"test_{rule.__name__}.py").read_text(encoding="utf-8")
    assert text.count(f" {rule.__name__},") >= 1
    assert "True" in text
    assert "False" in text


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_a_rule_says_in_a_sentence_what_it_keeps(rule):
    assert (rule.__doc__ or "").splitlines()[0].endswith(".")
