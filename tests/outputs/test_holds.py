"""What the places hold is said in words."""

from dataclasses import replace

from samples import small_farm

from scheduler.farm.places import Steps
from scheduler.outputs.holds import holds


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
