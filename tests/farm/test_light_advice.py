"""Notes on light, water and heat: each is given when it should be, with its cell, and not otherwise."""

import pytest
from helpers import TABLES, crops_csv, write_book

from scheduler.book.book import read_book
from scheduler.farm.advice.light import describe_pace, light_notes
from scheduler.farm.build import build_farm

SUN = "month,sunshine_percent\n" + "".join(f"{month},40\n" for month in range(1, 13))
GLASS = "place,cover_percent\n,60\n"
EVERY_MONTH = "place,month,pace\n" + "".join(f",{month},0.9\n" for month in range(1, 13))
JULY = "place,month,air\n,7,26\n"


def notes(folder, settings=None, **tables):
    book = read_book(write_book(folder, {"latitude": "52", "weeks": "30", **(settings or {})}, **tables))
    return [str(note) for note in light_notes(build_farm(book), book)]


@pytest.mark.parametrize(
    ("settings", "tables", "expected"),
    [
        ({}, {}, []),
        ({}, {"light": GLASS, "sunshine": SUN}, []),
        (
            {},
            {"light": GLASS},
            ["light!B2: sunshine has no row for any month; 50 percent of the hours with sun is taken"],
        ),
        (
            {},
            {
                "light": GLASS,
                "sunshine": "month,sunshine_percent\n" + "".join(f"{m},40\n" for m in range(2, 12)),
            },
            ["light!B2: sunshine has no row for months 1 and 12; 50 percent of the hours with sun is taken"],
        ),
        ({}, {"light": "place,lamp_light\n,12\n"}, []),
        (
            {"latitude": "70"},
            {"light": GLASS, "sunshine": SUN},
            [
                "light!A2: hardly anything grows in 'North trough' for want of light in months 1, 2, 11 "
                "and 12; pace 0.05 is taken"
            ],
        ),
        (
            {},
            {"temperatures": "place,month,water\nNorth trough,1,4\nNorth trough,3,18\n"},
            [
                "temperatures!A2: hardly anything grows in 'North trough' for want of warmth in the water in "
                "month 1; pace 0.05 is taken"
            ],
        ),
        (
            {},
            {"light": GLASS, "sunshine": SUN, "pace": EVERY_MONTH},
            ["light!A2: light of 'North trough' changes nothing: pace has every month, and goes before it"],
        ),
        (
            {},
            {"temperatures": "place,month,water\n,3,11\n", "pace": EVERY_MONTH},
            [
                "temperatures!A2: water of 'North trough' changes nothing: pace has every month, and "
                "goes before it"
            ],
        ),
        (
            {},
            {
                "temperatures": "place,month,water,air\nNorth trough,3,,20\n,3,11,\n",
                "pace": EVERY_MONTH,
            },
            [
                "temperatures!A3: water of 'North trough' changes nothing: pace has every month, and "
                "goes before it"
            ],
        ),
        ({}, {"light": GLASS, "sunshine": SUN, "pace": EVERY_MONTH.replace(",3,0.9", "Shelf A,3,0.9")}, []),
    ],
)
def test_notes_on_light_and_water(tmp_path, settings, tables, expected):
    assert notes(tmp_path, settings, **tables) == expected


HOT = (
    "sowings of 'Butterhead' from 2026-05-14 to 2026-07-17 would stand in heat above 24 °C in 'North trough'"
)


@pytest.mark.parametrize(
    ("heat", "expected"),
    [
        (None, ["crops!L2: " + HOT]),
        ("warn", ["crops!L2: " + HOT]),
        ("refuse", ["crops!L2: " + HOT + " and are left out"]),
        ("ignore", []),
    ],
)
def test_hot_sowings_are_told_unless_the_book_ignores_heat(tmp_path, heat, expected):
    assert notes(tmp_path, {"heat": heat}, temperatures=JULY, crops=crops_csv(heat_limit="24")) == expected


def test_heat_in_all_of_several_troughs_is_told_as_every_trough(tmp_path):
    troughs = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    (found,) = notes(tmp_path, temperatures=JULY, troughs=troughs, crops=crops_csv(heat_limit="24"))
    assert found.endswith("would stand in heat above 24 °C in every trough")
    table = JULY + "South trough,7,20\n"
    (found,) = notes(tmp_path, temperatures=table, troughs=troughs, crops=crops_csv(heat_limit="24"))
    assert found.endswith("would stand in heat above 24 °C in 'North trough'")


def test_heat_in_all_beds_of_a_farm_without_troughs_is_told_bed_by_bed(tmp_path):
    heading = TABLES["crops"].splitlines()[0]
    tables = {
        "troughs": None,
        "board_zones": None,
        "beds": "bed,positions\nBed 1,20\nBed 2,20\n",
        "crops": f"{heading},finish,days_bed,survival_bed_percent,pick_weeks,yield_in,yield_per_plant,"
        "heat_limit\n"
        "Butterhead,14,3,,,,,95,90,,,bed,28,100,2,pieces,4,24\n",
        "temperatures": "place,month,air\nBed 1,7,26\nBed 2,7,26\n",
    }
    (found,) = notes(tmp_path, **tables)
    assert found.endswith("would stand in heat above 24 °C in 'Bed 1' or 'Bed 2'")


def test_the_card_s_limit_is_told_at_the_crop(tmp_path):
    found = notes(tmp_path, temperatures=JULY, crops=crops_csv(card="lettuce_butterhead"))
    assert found == ["crops!A2: " + HOT]


def test_runs_of_several_years_are_counted_after_the_third(tmp_path):
    table = "place,month,air\n,3,26\n,5,26\n,7,26\n,9,26\n"
    crops = crops_csv(heat_limit="24", days_tray="2", days_board="2", days_raft="2")
    (found,) = notes(tmp_path, {"weeks": "52"}, temperatures=table, crops=crops)
    assert found == (
        "crops!L2: sowings of 'Butterhead' from 2026-03-02 to 2026-03-29, from 2026-04-26 to 2026-05-29, "
        "from 2026-06-26 to 2026-07-29 and 2 times more would stand in heat above 24 °C in 'North trough'"
    )


def test_seed_and_plants_have_limits_of_their_own(tmp_path):
    table = "place,month,air\nShelf A,7,36\n,7,26\n"
    (found,) = notes(tmp_path, temperatures=table, crops=crops_csv(card="lettuce_butterhead"))
    assert found == (
        "crops!A2: sowings of 'Butterhead' from 2026-05-14 to 2026-07-31 would stand in heat from 35 °C, in "
        "which none of its seed comes up, in 'Shelf A' and above 24 °C in 'North trough'"
    )


def test_a_fourth_run_is_told_as_once_more_and_months_that_follow_each_other_as_a_range(tmp_path):
    table = "place,month,air\n,3,26\n,5,26\n,7,26\n,9,26\n"
    crops = crops_csv(heat_limit="24", days_tray="2", days_board="2", days_raft="2")
    (found,) = notes(tmp_path, {"weeks": "30"}, temperatures=table, crops=crops)
    assert "and once more would" in found
    (found,) = notes(tmp_path, light=GLASS, sunshine="month,sunshine_percent\n1,40\n2,40\n")
    assert "for months 3 to 12;" in found


def test_heat_that_is_over_or_past_the_plan_is_not_told(tmp_path):
    crops = crops_csv(heat_limit="24")
    assert notes(tmp_path, {"weeks": "8"}, temperatures=JULY, crops=crops) == []


def described(folder, **tables):
    book = read_book(write_book(folder, {"latitude": "52"}, **tables))
    return describe_pace(build_farm(book))


def test_a_pace_that_was_worked_out_is_told_by_half_months(tmp_path):
    (line,) = described(tmp_path, light=GLASS, sunshine=SUN)
    assert line.startswith("North trough: pace worked out: Jan 0.22 0.28, Feb 0.37 ")
    assert line.endswith(
        ", Jun 1 1, Jul 1 1, Aug 1 1, Sep 0.87 0.72, Oct 0.57 0.44, Nov 0.33 0.25, Dec 0.21 0.2"
    )


def test_places_that_grow_alike_share_a_line_and_months_the_book_gives_are_left_out(tmp_path):
    troughs = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    pace = "place,month,pace\n" + "".join(f",{month},0.9\n" for month in range(2, 13))
    assert described(tmp_path, light=GLASS, sunshine=SUN, troughs=troughs, pace=pace) == [
        "North trough, South trough: pace worked out: Jan 0.22 0.28"
    ]
    assert described(tmp_path, light=GLASS, pace=EVERY_MONTH) == []
    assert described(tmp_path) == []


def test_months_of_which_nothing_is_known_are_left_out(tmp_path):
    assert described(tmp_path, temperatures="place,month,water\n,3,11\n") == [
        "North trough: pace worked out: Mar 0.5 0.5"
    ]


@pytest.mark.parametrize(
    ("beds", "tables", "told"),
    [
        ("B,9,\nC,9,\n", {}, "'B' and 'C' grow"),
        ("B,9,\nC,9,North trough\n", {}, "'B' grows"),
        ("B,9,\n", {"light": "place,cover_percent\n,60\nB,50\n"}, ""),
        ("B,9,\n", {"pace": EVERY_MONTH.replace("\n,", "\nB,")}, ""),
        ("B,9,\n", {"light": None}, ""),
    ],
)
def test_beds_at_pace_1_beside_troughs_whose_pace_is_worked_out_are_told(tmp_path, beds, tables, told):
    given = {"light": GLASS, "sunshine": SUN, "beds": f"bed,positions,as_place\n{beds}"} | tables
    found = [note for note in notes(tmp_path, **given) if "pace 1" in note]
    assert found == (
        [
            f"beds!C2: {told} at pace 1 all the year but where pace says otherwise: light and temperatures "
            "without a place hold for troughs alone; give a trough as as_place, or rows of its own"
        ]
        if told
        else []
    )
