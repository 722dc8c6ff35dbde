"""Light, sunshine and temperatures that are wrong: what is said, and where."""

import pytest
from helpers import faults_of

CASES = [
    (
        "light through a cover without a latitude",
        {},
        {"light": "place,cover_percent,lamp_light\n,0,5\n,60,\n"},
        [
            "light!A3: found a blank month again; expected a row for every month once for a place "
            "(light!A2 has it)",
            "light!B3: found light through a cover and no latitude; expected a row latitude in settings",
        ],
    ),
    (
        "a latitude off the globe",
        {"latitude": "152"},
        {},
        ["settings!B11: found '152'; expected -90 to 90 (degrees)"],
    ),
    (
        "a latitude with its letter",
        {"latitude": "34 S"},
        {},
        ["settings!B11: found '34 S'; expected degrees, south of the equator negative: -34"],
    ),
    (
        "a northern latitude with sign and letter",
        {"latitude": "52.2\u00b0N"},
        {},
        ["settings!B11: found '52.2\u00b0N'; expected degrees, south of the equator negative: 52.2"],
    ),
    (
        "another word for heat",
        {"heat": "forbid"},
        {},
        ["settings!B11: found 'forbid'; expected refuse, warn or ignore"],
    ),
    (
        "light of a tier, of a row and of nothing",
        {},
        {"light": "place,lamp_light\nShelf A 1,5\nNorth trough 1,5\nSouth,5\n"},
        [
            "light!A4: found 'South', which is no shelf, tier, trough, row or bed; expected one of "
            "'Shelf A', 'North trough', 'North trough boards'"
        ],
    ),
    (
        "light of a tier and of a row",
        {},
        {"light": "place,lamp_light\nShelf A 1,5\nNorth trough 1,5\n"},
        [
            "light!A2: found 'Shelf A 1'; expected the name of a whole shelf or trough",
            "light!A3: found 'North trough 1'; expected the name of a whole shelf or trough",
        ],
    ),
    (
        "light of a month twice for one trough",
        {},
        {"light": "place,month,lamp_light\nNorth trough,3,5\nNorth trough boards,3,6\n"},
        ["light!B3: found month 3 again; expected each month once for a place (light!B2 has it)"],
    ),
    (
        "no light at all",
        {},
        {"light": "place,cover_percent,full_light\n,,15\nNorth trough,0,\n"},
        [
            "light!B2: found no light; expected cover_percent above 0, or lamps: plants need some light",
            "light!B3: found no light; expected cover_percent above 0, or lamps: plants need some light",
        ],
    ),
    (
        "a share that cannot be read is told once",
        {"latitude": "52"},
        {"light": "place,cover_percent\n,sixty\n"},
        ["light!B2: found 'sixty'; expected a number, such as 60"],
    ),
    (
        "a share for a percentage",
        {"latitude": "52"},
        {"light": "place,cover_percent\n,101\n"},
        ["light!B2: found '101'; expected 0 to 100 (percent)"],
    ),
    (
        "lamps without hours, without flux, and told in two ways",
        {},
        {"light": "place,lamp_flux,lamp_hours,lamp_light\n,100,,\nNorth trough,,16,\nShelf A,,16,5\n"},
        [
            "light!C2: found a blank cell; expected lamp_hours to go with lamp_flux",
            "light!B3: found a blank cell; expected lamp_flux to go with lamp_hours",
            "light!C4: found lamp_hours beside lamp_light; expected one of the two ways alone",
        ],
    ),
    (
        "sun and cloud, and neither",
        {},
        {"sunshine": "month,sunshine_percent,cloud_percent\n1,20,80\n2,,\n"},
        [
            "sunshine!C2: found cloud_percent beside sunshine_percent; expected one of the two alone",
            "sunshine!B3: found a blank cell; expected sunshine_percent or cloud_percent",
        ],
    ),
    (
        "a month of sunshine twice",
        {},
        {"sunshine": "month,sunshine_percent\n1,20\n1,30\n"},
        ["sunshine!A3: found month 1 again; expected each month once (sunshine!A2 has it)"],
    ),
    (
        "a month by name",
        {},
        {"sunshine": "month,sunshine_percent\nJan,20\n"},
        ["sunshine!A2: found 'Jan'; expected the number of the month: 1"],
    ),
    (
        "a temperature of nothing, of no time and of two",
        {},
        {"temperatures": "month,date,water,air\n3,,,\n,,18,\n3,2026-03-02,18,\n"},
        [
            "temperatures!C2: found a blank cell; expected the temperature of water, of air or of both",
            "temperatures!A3: found a blank cell; expected month or date",
            "temperatures!B4: found date beside month; expected one of the two alone",
        ],
    ),
    (
        "degrees Fahrenheit",
        {},
        {"temperatures": "month,water,air\n3,64,\n7,,84\n"},
        [
            "temperatures!B2: found '64'; expected -5 to 45 (°C): 17.8 for 64 degrees Fahrenheit",
            "temperatures!C3: found '84'; expected -40 to 60 (°C): 28.9 for 84 degrees Fahrenheit",
        ],
    ),
    (
        "water on a shelf",
        {},
        {"temperatures": "place,month,water,air\nShelf A,3,18,20\n"},
        [
            "temperatures!C2: found water on 'Shelf A'; expected a blank cell: trays on a shelf stand in no "
            "water"
        ],
    ),
    (
        "temperatures of a tier are told once",
        {},
        {"temperatures": "place,month,water,air\nShelf A 1,3,18,20\n"},
        ["temperatures!A2: found 'Shelf A 1'; expected the name of a whole shelf or trough"],
    ),
    (
        "a month and a date twice",
        {},
        {
            "temperatures": "place,month,date,water,air\n,3,,18,20\n,3,,,21\n"
            "North trough,,2026-03-02,18,\nNorth trough,,2026-03-02,19,\n"
        },
        [
            "temperatures!B3: found the month again with air; expected each month once for a place "
            "(temperatures!B2 has it)",
            "temperatures!C5: found the date again with water; expected each date once for a place "
            "(temperatures!C4 has it)",
        ],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path, case):
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected


def test_water_and_air_of_one_month_may_stand_in_two_rows(tmp_path):
    table = "place,month,water,air\n,3,18,\n,3,,20\n"
    assert faults_of(tmp_path, temperatures=table) == []


def test_lamps_need_no_latitude(tmp_path):
    assert faults_of(tmp_path, light="place,lamp_light\n,12\n") == []
