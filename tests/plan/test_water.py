"""Fish feed against what plants ask: areas, bands, loops, start-up, and what the audit holds to it."""

from dataclasses import replace
from fractions import Fraction

import pytest
from farms import make_crop, make_farm
from on_paper import quantities
from plans import Batch, build, drop, edit

from crops.published import table
from scheduler.farm.dates import full_day
from scheduler.farm.loops.fish import FishTank
from scheduler.farm.loops.water import Band, Member, Water
from scheduler.plan.audit import audit
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.exact import KEY, LEAFY_BEDS, SPARED
from scheduler.plan.water import all_planted, balance, planted, water_rows

GRAM_A_DAY = 365_000
BANDS = {"leafy": Band(low=40, high=50), "fruiting": Band(low=50, high=80)}
POUND = 453_592.37


def steady(grams, name="Tank 1", **changes):
    """A tank that eats so many grams on every day."""
    made = FishTank(
        name=name, species="Tilapia", stocked=-100, until=10**6, yearly=grams * GRAM_A_DAY, ratio=1000
    )
    return replace(made, **changes)


def fishy(*tanks, members=(), raft=Fraction(1), **needs):
    """The small farm with fish, one raft of ``raft`` square metres."""
    parts = (*(tank.name for tank in tanks), "Trough")
    water = Water(tanks=tanks, members=tuple(members), parts=parts, bands=BANDS)
    return replace(make_farm(**needs), water=water, raft_areas={"Trough": raft})


def flat(area, farm, part="Trough", kind="leafy"):
    """So many square metres on every day."""
    return {(part, kind): [int(area * 1_000_000)] * farm.calendar.days}


def first(farm, areas):
    return balance(farm, areas)[0]


def test_the_worked_example_of_the_fao_paper():
    # fao589, READ-2: 25 heads a week, 4 m2, 200 g of feed a day; 4 weeks and 25 plants/m2 from memory
    figures = quantities("fao_worked_example")
    plants = figures["heads_per_week"] * figures["weeks_in_raft"]
    area = plants / figures["density"]
    assert (plants, area) == (figures["plants_standing"], figures["area"])
    farm = fishy(steady(int(figures["feed_per_day"])))
    row = first(farm, flat(area, farm))
    assert (row.leafy, row.asked_low, row.asked_high, row.eaten) == (4_00, 160, 200, 200)
    assert (row.state, row.off, row.area_off) == ("balanced", 0, 0)
    assert first(farm, flat(area + 1.1, farm)).state == "plants short of feed"


def test_a_tank_of_200_pounds_a_year_carries_about_eight_square_metres():
    # 200 lb: common practice, no source; 1.5: from memory
    figures = quantities("fish_rhythm")
    feed = int(figures["tank_yield"] * POUND)
    farm = fishy(steady(0, yearly=feed, ratio=int(figures["feed_ratio"] * 1000)))
    row = first(farm, flat(20, farm))
    assert (row.eaten, row.asked_low, row.asked_high) == (373, 800, 1000)
    assert (row.state, row.off, row.area_off) == ("plants short of feed", 527, 11_72)
    assert round(20 - row.area_off / 100) == 8
    assert first(farm, flat(8, farm)).state == "balanced"


def test_the_bands_of_the_settings_are_the_published_ones():
    rows = {row["quantity"]: row for row in table("feed_ratios")}
    assert {name: (int(rows[name]["low"]), int(rows[name]["high"])) for name in BANDS} == {
        name: (band.low, band.high) for name, band in BANDS.items()
    }
    # what basil on rafts was fed lies in the band of large raft systems (uvi_basil_2004, srac454)
    low, high = float(rows["raft"]["low"]), float(rows["raft"]["high"])
    assert low <= float(rows["basil_batch"]["value"]) < float(rows["basil_staggered"]["value"]) <= high


@pytest.mark.parametrize(
    ("grams", "state", "off", "area_off"),
    [
        (399, "plants short of feed", 51, 1_13),
        (400, "balanced", 0, 0),
        (500, "balanced", 0, 0),
        (501, "more feed than plants use", 51, 1_13),
    ],
)
def test_the_band_holds_to_its_ends(grams, state, off, area_off):
    farm = fishy(steady(grams))
    row = first(farm, flat(10, farm))
    assert (row.state, row.off, row.area_off) == (state, off, area_off)


def test_fruiting_plants_ask_more_and_both_add_up():
    farm = fishy(steady(450))
    farm = replace(farm, water=replace(farm.water, parts=(*farm.water.parts, "Bed")))
    row = first(farm, {**flat(5, farm), **flat(5, farm, "Bed", "fruiting")})
    assert (row.leafy, row.fruiting, row.asked_low, row.asked_high) == (5_00, 5_00, 450, 650)
    assert row.state == "balanced"


def test_without_plants_or_without_fish_each_is_told():
    none = fishy(steady(90))
    row = first(none, {})
    assert (row.state, row.off, row.area_off) == ("no plants", 90, 2_00)
    gone = fishy(steady(90, until=-1))
    row = first(gone, flat(2, gone))
    assert (row.state, row.eaten, row.off, row.area_off) == ("no fish", 0, 90, 2_00)
    assert balance(gone, {}) == []


def test_a_second_tank_of_the_same_loop_adds_its_feed():
    farm = fishy(steady(100), steady(80, "Tank 2"))
    assert first(farm, flat(4, farm)).eaten == 180


def test_loops_apart_count_apart_and_joined_together_from_day_to_day():
    members = (
        Member(loop="North", part="Tank 1", first=-999, last=999),
        Member(loop="North", part="Trough", first=-999, last=999),
        Member(loop="South", part="Tank 2", first=-999, last=999),
        Member(loop="North", part="South", first=10, last=13),
    )
    farm = fishy(steady(100), steady(60, "Tank 2"), members=members, days=21)
    rows = [(row.loop, row.day, row.last, row.eaten, row.state) for row in balance(farm, flat(2, farm))]
    assert rows == [
        ("North", 0, 6, 100, "balanced"),
        ("North", 7, 9, 100, "balanced"),
        ("North", 14, 20, 100, "balanced"),
        ("South", 0, 6, 60, "no plants"),
        ("South", 7, 9, 60, "no plants"),
        ("South", 14, 20, 60, "no plants"),
        ("North + South", 10, 13, 160, "more feed than plants use"),
    ]


def test_a_trough_of_no_loop_gets_no_feed():
    alone = (Member(loop="North", part="Tank 1", first=-999, last=999),)
    farm = fishy(steady(100), members=alone)
    assert {row.leafy for row in balance(farm, flat(20, farm))} == {0}


def test_small_fish_are_told_to_be_small_and_when_they_eat_enough():
    young = FishTank(
        name="Tank 1",
        species="Tilapia",
        stocked=0,
        until=999,
        fish=100,
        start_mass=20_000,
        ratio=1500,
        growth=1500,
    )
    farm = fishy(young, days=84)
    rows = balance(farm, flat(4, farm))
    assert rows[0].state == "plants short of feed"
    assert rows[0].eaten < rows[1].eaten < rows[2].eaten
    enough = next(row for row in rows if row.state == "balanced")
    when = full_day(farm.date_of(enough.day))
    assert rows[0].remark == f"fish eat too little as yet; enough for this from {when}"
    assert enough.remark == ""
    never = fishy(steady(10), days=84)
    assert {row.remark for row in balance(never, flat(4, never))} == {""}


def test_the_planted_part_of_boards_and_rafts_is_counted_while_they_stand_there():
    farm = fishy(steady(10), raft=Fraction(3, 2))
    plan = build(farm, Batch(boards=(12, 6), rafts=(6, 3)))
    area = planted(farm, plan)["Trough", "leafy"]
    assert [area[day] for day in (9, 10, 19, 20, 33, 34)] == [
        0,
        2_250_000,
        2_250_000,
        2_250_000,
        2_250_000,
        0,
    ]
    assert set(planted(farm, plan)) == {("Trough", "leafy")}


def test_a_book_alone_is_taken_with_every_open_slot_planted():
    farm = fishy(steady(10), raft=Fraction(1, 2), lane_slots=((-99, 6), (7, 4)), zones=1, zone_slots=2)
    area = all_planted(farm)["Trough", "leafy"]
    assert (area[0], area[7]) == (4_000_000, 3_000_000)


def test_weeks_begin_today_and_end_with_the_plan():
    farm = fishy(steady(10), days=16, today=3)
    assert [(row.day, row.last) for row in balance(farm, {})] == [(3, 6), (7, 13), (14, 15)]


FARM = fishy(steady(50), days=42)
PLAN = build(FARM, Batch())
PLAN = replace(PLAN, water=tuple(water_rows(FARM, PLAN)))


def test_the_audit_works_the_balance_out_again():
    assert [str(fault) for fault in audit(FARM, PLAN)] == []
    assert [str(fault) for fault in audit(FARM, drop(PLAN, "water", day=14))] == [
        "bookkeeping | water | 2026-03-16: the row of All water is missing"
    ]
    changed = edit(PLAN, "water", {"day": 14}, eaten=70, leafy=1)
    assert [str(fault) for fault in audit(FARM, changed)] == [
        "bookkeeping | water | 2026-03-16: All water: leafy is 0.01, the rows give 1.14, eaten is 70, the "
        "rows give 50"
    ]


@pytest.mark.parametrize(
    ("leafy", "kind", "edition"),
    [((), "fruiting", LEAFY_BEDS), (("Chard",), "leafy", LEAFY_BEDS), (("Chard",), "fruiting", SPARED)],
)
def test_beds_count_by_the_positions_that_are_taken_and_by_what_stands_there(leafy, kind, edition):
    # 60 by 40 cm a position; a book alone counts all of them
    crop = make_crop("Chard", tray=(3, 1, 10_000), bed=(4, 10_000), beds=("Bed 1",))
    farm = replace(fishy(steady(100), crops=[crop], beds={"Bed 1": 10}), raft_areas={})
    areas = {"bed_areas": {"Bed 1": 240_000}, "leafy": frozenset(leafy)}
    farm = replace(farm, water=replace(farm.water, parts=(*farm.water.parts, "Bed 1"), **areas))
    assert all_planted(farm)["Bed 1", "leafy" if leafy else "fruiting"][0] == 2_400_000
    plan = build(fishy(steady(100)), Batch())
    lot = replace(plan.lots[0], crop="Chard")
    days = {"from_day": 0, "enters": 3, "leaves": 4, "free": 5}
    stands = PlantingRow(planting="P1", lot=lot.lot, bed="Bed 1", positions="1-2", plants=2, **days)
    plan = replace(plan, lots=(lot,), plantings=(stands,), contents=(), made={KEY: edition})
    taken = planted(farm, plan)
    assert list(taken) == [("Bed 1", kind)]
    assert taken["Bed 1", kind][:7] == [0, 0, 0, 480_000, 480_000, 0, 0]


def test_a_bed_in_which_fruiting_plants_may_stand_is_counted_full_of_them():
    water = Water(leafy=frozenset(["Mint", "Chard"]))
    kinds = [water.kind_in_beds(crops) for crops in (["Mint", "Chard"], ["Mint", "Tomato"], [])]
    assert kinds == ["leafy", "fruiting", "fruiting"]
