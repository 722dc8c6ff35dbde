"""What an added trough does to output: the README's commands, checked by counting slots, holes and days."""

import re
import runpy

import pytest
from four_uses import README, ROOT, SECTION, commands, output_of

TITLE = "What an added trough does to output"
RENDER = runpy.run_path(str(ROOT / "tests" / "docs" / "render.py"))
SCENARIO = re.compile(r"^`([\w-]+\.toml)`\n\n```toml\n(.*?)```", re.DOTALL | re.MULTILINE)
PLANTS, DAYS, SURVIVAL, BUNCH = 18, 28, 0.95, 2
"""Sorrel of the worked book: holes of a raft, days on it, what is left of it, plants in a bunch."""


@pytest.fixture
def farm(tmp_path, monkeypatch):
    """The book that the README writes step by step, and the scenario of the section."""
    (tmp_path / "my-farm").mkdir()
    for name, contents in RENDER["worked_book"](README).items():
        (tmp_path / "my-farm" / name).write_text(contents, encoding="utf-8")
    (name, text), *none = SCENARIO.findall(SECTION)
    assert none == []
    (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def bunches(slots):
    """Return the bunches a week of so many raft slots that are never empty."""
    return slots * 7 / DAYS * PLANTS * SURVIVAL / BUNCH


def slots_of(width, length, zone=0):
    """Return the raft slots of a trough whose rafts of 0.6 by 1.2 m lie across it."""
    return int(width / 1.2 + 1e-9) * (int(length / 0.6 + 1e-9) - zone)


def test_the_limit_is_that_of_its_slots_with_and_without_the_trough(farm):
    long, short = slots_of(2.5, 12, zone=3), slots_of(2.5, 6)
    assert (long, short) == (34, 20)
    for command, slots, told in zip(commands(TITLE), (long, long + short), ("72.7", "115"), strict=True):
        page = output_of(command)
        (bound,) = re.findall(r"^linear bound +[\d.]+ +([\d.]+) ", page, flags=re.MULTILINE)
        assert bound == told
        assert float(bound) == pytest.approx(bunches(slots), abs=0.5 if slots > long else 0.05)
        assert re.search(r"^raft slots of Long trough +34 +100 %", page, flags=re.MULTILINE)
    assert "72.7 bunches a week, the second 115" in SECTION
