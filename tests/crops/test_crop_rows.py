"""Every figure says where it comes from, and a row that does not is refused."""

import csv
from pathlib import Path

import pytest

import crops
from crops.rows import MARKS, NO_SOURCE, faults_of, figure_of

IDS = {"COMMON", "rutgers_both_lettuce"}
NAMES = {"days_tray"}
SOUND = {
    "crop": "lettuce_butterhead",
    "figure": "days_tray",
    "low": "11",
    "typical": "12",
    "high": "14",
    "unit": "d",
    "conditions": "lamps",
    "source_id": "rutgers_both_lettuce",
    "evidence": "READ",
    "note": "",
}


def test_a_sound_row_becomes_a_figure() -> None:
    figure = figure_of(SOUND, IDS, NAMES)
    assert (figure.low, figure.typical, figure.high) == (11.0, 12.0, 14.0)
    assert (figure.unit, figure.source_id, figure.evidence) == ("d", "rutgers_both_lettuce", "READ")


def test_blank_bounds_are_unknown() -> None:
    figure = figure_of(SOUND | {"low": "", "high": ""}, IDS, NAMES)
    assert (figure.low, figure.typical, figure.high) == (None, 12.0, None)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"source_id": ""}, 'source "" is not in sources.csv'),
        ({"source_id": "hearsay"}, 'source "hearsay" is not in sources.csv'),
        (
            {"evidence": ""},
            'evidence "" is not one of READ, READ-2, MEMORY, COMMON PRACTICE, ESTIMATE',
        ),
        (
            {"evidence": "read"},
            'evidence "read" is not one of READ, READ-2, MEMORY, COMMON PRACTICE, ESTIMATE',
        ),
        ({"source_id": "COMMON"}, "READ needs the source it was read in, not COMMON"),
        (
            {"source_id": "COMMON", "evidence": "READ-2"},
            "READ-2 needs the source it was read in, not COMMON",
        ),
        ({"typical": ""}, "typical is blank"),
        ({"typical": "about 12"}, 'typical "about 12" is not a number'),
        ({"high": "nan"}, 'high "nan" is not a number'),
        ({"low": "13"}, "low, typical, high are 13.0, 12.0, 14.0: not in rising order"),
        ({"high": "11.5"}, "low, typical, high are 11.0, 12.0, 11.5: not in rising order"),
        ({"unit": ""}, "unit is blank"),
        ({"figure": "days_trey"}, 'figure "days_trey" is not in figure_names.csv'),
    ],
)
def test_a_broken_row_is_refused(change: dict[str, str], fault: str) -> None:
    assert faults_of(SOUND | change, IDS, NAMES) == [fault]
    with pytest.raises(ValueError, match=r"^lettuce_butterhead "):
        figure_of(SOUND | change, IDS, NAMES)


def test_all_faults_of_a_row_are_told_at_once() -> None:
    broken = SOUND | {"source_id": "", "evidence": "", "typical": "x", "unit": ""}
    with pytest.raises(ValueError, match="lettuce_butterhead days_tray") as caught:
        figure_of(broken, IDS, NAMES)
    assert str(caught.value).count(";") == 3


@pytest.mark.parametrize("mark", ["MEMORY", "COMMON PRACTICE", "ESTIMATE"])
def test_a_figure_without_a_source_must_say_so_with_its_mark(mark: str) -> None:
    assert faults_of(SOUND | {"source_id": NO_SOURCE, "evidence": mark}, IDS, NAMES) == []


@pytest.mark.parametrize(
    ("mark", "weak"), [(mark, mark in {"MEMORY", "ESTIMATE"}) for mark in MARKS], ids=list(MARKS)
)
def test_memory_and_estimates_are_weak(mark: str, weak: bool) -> None:
    assert figure_of(SOUND | {"evidence": mark}, IDS, NAMES).is_weak is weak


def _rows(name: str) -> list[dict[str, str]]:
    folder = Path(crops.__file__).parent
    with (folder / name).open(newline="", encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


def test_no_row_of_the_library_has_a_fault() -> None:
    ids = {row["source_id"] for row in _rows("sources.csv")}
    names = {row["figure"] for row in _rows("figure_names.csv")}
    rows = _rows("figures.csv")
    faults = {f"{row['crop']} {row['figure']}": faults_of(row, ids, names) for row in rows}
    assert {where: found for where, found in faults.items() if found} == {}


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("figures.csv", ("crop", "figure")),
        ("cards.csv", ("card",)),
        ("sources.csv", ("source_id",)),
        ("figure_names.csv", ("figure",)),
    ],
)
def test_no_key_stands_twice(name: str, key: tuple[str, ...]) -> None:
    keys = [tuple(row[column] for column in key) for row in _rows(name)]
    assert len(keys) == len(set(keys)) > 0


def test_every_crop_with_figures_has_a_card_and_the_other_way_round() -> None:
    figures = {row["crop"] for row in _rows("figures.csv")}
    assert figures == {row["card"] for row in _rows("cards.csv")}


def test_every_figure_name_is_used_and_carries_one_unit() -> None:
    units: dict[str, set[str]] = {}
    for row in _rows("figures.csv"):
        units.setdefault(row["figure"], set()).add(row["unit"])
    assert set(units) == {row["figure"] for row in _rows("figure_names.csv")}
    mixed = {name: found for name, found in units.items() if len(found) > 1}
    assert mixed == {"yield_per_plant": {"g", "flowers"}}


def test_every_source_is_marked_with_how_it_was_seen() -> None:
    assert {row["evidence"] for row in _rows("sources.csv")} <= set(MARKS)
    assert all(row["title"] for row in _rows("sources.csv"))
