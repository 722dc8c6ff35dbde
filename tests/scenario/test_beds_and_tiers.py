"""One bed more or less, and tiers kept for one use."""

from datetime import date

import pytest
from helpers import TABLES
from scenarios import changed_of, farm_with, faults_with, one

MARCH = date(2026, 3, 30)
"""Day 28 of the small book."""

BED_CROP = {
    "crops": (
        "crop,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_percent,"
        "survival_tray_percent,survival_board_percent,survival_raft_percent,finish,beds,days_bed,"
        "picks_a_week,yield_in,yield_per_plant,pick_weeks,survival_bed_percent\n"
        "Butterhead,14,3,14,3,21,7,95,90,97,97,,,,,,,,\n"
        "Cucumber,14,3,,,,,95,90,,,bed,Bed 1,7,2,pieces,20,6,97\n"
    ),
    "products": TABLES["products"] + "Cucumber,Cucumber\n",
    "beds": "bed,length,width,spacing,as_place\nBed 1,4,1,0.5,North trough\nBed 9,4,1,0.5,\n",
}


def beds(farm):
    return {
        place.name: (place.slots.on(0), place.slots.on(28)) for place in farm.places if "Bed" in place.name
    }


def test_an_added_bed_is_like_the_other_and_opens_on_its_day(tmp_path):
    farm = farm_with(tmp_path, one("add bed", bed="Bed 2", length=6, from_=MARCH), **BED_CROP)
    assert beds(farm) == {"Bed 1": (16, 16), "Bed 2": (0, 24), "Bed 9": (16, 16)}
    assert farm.crops["Cucumber"].picking.beds == {"Bed 1", "Bed 2"}


def test_a_bed_like_another_one_takes_its_place_in_the_light_and_its_crops(tmp_path):
    made = changed_of(tmp_path, one("add bed", bed="Bed 2", like="Bed 9", positions=30), **BED_CROP)
    (row,) = [row for row in made.book().rows("beds") if row.text("bed") == "Bed 2"]
    assert (row.whole("positions"), row.is_given("length"), row.is_given("as_place")) == (30, False, False)
    (crop,) = [row for row in made.book().rows("crops") if row.text("crop") == "Cucumber"]
    assert crop.words("beds") == ("Bed 1",)


def test_a_removed_bed_ends_on_the_day_before_or_is_gone_with_what_is_said_of_it(tmp_path):
    farm = farm_with(tmp_path, one("remove bed", bed="Bed 9", from_=MARCH), **BED_CROP)
    assert beds(farm)["Bed 9"] == (16, 0)
    farm = farm_with(
        tmp_path, one("remove bed", bed="Bed 9"), **BED_CROP, pace="place,month,pace\nBed 9,3,0.5\n"
    )
    assert set(beds(farm)) == {"Bed 1"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (one("remove bed", bed="Bed 1"),
         "s1.toml: change 1 (remove bed), bed: found 'Bed 1', the only bed 'Cucumber' may stand in; expected "
         "another change that gives the crop a bed, or drops it"),
        (one("remove bed", bed="Bed 3"),
         "s1.toml: change 1 (remove bed), bed: found 'Bed 3'; expected 'Bed 9'?"),
        (one("add bed", bed="Bed 9"),
         "s1.toml: change 1 (add bed), bed: found 'Bed 9' again; expected a name of its own "
         "(beds!A3 has it)"),
        (one("add bed", bed="Bed 2", length=0.3),
         "s1.toml: change 1 (add bed), length: found 0.3 with plants 0.5 apart; expected a length that "
         "takes at least one plant"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_at_its_key(tmp_path, text, told):
    (fault,) = faults_with(tmp_path, text, **BED_CROP)
    assert fault == told


def tiers(made):
    rows = made.book().rows("shelves")
    return {
        row.text("shelf"): (row.whole("tiers"), row.words("nursery_tiers"), row.words("greens_tiers"))
        for row in rows
    }


def test_tiers_are_kept_for_one_use(tmp_path):
    made = changed_of(tmp_path, one("keep tiers", shelf="Shelf A", greens_tiers=["2"]))
    assert tiers(made)["Shelf A"][1:] == ((), ("2",))
    texts = [
        one("add tiers", shelf="Shelf A", tiers=2, kept_for="greens"),
        one("keep tiers", shelf="Shelf A", nursery_tiers=["1"]),
    ]
    found = [tiers(changed_of(tmp_path, *order))["Shelf A"] for order in (texts, texts[::-1])]
    assert found[0] == found[1]
    before = found[0][0] - 2
    assert found[0][1:] == (("1",), (str(before + 1), str(before + 2)))


def test_tiers_that_are_not_there_are_told_at_the_key(tmp_path):
    (fault,) = faults_with(tmp_path, one("keep tiers", shelf="Shelf A", greens_tiers=["40"]))
    assert fault.startswith("s1.toml: change 1 (keep tiers), greens_tiers: found '40'")
    (fault,) = faults_with(tmp_path, one("keep tiers", shelf="Shelf A"))
    assert fault.startswith("s1.toml: change 1 (keep tiers), nursery_tiers: found no tiers")
