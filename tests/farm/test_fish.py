"""Fish day by day: growth, feed, harvests and restocking; loops of water, joined and apart; faults."""

from datetime import date, timedelta

import pytest
from helpers import crops_csv, farm_of, faults_of
from hypothesis import given
from hypothesis import strategies as st
from on_paper import quantities

from scheduler.farm.loops.fish import FishTank, at, tank_days
from scheduler.farm.loops.water import Member, loops_of

KG = 1_000_000
TANK = "tank,species,from,fish,start_mass,feed_ratio"


def tank(**changes):
    given = {"name": "T", "species": "Tilapia", "stocked": 0, "until": 10**6, "fish": 100, "ratio": 1500}
    return FishTank(**(given | {"start_mass": 50_000} | changes))


def test_a_tank_known_by_its_yield_is_fed_alike_on_every_day():
    # 200 lb a year is common practice without a source, 1.5 from memory: 200 x 0.45359237 x 1.5 / 365 kg
    figures = quantities("fish_rhythm")
    yearly = int(figures["tank_yield"] * 453_592.37)
    days = tank_days(tank(yearly=yearly, ratio=int(figures["feed_ratio"] * 1000), stocked=2), 5)
    assert [round(day.feed / KG, 2) for day in days] == [0, 0, 0.37, 0.37, 0.37]


def test_fish_that_grow_by_weights_eat_their_growth_times_the_ratio():
    days = tank_days(tank(weights=((0, 50_000), (7, 120_000), (14, 260_000))), 16)
    assert days[0].mass == 100 * 50_000
    assert days[7].mass == 100 * 120_000
    assert days[3].feed == 100 * 10_000 * 1500 // 1000
    assert days[10].feed == 100 * 20_000 * 1500 // 1000
    assert (days[15].mass, days[15].feed) == (100 * 260_000, 0)
    gained = days[14].mass - days[0].mass
    assert sum(day.feed for day in days[:14]) == gained * 3 // 2


def test_fish_that_grow_by_percent_gain_it_in_seven_even_days():
    days = tank_days(tank(growth=1000), 15)
    week = [day.mass // 100 for day in days]
    assert abs(week[7] - 55_000) <= 7
    assert abs(week[14] - 60_500) <= 14
    steps = [later - now for now, later in zip(week[:7], week[1:8], strict=True)]
    assert max(steps) - min(steps) <= 1


def test_fish_that_grow_by_what_they_are_fed():
    # 3 percent of 50 g is 1.5 g; at a ratio of 1.5 that is 1 g of growth
    days = tank_days(tank(feeding=((50_000, 30_000), (250_000, 10_000))), 2)
    assert days[0].feed == 100 * 1_500
    assert days[1].mass == 100 * 51_000


def test_a_feeding_table_beside_weights_tells_the_feed_and_weights_the_growth():
    days = tank_days(tank(ratio=0, weights=((0, 50_000), (10, 60_000)), feeding=((1, 20_000),)), 3)
    assert [day.feed for day in days] == [100 * 1_000, 100 * 1_020, 100 * 1_040]
    assert days[2].mass == 100 * 52_000


def test_all_fish_are_harvested_and_young_ones_take_their_place():
    days = tank_days(tank(weights=((0, 50_000), (14, 120_000)), harvest_every=14, first_harvest=14), 30)
    assert [days[day].mass // 100 for day in (0, 13, 14, 27, 28)] == [
        50_000,
        115_000,
        50_000,
        115_000,
        50_000,
    ]
    assert all(day.fish == 100 for day in days)


def test_a_share_is_taken_from_the_oldest_and_without_restocking_fewer_are_left():
    kept = tank_days(
        tank(growth=100, harvest_every=7, first_harvest=7, harvest_share=2_500, restocked=False), 15
    )
    assert [kept[day].fish for day in (6, 7, 14)] == [100, 75, 56]
    young = tank_days(tank(weights=((0, 50_000), (7, 120_000)), harvest_every=7, first_harvest=7,
                           harvest_share=2_500), 9)  # fmt: skip
    assert (young[7].fish, young[7].mass) == (100, 75 * 120_000 + 25 * 50_000)


def test_fish_come_and_go_with_their_days():
    days = tank_days(tank(growth=500, stocked=3, until=5), 8)
    assert [day.fish for day in days] == [0, 0, 0, 100, 100, 100, 0, 0]


def test_fish_stocked_before_the_plan_are_as_old_as_they_are():
    weights = ((0, 50_000), (70, 400_000))
    early, late = tank_days(tank(weights=weights, stocked=-30), 5), tank_days(tank(weights=weights), 35)
    assert early == late[30:]


def test_four_tanks_of_which_one_is_harvested_every_six_weeks_feed_on_alike():
    # published rhythm (uvi_okra_2004, READ): four tanks, each harvested after 24 weeks
    figures = quantities("fish_rhythm")
    assert figures["tanks"] * figures["harvest_weeks"] == figures["tank_weeks"]
    every, apart = int(7 * figures["tank_weeks"]), int(7 * figures["harvest_weeks"])
    tanks = [
        tank(weights=((0, 50_000), (every, 800_000)), stocked=-number * apart, harvest_every=every,
             first_harvest=every - number * apart)
        for number in range(int(figures["tanks"]))
    ]  # fmt: skip
    days = [tank_days(each, 3 * every) for each in tanks]
    feed = [sum(each[day].feed for each in days) for day in range(3 * every)]
    assert feed[:apart] == feed[apart : 2 * apart] == feed[every : every + apart]
    harvests = [day for day in range(1, every + 1) if any(each.is_harvested(day) for each in tanks)]
    assert harvests == [apart * number for number in (1, 2, 3, 4)]


@given(
    points=st.dictionaries(st.integers(0, 50), st.integers(0, 1000), min_size=1, max_size=5),
    x=st.integers(-5, 60),
)
def test_a_curve_is_level_outside_its_points_and_between_them_inside(points, x):
    curve = tuple(sorted(points.items()))
    value = at(curve, x)
    assert min(points.values()) <= value <= max(points.values())
    if x in points:
        assert value == points[x]
    if x < curve[0][0] or x > curve[-1][0]:
        assert value == curve[0 if x < curve[0][0] else -1][1]


MEMBERS = (
    Member(loop="North", part="Tank 1", first=0, last=99),
    Member(loop="North", part="Trough 1", first=0, last=99),
    Member(loop="South", part="Tank 2", first=0, last=99),
    Member(loop="South", part="Trough 2", first=10, last=99),
    Member(loop="North", part="South", first=50, last=60),
)
PARTS = ("Tank 1", "Tank 2", "Trough 1", "Trough 2")


@pytest.mark.parametrize(
    ("day", "loops"),
    [
        (0, {"Tank 1": "North", "Trough 1": "North", "Tank 2": "South"}),
        (10, {"Tank 1": "North", "Trough 1": "North", "Tank 2": "South", "Trough 2": "South"}),
        (49, {"Tank 1": "North", "Trough 1": "North", "Tank 2": "South", "Trough 2": "South"}),
        (50, dict.fromkeys(PARTS, "North + South")),
        (60, dict.fromkeys(PARTS, "North + South")),
        (61, {"Tank 1": "North", "Trough 1": "North", "Tank 2": "South", "Trough 2": "South"}),
        (100, {}),
    ],
)
def test_loops_are_joined_and_apart_from_day_to_day(day, loops):
    assert loops_of(MEMBERS, PARTS, day) == loops


def test_three_loops_in_a_chain_are_one():
    chain = (
        Member(loop="C", part="B", first=0, last=9),
        Member(loop="B", part="A", first=0, last=9),
        Member(loop="A", part="Tank 1", first=0, last=9),
    )
    assert loops_of(chain, PARTS, 5) == {"Tank 1": "C + B + A"}


def test_a_book_without_fish_has_no_water(tmp_path):
    assert farm_of(tmp_path).water is None


def test_every_cell_is_taken_over(tmp_path):
    heading = f"{TANK},to,growth_percent,harvest_weeks,first_harvest,harvest_percent,restocked\n"
    rows = "Tank 1,Tilapia,2026-02-02,120,0.05,1.5,2026-12-31,8,24,2026-07-06,25,no\n"
    water = farm_of(tmp_path, {"mass_unit": "lb"}, fish_tanks=heading + rows).water
    first = date(2026, 3, 2)
    assert water.tanks == (
        FishTank(
            name="Tank 1", species="Tilapia", stocked=-28, until=(date(2026, 12, 31) - first).days, fish=120,
            start_mass=22_679, ratio=1500, growth=800, harvest_every=168,
            first_harvest=(date(2026, 7, 6) - first).days, harvest_share=2_500, restocked=False,
        ),
    )  # fmt: skip
    assert water.parts == ("Tank 1", "North trough")
    assert (water.bands["leafy"].low, water.bands["fruiting"].high) == (40, 80)
    assert water.loops_on(0) == {"Tank 1": "All water", "North trough": "All water"}


def test_only_crops_whose_card_is_for_no_bed_are_leafy_in_beds(tmp_path):
    heading, row = crops_csv(card="mint").splitlines()
    rows = [row] + [row.replace("mint", card).replace("Butterhead", card or "Own") for card in ("", "okra")]
    # the second has no card, the last one of a crop for beds
    tables = {"crops": "\n".join([heading, *rows]), "beds": "bed,positions\nB,9\n"}
    farm = farm_of(tmp_path, fish_tanks="tank,species,yield_per_year,feed_ratio\nA,Carp,90,1\n", **tables)
    assert farm.water.leafy == {"Butterhead"}


def test_the_first_harvest_comes_its_weeks_after_stocking_unless_it_is_told(tmp_path):
    rows = f"{TANK},growth_percent,harvest_weeks\nTank 1,Tilapia,2026-03-09,9,0.05,1.5,8,6\n"
    assert farm_of(tmp_path, fish_tanks=rows).water.tanks[0].first_harvest == 7 + 42
    assert date(2026, 3, 2) + timedelta(days=49) == date(2026, 4, 20)


def test_weights_of_a_species_are_taken_in_order_and_give_the_first_weight(tmp_path):
    weights = "species,week,mass\nTilapia,4,0.12\nTilapia,0,0.05\nTrout,0,1\n"
    tanks = "tank,species,from,fish,feed_ratio\nTank 1,Tilapia,2026-03-02,9,1.5\n"
    (made,) = farm_of(tmp_path, fish_tanks=tanks, fish_weights=weights).water.tanks
    assert (made.weights, made.start_mass) == (((0, 50_000), (28, 120_000)), 50_000)


LOOPS = "loop,part,from,to\n"


@pytest.mark.parametrize(
    ("tables", "expected"),
    [
        (
            {"fish_tanks": f"{TANK}\nTank 1,Tilapia,2026-03-02,9,0.05,1.5\n"},
            ["fish_tanks!A2: found no growth; expected yield_per_year or growth_percent, or rows of "
             "'Tilapia' in fish_weights or fish_feeding"],
        ),
        (
            {"fish_tanks": f"{TANK},growth_percent\nTank 1,Tilapia,,,0.05,,8\n"},
            ["fish_tanks!C2: found a blank cell; expected the day they are stocked, or yield_per_year",
             "fish_tanks!D2: found a blank cell; expected how many fish are stocked, or yield_per_year"],
        ),
        (
            {"fish_tanks": f"{TANK},growth_percent,harvest_weeks,first_harvest\n"
             "Tank 1,Tilapia,2026-03-02,9,0.05,1.5,8,,2026-06-29\n"},
            ["fish_tanks!H2: found a blank cell; expected the weeks from one harvest to the next, which "
             "first_harvest needs"],
        ),
        (
            {"fish_tanks": f"{TANK},growth_percent\nTank 1,Tilapia,2026-03-02,9,,,8\n"},
            ["fish_tanks!E2: found a blank cell; expected the weight of one fish when it is stocked",
             "fish_tanks!F2: found a blank cell; expected feed for one of growth, such as 1.5"],
        ),
        (
            {"fish_tanks": f"{TANK},yield_per_year\nTank 1,Tilapia,,9,,1.5,200\n"},
            ["fish_tanks!D2: found fish beside yield_per_year; expected a blank cell: the tank is fed alike "
             "on every day"],
        ),
        (
            {"fish_tanks": f"{TANK},growth_percent\nTank 1,Tilapia,2026-03-02,9,0.05,1.5,8\n",
             "fish_weights": "species,week,mass\nTilapia,0,0.05\nTilapia,0,0.06\n"},
            ["fish_tanks!G2: found growth_percent beside weights of 'Tilapia' in fish_weights; expected one "
             "of the two alone",
             "fish_weights!B3: found the same week of 'Tilapia' again; expected each week once for a species "
             "(fish_weights!B2 has it)"],
        ),
        (
            {"fish_tanks": "tank,species,yield_per_year,feed_ratio\nTank 1,Tilapia,200,1.5\n",
             "loops": LOOPS + "North,Tank 2,,\nNorth,North,,\nTank 1,North trough,,\n"},
            ["loops!B2: found 'Tank 2'; expected the name of a fish tank, trough or bed, or of another "
             "loop that is joined to this one",
             "loops!B3: found 'North'; expected the name of a fish tank, trough or bed, or of another "
             "loop that is joined to this one",
             "loops!A4: found 'Tank 1'; expected a name of its own, for a tank, trough or bed is called "
             "that"],
        ),
        (
            {"fish_tanks": "tank,species,yield_per_year,feed_ratio\nTank 1,Tilapia,200,1.5\n",
             "loops": LOOPS + "North,Tank 1,,2026-04-05\nSouth,Tank 1,2026-04-05,\n"},
            ["loops!B3: found 'Tank 1' in another loop too on 2026-04-05; expected one loop at a time "
             "(loops!B2 has it), or loops that are joined then"],
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_with_fish_and_loops_is_told_with_its_cell(tmp_path, tables, expected):
    assert faults_of(tmp_path, **tables) == expected


def test_a_part_of_two_loops_that_are_joined_is_no_fault(tmp_path):
    tables = {
        "fish_tanks": "tank,species,yield_per_year,feed_ratio\nTank 1,Tilapia,200,1.5\n",
        "loops": LOOPS
        + "North,Tank 1,,\nSouth,Tank 1,2026-04-05,2026-04-09\nNorth,South,2026-04-01,2026-04-09\n",
    }
    assert faults_of(tmp_path, **tables) == []


def test_a_band_turned_round_is_told(tmp_path):
    tanks = "tank,species,yield_per_year,feed_ratio\nTank 1,Tilapia,200,1.5\n"
    found = faults_of(tmp_path, {"feed_leafy_low": "60", "feed_leafy_high": "59"}, fish_tanks=tanks)
    assert found == ["settings!B12: found 59; expected 60 (feed_leafy_low) or more"]


def test_fish_stocked_years_ago_are_as_old_and_harvested_when_they_would_be(tmp_path):
    rows = f"{TANK},growth_percent,harvest_weeks\nTank 1,Tilapia,2024-01-01,9,0.05,1.5,8,5\n"
    (made,) = farm_of(tmp_path, fish_tanks=rows).water.tanks
    assert made.stocked == (date(2024, 1, 1) - date(2026, 3, 2)).days
    assert made.first_harvest == made.stocked + 35
