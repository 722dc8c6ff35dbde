"""Media beds of a book: how many plants they take, and faults of beds that take none or too many."""

import pytest
from helpers import crops_csv, farm_of, faults_of

from scheduler.farm.places import PlaceKind

BEDS = "bed,positions,length,width,spacing,row_spacing"


@pytest.mark.parametrize(
    ("row", "positions"),
    [
        ("B,40,,,,", 40),
        # 12 / 0.5 = 24 along, 1.2 / 0.6 = 2 across
        ("B,,12,1.2,0.5,0.6", 48),
        # a hair too short or too narrow for one more
        ("B,,11.99,1.2,0.5,0.6", 46),
        ("B,,12,1.19,0.5,0.6", 24),
        # without row_spacing as along
        ("B,,12,1.2,0.5,", 48),
    ],
)
def test_a_bed_takes_a_number_or_as_many_as_its_size_gives(tmp_path, row, positions):
    farm = farm_of(tmp_path, beds=f"{BEDS}\n{row}\n")
    (bed,) = farm.places_of(PlaceKind.BED)
    assert bed.slots.highest() == positions


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("B,,12,0.5,0.5,0.6", "0.5 with plants 0.6 apart"),
        ("B,,0.4,1.2,0.5,0.6", "0.4 with plants 0.5 apart"),
        ("B,,2000,200,0.02,0.02", "at most 20000"),
    ],
)
def test_a_bed_that_takes_no_plant_or_too_many_is_a_fault(tmp_path, row, said):
    (fault,) = faults_of(tmp_path, beds=f"{BEDS}\n{row}\n")
    assert "beds" in fault
    assert said in fault


@pytest.mark.parametrize(
    ("given", "missing"),
    [
        ({}, ["pick_weeks", "yield_per_plant"]),
        ({"pick_weeks": "20"}, ["yield_per_plant"]),
        ({"pick_weeks": "20", "yield_per_plant": "0.3"}, []),
        ({"card": "tomato_cherry"}, []),
    ],
)
def test_only_a_card_of_a_crop_for_beds_knows_how_long_and_how_much_is_picked(tmp_path, given, missing):
    # what a card for rafts says of its harvest is the slip and the weight of a single cut
    crop = {"card": "mint", "finish": "bed", "days_bed": "28", "survival_bed_percent": "95"}
    sold = "product,crop,mass_per_unit\nButterhead head,Butterhead,0.04\n"
    found = faults_of(tmp_path, beds="bed,positions\nB,40\n", crops=crops_csv(**crop | given), products=sold)
    assert [each.partition(": ")[2] for each in found] == [
        f"found a blank cell, and card mint is for tray > raft; expected {column} of 'Butterhead', or its "
        "rows in yield_curve"
        for column in missing
    ]
