"""What the workbook says of seed, outlets and crops of every kind, in the words of the farm."""

from dataclasses import replace

import pytest
from farms import make_crop, make_farm, make_greens
from samples import small_farm, small_plan

from scheduler.outputs.workbook.harvest import harvests_sheet, lots_sheet
from scheduler.outputs.workbook.summary import words_of
from scheduler.plan.rows import SeedRow

BOUGHT = replace(make_crop("Tomato"), bought=True)
GREENS = make_greens("Radish greens", days=5, window=3, grams=250)


def sown(*seeds):
    """Return what the workbook says of seed sown: crop and number of each."""
    rows = tuple(
        SeedRow(crop=crop, variety="", day=at, cells=1, seeds=number, cost=100)
        for at, (crop, number) in enumerate(seeds)
    )
    farm = make_farm(crops=[make_crop("Lettuce"), BOUGHT, GREENS])
    return dict(words_of(farm, small_plan(seed=rows)))["Seed sown"]


def test_seed_that_is_weighed_and_plugs_that_are_bought_are_told_beside_seeds():
    assert sown(("Radish greens", 340)) == "340 g for 1.00 EUR."
    assert sown(("Lettuce", 98), ("Tomato", 1), ("Lettuce", 2)) == "100 seeds and 1 plug for 3.00 EUR."
    assert (
        sown(("Lettuce", 9), ("Tomato", 8), ("Radish greens", 7)) == "9 seeds, 8 plugs and 7 g for 3.00 EUR."
    )
    assert sown() == "0 seeds."


@pytest.mark.parametrize("sheet", [lots_sheet, harvests_sheet])
def test_no_two_headings_are_alike_where_every_crop_is_sold_as_plants_in_their_trays(sheet):
    herbs = make_greens("Basil", days=20, window=5)
    farm = replace(small_farm(), crops={"Basil": herbs})
    headings = [column.heading.casefold() for column in sheet(farm, small_plan()).columns]
    assert sorted(set(headings)) == sorted(headings)
