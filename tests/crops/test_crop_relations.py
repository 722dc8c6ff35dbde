"""Relations between the figures that hold over the whole library, typical values unless said."""

import itertools
import math

import pytest

from crops.arithmetic import days_hole_held, seeds_to_sow
from crops.library import Card, card, cards

CARDS = {found.name: found for found in cards()}
RAFT = [name for name, found in CARDS.items() if found.route.endswith("raft")]
BOARD = [name for name, found in CARDS.items() if "board" in found.route]
MICRO = [name for name, found in CARDS.items() if found.group == "microgreen"]
LETTUCES = [name for name, found in CARDS.items() if found.group == "lettuce"]

every_card = pytest.mark.parametrize("name", CARDS)
every_raft_crop = pytest.mark.parametrize("name", RAFT)

PLANNED = [
    "days_germination",
    "days_tray",
    "wait_tray",
    "days_raft",
    "harvest_window",
    "cuts",
    "plants_per_m2_raft",
    "germination_percent_typical",
    "seeds_per_cell",
    "survival_tray",
    "survival_raft",
    "saleable_share",
    "plants_per_sale_unit",
    "keeping_days",
    "soak_hours",
    "dark_days",
    "dome_days",
    "thin_day",
    "minutes_sow_tray",
    "minutes_plant_raft",
    "minutes_cut_plant",
    "minutes_wash_unit",
]
ON_BOARDS = ("days_board", "wait_board", "plants_per_m2_board", "survival_board", "minutes_plant_board")


def known(found: Card, name: str) -> float:
    """Return a figure that must be there."""
    value = found.value(name)
    assert value is not None, f"{found.name} has no {name}"
    return value


@every_card
def test_low_typical_and_high_rise(name: str) -> None:
    for figure in CARDS[name].figures.values():
        values = [value for value in (figure.low, figure.typical, figure.high) if value is not None]
        assert values == sorted(values), figure.name


@every_raft_crop
def test_every_raft_crop_has_all_the_planner_needs(name: str) -> None:
    missing = [figure for figure in PLANNED if CARDS[name].value(figure) is None]
    assert missing == []
    assert [CARDS[name].value(figure) is not None for figure in ON_BOARDS] == [name in BOARD] * 5


@every_card
def test_seedlings_emerge_and_lose_lid_and_dark_before_they_leave_the_tray(name: str) -> None:
    tray = known(CARDS[name], "days_tray")
    for figure in ("days_germination", "wait_tray", "dark_days", "dome_days", "thin_day"):
        value = CARDS[name].value(figure)
        assert value is None or value < tray, figure
    assert CARDS[name].value("thin_day") in (None, 0) or known(CARDS[name], "thin_day") > known(
        CARDS[name], "days_germination"
    )


@every_card
def test_the_total_is_the_sum_of_the_stages(name: str) -> None:
    stages = [CARDS[name].value(f"days_{stage}") or 0 for stage in ("tray", "board", "raft", "bed")]
    assert sum(stages) == known(CARDS[name], "days_total")
    assert sum(1 for days in stages if days) == len(CARDS[name].route.split(" > "))


@every_card
def test_plants_get_more_room_at_every_move(name: str) -> None:
    steps = [CARDS[name].value(f"plants_per_m2_{stage}") for stage in ("tray", "board", "raft", "bed")]
    densities = [step for step in steps if step is not None]
    assert all(first > second for first, second in itertools.pairwise(densities))


def test_basil_and_lettuce_cannot_share_a_cooler() -> None:
    basil = card("basil_genovese").figures
    for name in LETTUCES:
        lettuce = CARDS[name].figures
        high = lettuce["keeping_temperature"].high
        assert high is not None
        assert (basil["keeping_temperature"].low or 0) > high
        if "keeping_days_at_5C" in lettuce:
            assert (basil["keeping_days_at_0_5C"].high or 0) < (lettuce["keeping_days_at_5C"].low or 0)
    assert (basil["keeping_days_at_0_5C"].high, basil["keeping_temperature"].low) == (3, 8)


def test_a_crop_cut_again_holds_its_hole_until_the_last_cut() -> None:
    basil = card("basil_genovese")
    cuts, interval = int(known(basil, "cuts")), known(basil, "cut_interval")
    assert days_hole_held(28, cuts, interval) == 112, "the four-cut trial: 28 d and three times 28 d"
    assert days_hole_held(known(basil, "days_raft"), cuts, interval) == 105


@every_card
def test_a_crop_cut_again_has_an_interval_no_shorter_than_its_window(name: str) -> None:
    found = CARDS[name]
    cuts = found.value("cuts")
    assert (cuts is None) == (found.group == "bed crop"), "a bed is picked through its season"
    if cuts is not None and cuts > 1:
        assert known(found, "harvest_window") <= known(found, "cut_interval")


@every_card
def test_the_word_for_the_harvest_agrees_with_the_cuts(name: str) -> None:
    found = CARDS[name]
    cuts = found.value("cuts") or 1
    if found.group in ("flower", "bed crop"):
        assert found.harvest == "picked"
    else:
        assert found.harvest == ("cut again" if cuts > 1 else "cut once")


@every_card
def test_germination_beats_the_legal_minimum_and_shares_are_shares(name: str) -> None:
    found = CARDS[name]
    typical = found.value("germination_percent_typical")
    legal = found.value("germination_percent_legal_min")
    if typical is not None:
        assert (legal or 0) < typical <= 100
    shares = [figure for figure in found.figures.values() if figure.unit == "fraction"]
    assert shares
    for figure in shares:
        assert (figure.low or figure.typical) > 0
        assert (figure.high or figure.typical) <= 1


def seeds_for(plants: int, name: str) -> int:
    """Seeds for so many good plants, one seed in a cell: germination and every survival count."""
    share = known(CARDS[name], "germination_percent_typical")
    for stage in ("tray", "board", "raft"):
        share *= CARDS[name].value(f"survival_{stage}") or 1
    return seeds_to_sow(plants, share)


def test_slow_and_weak_seed_needs_more_of_it_than_lettuce() -> None:
    lettuce = max(seeds_for(100, name) for name in LETTUCES if name != "lettuce_butterhead")
    for name in ("parsley_flat", "parsley_curly", "spinach", "watercress"):
        assert seeds_for(100, name) > lettuce > 100
    assert seeds_for(100, "lettuce_romaine") == math.ceil(100 / (0.95 * 0.95 * 0.97 * 0.95))


@every_card
def test_crops_bolt_above_the_temperature_they_like(name: str) -> None:
    bolting = CARDS[name].value("bolting_temp")
    assert bolting is None or known(CARDS[name], "best_air_temp") <= bolting


def test_microgreens_have_one_stage_and_are_cut_before_any_lettuce() -> None:
    assert {CARDS[name].value("stages") for name in MICRO} == {1}
    slowest = max(known(CARDS[name], "days_total") for name in MICRO)
    assert slowest < min(known(CARDS[name], "days_total") for name in LETTUCES)


@every_raft_crop
def test_a_sale_unit_weighs_about_what_its_plants_weigh(name: str) -> None:
    found = CARDS[name]
    mass = found.value("sale_unit_mass")
    if mass is not None:
        plants = known(found, "plants_per_sale_unit") * known(found, "yield_per_plant")
        assert 0.7 <= plants / mass <= 2.0


@every_raft_crop
def test_planting_minutes_follow_the_number_of_holes(name: str) -> None:
    found = CARDS[name]
    if name in ("baby_leaf_mix", "spinach"):
        assert known(found, "minutes_plant_raft") == 6, "laid in strips, not plant by plant"
        return
    holes = round(known(found, "plants_per_m2_raft") * 0.6096 * 1.2192)
    assert known(found, "minutes_plant_raft") == pytest.approx(1 + holes * 60 / 624, abs=0.06)


def test_losses_are_not_counted_twice() -> None:
    # The raft's survival already counts only what is saleable, so the share sold of it starts at 1.
    assert {known(CARDS[name], "saleable_share") for name in RAFT} == {1}
    butterhead = card("lettuce_butterhead")
    both = known(butterhead, "germination_percent_typical") / 100 * known(butterhead, "survival_tray")
    assert both == pytest.approx(known(butterhead, "usable_plants_per_seed"), abs=0.02)


@every_card
def test_added_handling_and_work_figures_are_never_dressed_as_read(name: str) -> None:
    read = {
        figure.name
        for figure in CARDS[name].figures.values()
        if figure.evidence in ("READ", "READ-2")
        and (figure.name.startswith("minutes_") or figure.name in ("dome_days", "thin_day", "saleable_share"))
    }
    assert read == ({"dome_days", "thin_day"} if name == "lettuce_butterhead" else set())
