"""Every rule of a plan stands in the audit, in the README and in a test that breaks it."""

from pathlib import Path

import pytest

from scheduler.plan.audit import RULES

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_has_its_sentence_in_the_readme(rule):
    readme = " ".join(README.read_text(encoding="utf-8").split())
    assert " ".join(RULES[rule].split()) in readme


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_is_broken_by_a_test(rule):
    tests = (ROOT / "tests" / "plan").glob("test_audit_*.py")
    assert [path for path in tests if f'"{rule} | ' in path.read_text(encoding="utf-8")]
