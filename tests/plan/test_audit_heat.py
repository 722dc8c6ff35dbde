"""Heat: a lot sown into refused heat is told, one a day before or after passes, and so does all else."""

from dataclasses import replace

import pytest
from farms import growing, make_crop, make_farm
from plans import Batch, judged

from scheduler.farm.crops import StageKind
from scheduler.farm.growth.climate import Climate, Temperatures


def farm_with(heat="refuse", **needs):
    """Lettuce that bears 24 C (10 days in trays, 24 in the trough); the trough has 26 C in May 2026."""
    crop = replace(make_crop("Lettuce"), heat_limit=2400, seed_heat=3500)
    air = needs.pop("air", Temperatures(months={"Trough": {5: 2600}}))
    farm = make_farm(**({"crops": [crop], "rules": {"heat": heat}, "days": 150} | needs))
    return replace(farm, climate=Climate(air=air))


def sown(day):
    return Batch(sown=day, board_day=day + 10, raft_day=day + 20, cuts=((day + 34, 6),))


@pytest.mark.parametrize(
    ("day", "fault"),
    [
        (26, None),
        (27, "heat | LET-260329 | 2026-03-29: Lettuce would stand in 26 °C in Trough on 2026-05-01"),
        (80, "heat | LET-260521 | 2026-05-21: Lettuce would stand in 26 °C in Trough on 2026-05-31"),
        (81, None),
    ],
)
def test_nothing_is_sown_that_would_meet_a_day_above_its_limit_before_its_first_cut(day, fault):
    assert judged(farm_with(), sown(day)) == ([fault] if fault else [])


@pytest.mark.parametrize("heat", ["warn", "ignore"])
def test_a_book_that_does_not_refuse_heat_lets_it_be_sown(heat):
    assert judged(farm_with(heat), sown(40)) == []


def test_air_at_the_limit_passes_and_a_hundredth_above_is_told():
    may = Temperatures(months={"Trough": {5: 2400}})
    assert judged(farm_with(air=may), sown(40)) == []
    may = Temperatures(months={"Trough": {5: 2401}})
    assert len(judged(farm_with(air=may), sown(40))) == 1


def test_seed_is_not_sown_into_air_from_which_none_comes_up_but_on_the_day_of_sowing_alone():
    march = Temperatures(months={"Shelf": {4: 3500}})
    assert judged(farm_with(air=march), sown(30)) == [
        "heat | LET-260401 | 2026-04-01: Lettuce would stand in 35 °C in Shelf on 2026-04-01"
    ]
    assert judged(farm_with(air=march), sown(29)) == []
    assert judged(farm_with(air=Temperatures(months={"Shelf": {4: 3499}})), sown(30)) == []


def test_a_hot_trough_that_the_lot_does_not_go_to_counts_as_well_if_it_might_have_gone_there():
    farm = farm_with(lanes=2, air=Temperatures(months={"Glass house": {5: 2600}}))
    other = replace(farm.places[-1], belongs_to="Glass house")
    farm = replace(farm, places=(*farm.places[:-1], other))
    assert len(judged(farm, sown(40))) == 1
    kept = replace(farm.crops["Lettuce"], lanes=frozenset({"Trough 1"}))
    assert judged(replace(farm, crops={"Lettuce": kept}), sown(40)) == []


def test_what_grows_on_the_first_day_may_stand_in_heat():
    found = growing("Lettuce", StageKind.RAFT, -9, 6, 1)
    farm = farm_with(growing=[found], air=Temperatures(months={"Trough": {3: 2600}}))
    assert judged(farm, Batch(found=found, cuts=((5, 6),))) == []


def test_a_slow_trough_meets_the_heat_later_on():
    # 24 card days in the trough take 48: the day of the first cut is sowing + 58
    farm = farm_with(pace={"Trough": 500})
    late = Batch(sown=2, board_day=12, raft_day=32, cuts=((60, 6),))
    assert judged(farm, late) == []
    later = Batch(sown=3, board_day=13, raft_day=33, cuts=((61, 6),))
    assert [fault.split(":")[0] for fault in judged(farm, later)] == ["heat | LET-260305 | 2026-03-05"]
