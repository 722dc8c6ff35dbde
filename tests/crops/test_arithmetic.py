"""Sums growers do on paper."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crops.arithmetic import area_for, days_hole_held, plants_standing, seeds_to_sow


def test_area_adds_up_over_the_stages() -> None:
    assert area_for(10, [(10, 100), (20, 25)]) == 1 + 8
    assert area_for(10, []) == 0


def test_plants_standing_is_the_rate_times_the_stay() -> None:
    assert plants_standing(1200, 12) == 14_400


def test_a_crop_cut_once_holds_its_hole_for_its_raft_days() -> None:
    assert days_hole_held(14, 1, 0) == 14
    assert days_hole_held(14, 2, 10) == 24


@pytest.mark.parametrize(
    ("plants", "percent", "seeds"), [(100, 100, 100), (100, 80, 125), (0, 50, 0), (1, 99, 2), (7, 92.5, 8)]
)
def test_seeds_round_up(plants: int, percent: float, seeds: int) -> None:
    assert seeds_to_sow(plants, percent) == seeds


@pytest.mark.parametrize("percent", [0, -5, 100.5])
def test_a_germination_outside_its_range_is_refused(percent: float) -> None:
    with pytest.raises(ValueError, match="is not between 0 and 100"):
        seeds_to_sow(100, percent)


@given(plants=st.integers(1, 5000), percent=st.integers(1, 100))
def test_the_seeds_are_enough_and_one_fewer_would_not_be(plants: int, percent: int) -> None:
    seeds = seeds_to_sow(plants, percent)
    assert seeds * percent >= plants * 100
    assert (seeds - 1) * percent < plants * 100
