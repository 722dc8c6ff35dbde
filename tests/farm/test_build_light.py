"""Light, sunshine and temperatures of a book: the pace that is worked out from them, and for which places."""

import math
from datetime import date

import pytest
from helpers import TABLES, farm_of

from scheduler.farm.growth import sun

HERE = {"latitude": "52"}
UNDER_GLASS = "place,cover_percent\n,60\n"
SOUTH = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
COLD = "place,month,water\n,3,11\n"


def built(folder, settings=None, **tables):
    return farm_of(folder, {**HERE, **(settings or {})}, **tables)


def by_hand(latitude, month, middle, share=0.3):
    """Light at the plants where half the light above the air comes down and 60 percent gets through."""
    above = sun.radiation_above_air(latitude, sun.day_of_year(month, middle))
    return share * above * 0.45 * 4.57


def test_a_farm_without_these_tables_grows_at_the_card_s_days(tmp_path):
    farm = farm_of(tmp_path)
    assert (dict(farm.climate.halves), dict(farm.climate.read)) == ({}, {})
    assert farm.pace.signature("North trough") == (1000,) * 24


def test_pace_is_the_light_at_the_plants_against_17_mol_in_whole_hundredths_rounded_down(tmp_path):
    farm = built(tmp_path, light=UNDER_GLASS)
    for half in range(24):
        at_plants = by_hand(52, half // 2 + 1, (8, 23)[half % 2])
        found = farm.climate.halves["North trough"][half]
        assert found.light == math.floor(at_plants * 100)
        assert found.pace == min(100, math.floor(100 * at_plants / 17)) * 10
        assert found.held_by == ("light" if found.pace < 1000 else "")
    paces = farm.pace.signature("North trough")
    assert (paces[0], paces[11], paces[23]) == (250, 1000, 220)
    assert paces == tuple(found.pace for found in farm.climate.halves["North trough"])


def test_the_plan_sees_it_on_its_dates(tmp_path):
    pace = built(tmp_path, light=UNDER_GLASS).pace
    march = pace.signature("North trough")[4:6]
    assert march[0] < march[1]
    assert (pace.on("North trough", 0), pace.on("North trough", 14)) == march
    assert pace.on("Shelf A", 0) == 1000


def test_the_south_has_its_winter_in_june(tmp_path):
    paces = built(tmp_path, {"latitude": "-40"}, light=UNDER_GLASS).pace.signature("North trough")
    assert paces[11] < 600 < paces[23] == 1000


def test_the_longest_night_leaves_the_lowest_pace_a_book_may_give(tmp_path):
    farm = built(tmp_path, {"latitude": "78"}, light=UNDER_GLASS)
    december = farm.climate.halves["North trough"][23]
    assert (december.light, december.pace, december.held_by) == (0, 50, "light")
    assert farm.pace.first_day_reached("North trough", 270, 14) > 270 + 60


def test_more_light_than_the_card_s_makes_nothing_faster(tmp_path):
    lamps = "place,lamp_light\nNorth trough,40\n"
    assert farm_of(tmp_path, light=lamps).pace.signature("North trough") == (1000,) * 24


@pytest.mark.parametrize(
    ("sunshine", "share"),
    [
        ("month,sunshine_percent\n3,100\n", 0.75),
        ("month,sunshine_percent\n3,0\n", 0.25),
        ("month,sunshine_percent\n3,28\n", 0.39),
        ("month,cloud_percent\n3,72\n", 0.39),
        ("month,cloud_percent\n4,72\n", 0.5),
    ],
)
def test_sun_or_cloud_of_a_month_says_how_much_comes_down(tmp_path, sunshine, share):
    farm = built(tmp_path, light=UNDER_GLASS, sunshine=sunshine)
    found = farm.climate.halves["North trough"][4].light
    assert found == math.floor(by_hand(52, 3, 8, 0.6 * share) * 100)


def test_lamps_add_to_what_comes_through_the_cover_as_flux_and_hours_or_over_the_day(tmp_path):
    dark = built(tmp_path, light=UNDER_GLASS).climate.halves["North trough"][0].light
    flux = "place,cover_percent,lamp_flux,lamp_hours\n,60,100,10\n"
    whole = "place,cover_percent,lamp_light\n,60,3.6\n"
    for table in (flux, whole):
        assert built(tmp_path, light=table).climate.halves["North trough"][0].light == dark + 360


def test_a_shelf_keeps_its_own_pace_unless_it_has_a_row_of_its_own(tmp_path):
    assert built(tmp_path, light=UNDER_GLASS).pace.signature("Shelf A") == (1000,) * 24
    lamps = "place,lamp_flux,lamp_hours,full_light\nShelf A,150,16,10.8\n"
    farm = farm_of(tmp_path, light=lamps)
    assert {half.light for half in farm.climate.halves["Shelf A"]} == {864}
    assert farm.pace.signature("Shelf A") == (800,) * 24
    assert farm.pace.signature("North trough") == (1000,) * 24


def test_a_month_s_row_stands_in_full_for_the_row_of_every_month(tmp_path):
    table = "place,month,cover_percent,lamp_light\n,,60,\n,7,30,\n,1,60,5\n"
    shaded = built(tmp_path, light=table).climate.halves["North trough"]
    plain = built(tmp_path, light=UNDER_GLASS).climate.halves["North trough"]
    assert shaded[12].light == pytest.approx(plain[12].light / 2, abs=1)
    assert shaded[0].light == plain[0].light + 500
    assert shaded[2:12] == plain[2:12]


def test_a_place_with_rows_of_its_own_does_not_take_those_for_every_trough(tmp_path):
    table = "place,month,cover_percent\n,,60\nSouth trough,3,40\nNorth trough boards,3,20\n"
    farm = built(tmp_path, light=table, troughs=SOUTH)
    north, south = farm.climate.halves["North trough"], farm.climate.halves["South trough"]
    assert north[4].light == math.floor(by_hand(52, 3, 8, 0.5 * 0.2) * 100)
    assert south[4].light == math.floor(by_hand(52, 3, 8, 0.5 * 0.4) * 100)
    assert [half for half, found in enumerate(south) if found] == [4, 5]
    assert farm.pace.on("South trough", 31) == 1000


def test_cold_water_is_a_second_limit_and_the_lower_of_the_two_counts(tmp_path):
    only = farm_of(tmp_path, temperatures=COLD)
    assert [only.pace.on("North trough", day) for day in (-1, 0, 29, 30)] == [500, 500, 500, 1000]
    march = only.climate.halves["North trough"][4]
    assert (march.pace, march.light, march.water, march.held_by) == (500, None, 1100, "water")
    both = built(tmp_path, light="place,cover_percent\n,60\n", temperatures=COLD + ",5,11\n,12,11\n")
    assert [both.climate.halves["North trough"][half].held_by for half in (4, 9, 23)] == [
        "water",
        "water",
        "light",
    ]


def test_the_book_says_from_which_water_the_card_s_days_hold(tmp_path):
    farm = farm_of(tmp_path, {"full_water": "11"}, temperatures=COLD)
    assert farm.pace.on("North trough", 0) == 1000
    farm = farm_of(tmp_path, {"full_water": "24"}, temperatures=COLD)
    assert farm.pace.on("North trough", 0) == 350


def test_a_reading_counts_for_seven_days_or_up_to_the_next_and_goes_before_the_month(tmp_path):
    read = "place,month,date,water\n,3,,18\n,,2026-03-03,11\n,,2026-03-07,9.6\n"
    pace = farm_of(tmp_path, temperatures=read).pace
    assert [pace.on("North trough", day) for day in (0, 1, 4, 5, 11, 12)] == [1000, 500, 500, 400, 400, 1000]


def test_a_reading_makes_places_grow_apart(tmp_path):
    read = "place,month,date,water\n,3,,18\nSouth trough,3,,18\nSouth trough,,2026-03-03,11\n"
    pace = farm_of(tmp_path, temperatures=read, troughs=SOUTH).pace
    assert pace.signature("North trough") != pace.signature("South trough")
    assert (pace.on("North trough", 1), pace.on("South trough", 1)) == (1000, 500)


def test_temperatures_for_every_trough_are_kept_by_those_with_others_of_another_kind_only(tmp_path):
    table = "place,month,water,air\n,3,11,\nSouth trough,3,,20\n"
    farm = farm_of(tmp_path, temperatures=table, troughs=SOUTH)
    assert (farm.pace.on("South trough", 0), farm.pace.on("North trough", 0)) == (500, 500)
    first = farm.calendar.first_day
    assert farm.climate.air_on("South trough", 0, first) == 2000
    assert farm.climate.air_on("North trough", 0, first) is None


def test_a_pace_the_book_gives_goes_before_the_light_and_may_pass_1(tmp_path):
    pace = "place,month,pace\nNorth trough,3,1.5\n"
    found = built(tmp_path, light=UNDER_GLASS, pace=pace).pace
    assert found.on("North trough", 0) == 1500
    assert found.on("North trough", 31) == built(tmp_path, light=UNDER_GLASS).pace.on("North trough", 31)


def test_troughs_under_one_cover_grow_alike_and_others_do_not(tmp_path):
    pace = built(tmp_path, light=UNDER_GLASS, troughs=SOUTH).pace
    assert pace.signature("North trough") == pace.signature("South trough")
    table = UNDER_GLASS + "South trough,50\n"
    pace = built(tmp_path, light=table, troughs=SOUTH).pace
    assert pace.signature("North trough") != pace.signature("South trough")


def test_every_year_is_alike_leap_years_too(tmp_path):
    farms = [
        built(tmp_path, {"first_day": first, "weeks": "2"}, light=UNDER_GLASS)
        for first in ("2027-02-22", "2028-02-21")
    ]
    signatures = {farm.pace.signature("North trough") for farm in farms}
    assert len(signatures) == 1
    common, leap = farms
    assert leap.pace.on("North trough", leap.calendar.day_of(date(2028, 2, 29))) == common.pace.on(
        "North trough", common.calendar.day_of(date(2027, 2, 28))
    )
