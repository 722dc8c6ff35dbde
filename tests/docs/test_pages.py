"""DEVELOPERS.md and the page of the first example name what is really there."""

import re
from datetime import date
from pathlib import Path

import pytest

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.farm.places import PlaceKind

ROOT = Path(__file__).resolve().parents[2]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
EXAMPLE = ROOT / "examples" / "alder-quay"
STORY = (EXAMPLE / "README.md").read_text(encoding="utf-8")
PACKAGES = sorted(
    path.parent.relative_to(ROOT).as_posix()
    for name in ("scheduler", "crops")
    for path in (ROOT / name).rglob("__init__.py")
    if path.parent != ROOT / "scheduler"
)


@pytest.mark.parametrize("package", [*PACKAGES, "shared/schema", "shared/reference", "examples", "tests"])
def test_every_folder_has_its_row_in_the_tree(package):
    assert re.search(rf"^\| `{package}` \| .+ \|$", DEVELOPERS, flags=re.MULTILINE)


def test_every_path_it_names_is_there():
    named = set(re.findall(r"`((?:scheduler|crops|shared|tests|examples)/[\w/.-]+)`", DEVELOPERS))
    assert len(named) >= 10
    assert sorted(name for name in named if not (ROOT / name).exists()) == []


def test_the_versions_it_names_are_those_of_the_lock():
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    section = DEVELOPERS.split("## Versions tested")[1]
    versions = re.findall(r"^\| ([a-z-]+) \| ([0-9.]+) \|$", section, flags=re.MULTILINE)
    assert "ortools" in dict(versions)
    assert [pair for pair in versions if "\n{}=={} ".format(*pair) not in lock] == []


def test_the_make_targets_it_names_are_in_the_makefile():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^make ([a-z-]+)", DEVELOPERS, flags=re.MULTILINE))
    assert len(targets) >= 4
    assert sorted(target for target in targets if f"\n{target}:" not in makefile) == []


def test_the_story_of_the_example_is_that_of_its_book():
    farm = build_farm(read_book(EXAMPLE / "book"))
    delivered = {demand.name: demand for demand in farm.demands}
    assert not {name for name in delivered if name.endswith(" 2026-05-26")}
    assert delivered["HT-1 2026-06-19"].amount == 2 * delivered["HT-1 2026-06-12"].amount
    assert (delivered["CL-1 2026-06-26"].amount, delivered["CL-1 2026-07-03"].amount) == (24, 30)
    assert [f"SP-1 2026-07-{day:02d}" in delivered for day in (8, 15, 22, 29)] == [True, False, False, True]
    assert not delivered["CL-2 2026-06-02"].firm
    assert "Delivery 1 2026-06-26" in delivered
    row = farm.place("North trough 1").slots
    days = [farm.calendar.day_of(date(2026, 6, day)) for day in (14, 15, 19, 20)]
    assert [row.on(day) for day in days] == [9, 8, 8, 9]
    assert "8 slots open from 15 to 19 June instead of 9" in STORY


def test_the_commands_of_the_story_use_its_book():
    lines = re.findall(r"^raftway \w+ (\S+)", STORY, flags=re.MULTILINE)
    assert lines == ["examples/alder-quay/book"] * 3


def test_the_farm_of_the_story_is_that_of_its_book():
    farm = build_farm(read_book(EXAMPLE / "book"))
    troughs = {row.text("trough"): row for row in read_book(EXAMPLE / "book").rows("troughs")}
    (trough,) = {(row.number_of("width"), row.number_of("length")) for row in troughs.values()}
    assert f"troughs of {trough[0]} by {trough[1]} ft" in STORY
    lanes = farm.places_of(PlaceKind.LANE)
    boards = {place.slots.on(0) for place in farm.places_of(PlaceKind.ZONE)}
    (slots,) = {lane.slots.on(0) for lane in lanes}
    taken = boards.pop() // 2
    assert f"2 rows of {slots + taken} slots each; the first {taken} slots of every row" in STORY
    assert f"which leaves {slots} for rafts" in STORY
    for kind in farm.equipment.values():
        assert re.search(rf"\b{kind.owned} (humidity )?{kind.item}s\b", STORY), kind.name
