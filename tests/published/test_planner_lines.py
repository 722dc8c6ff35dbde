"""Published growing lines planned by the planner itself, with the source of each figure beside it.

The figures come from the tables in shared/reference; a check that rests on a remembered figure says MEMORY.
"""

import math
from collections import defaultdict
from dataclasses import replace

import pytest
from farms import BOARD, RAFT, TRAY, delivery, make_crop, make_farm
from on_paper import plants_per_m2, quantities
from solving import got, outcome, shortage_goal, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.units import WHOLE_SHARE
from scheduler.plan.tally import place_use, plants_standing

RUTGERS = quantities("rutgers_lettuce")
BASIL = quantities("uvi_basil")
FAO = quantities("fao_worked_example")

SOWN, MOVED = int(RUTGERS["seeds_sown_per_day"]), int(RUTGERS["plants_moved_per_day"])
TRAY_DAYS, BOARD_DAYS, RAFT_DAYS = (
    int(RUTGERS[name]) for name in ("days_seedling", "days_first_spacing", "days_final_spacing")
)
BOARD_HOLES, RAFT_HOLES = int(RUTGERS["first_holes"]), int(RUTGERS["final_holes"])
READY = TRAY_DAYS + BOARD_DAYS + RAFT_DAYS
"""Day 36: sowing is day 0. The page's own pictures are labelled day 35."""

RAFTS_A_DAY = math.ceil(MOVED / RAFT_HOLES)


def daily_line(rafts, days=READY + 2 * RAFT_DAYS):
    """Both, Rutgers: 1200 seeds and 960 plants moved every day, 12, 10 and 14 days, 60 then 21 holes.

    No batch waits, and what is lost is lost in the tray: 960 of 1200.
    """
    share = MOVED * WHOLE_SHARE // SOWN
    lettuce = make_crop(
        "Lettuce",
        tray=(TRAY_DAYS, 0, share),
        board=(BOARD_DAYS, 0, WHOLE_SHARE),
        raft=(RAFT_DAYS, 0, WHOLE_SHARE),
        per_board=BOARD_HOLES,
        per_raft=RAFT_HOLES,
    )
    orders = [delivery("Lettuce", day, MOVED, max_age=0, priority=5, price=1) for day in range(READY, days)]
    return with_holes(
        make_farm(
            days=days,
            crops=[lettuce],
            demands=orders,
            tier_slots=10_000,
            trays=10_000,
            zone_slots=10_000,
            boards=10_000,
            lane_slots=rafts,
            rafts=rafts,
        )
    )


def with_holes(farm):
    """Give boards and rafts the holes of the page."""
    holes = {TRAY: 20, BOARD: BOARD_HOLES, RAFT: RAFT_HOLES}
    kinds = {name: replace(kind, holes=holes[name]) for name, kind in farm.equipment.items()}
    return replace(farm, equipment=kinds)


def test_the_daily_lettuce_line_stands_as_many_seedlings_boards_and_rafts_as_published():
    # Both, Rutgers, READ: 14,400 cells, 160 boards; 46 rafts a day for 14 days.
    plan = solved(daily_line(RAFTS_A_DAY * RAFT_DAYS), seconds=20)
    assert set(got(plan).values()) == {MOVED}
    standing, use = plants_standing(plan, READY + RAFT_DAYS), defaultdict(dict)
    for row in place_use(daily_line(1), plan):
        use[row.place][row.day] = row.used
    assert {standing[StageKind.TRAY][day] for day in range(TRAY_DAYS - 1, TRAY_DAYS + RAFT_DAYS)} == {
        SOWN * TRAY_DAYS
    }
    assert SOWN * TRAY_DAYS == 14_400
    assert max(use["Trough boards"].values()) == MOVED * BOARD_DAYS / BOARD_HOLES == 160
    assert {standing[StageKind.RAFT][day] for day in range(READY - 1, READY + 10)} == {MOVED * RAFT_DAYS}
    assert max(use["Trough 1"].values()) == 644


def test_whole_rafts_filled_each_day_need_644_where_holes_alone_would_need_640():
    # Both, Rutgers, READ: 960 x 14 / 21 = 640 rafts by holes; 46 whole ones a day stand 14 days.
    assert MOVED * RAFT_DAYS / RAFT_HOLES == 640
    assert RAFTS_A_DAY * RAFT_DAYS == 644
    assert outcome(daily_line(644), seconds=20).status == "filled"


@pytest.mark.parametrize("rafts", [643, pytest.param(640, marks=pytest.mark.soak)])
def test_one_raft_less_than_644_leaves_a_delivery_short(rafts):
    found = outcome(daily_line(rafts), seconds=0.5)
    assert found.status == "short"
    assert found.plan is not None
    missing = sum(row.amount - row.filled for row in found.plan.demands)
    assert missing >= 1
    assert shortage_goal(found.plan)[0] > 0


def test_a_quarter_of_the_rafts_each_week_gives_the_published_basil_of_a_year():
    # Rakocy et al. 2004, READ: 214 m2, staggered, 4 weeks on rafts, 1.8 kg/m2 a crop; 5.01 t and 23.4 kg/m2
    # a year. Each raft here is half a square metre, so that a quarter of the area is a whole number of them.
    weeks, stay = 52, int(BASIL["weeks_per_crop"])
    rafts = int(BASIL["raft_area"] * 2)
    weekly = rafts // stay
    basil = make_crop(
        "Basil", tray=(21, 0, WHOLE_SHARE), board=None, raft=(7 * stay, 0, WHOLE_SHARE), per_raft=1
    )
    first = 21 + 7 * stay
    orders = [
        delivery("Basil", first + 7 * week, weekly, max_age=0, priority=5, price=1) for week in range(weeks)
    ]
    monday = {work: {0} for work in Work}
    farm = make_farm(
        days=first + 7 * weeks,
        crops=[basil],
        demands=orders,
        work_days=monday,
        lane_slots=rafts,
        rafts=rafts,
        tier_slots=50,
    )
    plan = solved(farm, seconds=20)
    assert set(got(plan).values()) == {weekly}
    area = sum(row.plants for row in plan.cuts) / 2
    kilos = area * BASIL["basil_staggered_per_crop"]
    assert round(kilos) == 5008
    assert round(kilos / 1000, 2) == BASIL["basil_staggered_system"]
    assert kilos / BASIL["raft_area"] == pytest.approx(BASIL["basil_staggered_per_year"], abs=0.001)
    assert area / BASIL["raft_area"] == 13, "turns a year"
    used = {row.day: row.used for row in place_use(farm, plan) if row.place == "Trough 1"}
    assert {used[day] for day in range(first, first + 7 * (weeks - stay))} == {rafts}
    assert outcome(with_one_raft_less(farm), seconds=10).status == "short"


def with_one_raft_less(farm):
    kinds = {name: replace(kind, owned=kind.owned - (name == RAFT)) for name, kind in farm.equipment.items()}
    few = tuple(demand for demand in farm.demands if demand.first < 21 + 28 + 7 * 6)
    return replace(farm, equipment=kinds, demands=few)


def test_25_heads_a_week_stand_as_100_plants_on_4_square_metres():
    # FAO Fisheries and Aquaculture Technical Paper 589 (2014), READ-2: 25 heads a week, 25 plants/m2,
    # 50 g/m2/d, 4 m2, 200 g/d. MEMORY: four weeks on the raft, 100 plants.
    stay, density = int(FAO["weeks_in_raft"]), int(FAO["density"])
    heads = int(FAO["heads_per_week"])
    lettuce = make_crop(
        "Lettuce", tray=(21, 0, WHOLE_SHARE), board=None, raft=(7 * stay, 0, WHOLE_SHARE), per_raft=density
    )
    first = 21 + 7 * stay
    orders = [delivery("Lettuce", first + 7 * week, heads, max_age=0, priority=5) for week in range(12)]

    def farm(rafts):
        return make_farm(
            days=first + 7 * 12,
            crops=[lettuce],
            demands=orders,
            work_days={work: {0} for work in Work},
            rafts=rafts,
            lane_slots=rafts,
        )

    rafts = int(FAO["area"])
    plan = solved(farm(rafts), seconds=10)
    assert set(got(plan).values()) == {heads}
    standing = plants_standing(plan, first + 7 * 8)[StageKind.RAFT]
    assert set(standing[first - 7 : first + 7 * 8]) == {int(FAO["plants_standing"])}
    use = max(row.used for row in place_use(farm(rafts), plan) if row.place == "Trough 1")
    assert use == FAO["area"], "a raft of 25 plants is one square metre"
    assert use * FAO["feed_ratio"] == FAO["feed_per_day"]
    assert outcome(farm(rafts - 1), seconds=10).status == "short"


def test_basil_cut_four_times_keeps_its_raft_112_days():
    # Ferrarezi & Bailey, READ: 16.15 plants/m2, 4 cuts at 28 d, 11.36 kg/m2 in all; 12 holes on 2 x 4 ft.
    cuts, interval = int(BASIL["recut_cuts"]), int(BASIL["recut_interval"])
    seedling, plants = 21, 12
    held = interval + (cuts - 1) * interval
    assert held == 112
    basil = make_crop(
        "Basil",
        tray=(seedling, 0, WHOLE_SHARE),
        board=None,
        raft=(interval, 0, WHOLE_SHARE),
        cuts=cuts,
        interval=interval,
        per_raft=plants,
    )
    wanted = [seedling + interval * number for number in range(1, cuts + 1)]
    orders = [delivery("Basil", day, plants, max_age=0, priority=1) for day in wanted]
    other = make_crop(
        "Lettuce", tray=(3, 0, WHOLE_SHARE), board=None, raft=(4, 0, WHOLE_SHARE), per_raft=plants
    )
    between = delivery("Lettuce", wanted[1] + 10, plants, max_age=0, priority=5, price=1)
    farm = make_farm(days=150, crops=[basil, other], demands=[*orders, between], rafts=1, lane_slots=1)
    plan = solved(farm, seconds=20)
    assert [got(plan)[order.name] for order in orders] == [plants] * cuts
    assert got(plan)[between.name] == 0, "the raft is not free between two cuts"
    lot = next(row.lot for row in plan.lots if row.crop == "Basil")
    inside = {row.unit for row in plan.contents if row.lot == lot}
    raft = next(row for row in plan.units if row.unit in inside and row.item == "raft")
    assert raft.leaves - raft.enters == raft.emptied - raft.enters == held
    assert [(row.number, row.day) for row in plan.cuts if row.lot == lot] == list(enumerate(wanted, 1))
    square_metres = plants / plants_per_m2(plants, 609.6, 1219.2)
    grams = (
        BASIL["recut_total"] * 1000 * square_metres / sum(row.heads for row in plan.cuts if row.lot == lot)
    )
    assert round(grams) == 176, "2.84 kg/m2 a cut over 16.15 plants"
