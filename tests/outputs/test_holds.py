"""What the places hold is said in words."""

from dataclasses import replace

import pytest
from farms import make_crop, make_farm
from samples import small_farm

from scheduler.farm.places import Steps
from scheduler.outputs.holds import grown, holds


def test_each_shelf_and_trough_is_one_line():
    assert holds(small_farm()) == [
        "Shelf A: 2 tiers of 4 trays",
        "North trough: 2 rows of 9 rafts, North trough boards for 6 boards",
    ]


def test_rows_of_different_length_and_changing_ones_are_told_apart():
    farm = small_farm()
    changing = replace(farm.places[-1], slots=Steps(((0, 9), (20, 5))))
    farm = replace(farm, places=(*farm.places[:-1], changing))
    assert (
        holds(farm)[1]
        == "North trough: 1 row of 9 rafts, 1 row of up to 9 rafts, North trough boards for 6 boards"
    )


@pytest.mark.parametrize(
    ("by_mass", "curve", "said"),
    [
        (True, (17_647,) * 17, "picked on 2 days a week for 17 weeks, 300 g a plant in all"),
        (False, (1000,), "picked on 2 days a week for 1 week, 1 piece a plant in all"),
    ],
)
def test_a_crop_in_a_bed_tells_how_often_how_long_and_how_much_it_is_picked(by_mass, curve, said):
    crop = make_crop("Mint", tray=(14, 1, 10_000), bed=(28, 9_500), curve=curve, by_mass=by_mass, a_week=2)
    farm = make_farm(crops=[crop], beds={"Bed": 6})
    assert grown(farm) == [f"Mint: 14 days in the tray, 28 in the bed; {said}"]
