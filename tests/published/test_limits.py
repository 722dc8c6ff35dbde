"""Published designs against the limit the planner works out for them, with the source of each figure.

The figures come from the tables in shared/reference; a check that rests on a remembered figure says MEMORY.
"""

import math

import pytest
from farms import delivery, make_crop, make_farm
from on_paper import quantities
from weeks import EFFORT

from crops.published import table
from scheduler.farm.calendar import Work
from scheduler.farm.units import WHOLE_SHARE
from scheduler.model.capacity.bound import Bound
from scheduler.model.capacity.limit import Depth, limit_of
from scheduler.model.capacity.week import steady_week
from scheduler.plan.capacity import RoomKind

RUTGERS = quantities("rutgers_lettuce")
CORNELL = quantities("cornell_area")
BASIL = quantities("uvi_basil")
BOARDS = {row["board"]: row for row in table("board_densities")}
M2_PER_ACRE = 4046.8564224

TRAY_CELLS = 20
"""Cells of the trays of these tests; every figure here is a multiple of it."""


def lettuce_line(amount, holes, days, rooms, seeds=None):
    """A line that moves every day: so many heads a day, holes of board and raft, days of the three stages.

    ``rooms`` is tray places, board slots and raft slots; plenty is owned of everything.
    """
    share = WHOLE_SHARE * amount // (seeds or amount)
    crop = make_crop(
        "Lettuce",
        tray=(days[0], 0, share),
        board=(days[1], 0, WHOLE_SHARE),
        raft=(days[2], 0, WHOLE_SHARE),
        per_board=holes[0],
        per_raft=holes[1],
    )
    orders = [delivery("Lettuce", day, amount, name=f"R {day:03}", max_age=0) for day in range(98)]
    return make_farm(
        crops=[crop],
        demands=orders,
        tier_slots=rooms[0],
        zone_slots=rooms[1],
        lane_slots=rooms[2],
        trays=10_000,
        boards=10_000,
        rafts=10_000,
    )


SOWN, MOVED = int(RUTGERS["seeds_sown_per_day"]), int(RUTGERS["plants_moved_per_day"])
STAGES = tuple(int(RUTGERS[name]) for name in ("days_seedling", "days_first_spacing", "days_final_spacing"))
HOLES = int(RUTGERS["first_holes"]), int(RUTGERS["final_holes"])


def rutgers(rafts):
    """Both, Rutgers, READ: 1,200 seeds and 960 plants a day; 14,400 cells, 160 boards."""
    rooms = SOWN * STAGES[0] // TRAY_CELLS, MOVED * STAGES[1] // HOLES[0], rafts
    return steady_week(lettuce_line(MOVED, HOLES, STAGES, rooms, seeds=SOWN))


def test_the_published_line_carries_960_plants_a_day_by_holes_and_every_place_is_full():
    bound = Bound(rutgers(640))
    answer = bound.solve()
    assert answer.times == pytest.approx(1)
    used = {supply.key[0]: answer.used[supply.key] for supply in bound.supplies}
    for kind in (RoomKind.TIER, RoomKind.ZONE, RoomKind.LANE):
        assert used[kind] == pytest.approx(1)
    (load,) = [bound.least_takes(crop) for crop in answer.heads]
    cells = float(load[RoomKind.TIER]) * TRAY_CELLS / STAGES[0] * MOVED
    assert cells == pytest.approx(SOWN), "seeds a day"


def test_whole_rafts_carry_it_on_644_slots_and_no_longer_on_640():
    found = limit_of(rutgers(644), EFFORT, Depth(season=False))
    assert found.whole == found.whole_most == 1000
    # 45 rafts of 21 a day are the most that stand 14 days on 640 slots: 945 of 960 a day
    less = limit_of(rutgers(640), EFFORT, Depth(season=False))
    assert less.whole == less.whole_most == 45 * 21 * 1000 // 960
    assert less.linear == pytest.approx(1)


HEADS, DESIGN = int(CORNELL["heads_per_day"]), int(CORNELL["heads_per_day_design"])
CORNELL_DAYS = 11, int(CORNELL["days_first_spacing"]), int(CORNELL["days_final_spacing"])
AREA = CORNELL["growing_area"] * M2_PER_ACRE


def slots_on_the_water(holes):
    """Slots for 2 x 4 ft boards on 0.15 acre."""
    row = BOARDS[holes]
    return int(AREA // (float(row["width_mm"]) * float(row["length_mm"]) / 1e6))


def best_split(holes, water):
    """Return the most heads a day on so many slots, boards and rafts sharing them as is best."""

    def carried(boards):
        rooms = 2_000, boards, water - boards
        return HEADS * Bound(steady_week(lettuce_line(HEADS, holes, CORNELL_DAYS, rooms))).solve().times

    low, high = 1, water - 1
    while high - low > 2:
        third = (high - low) // 3
        left, right = low + third, high - third
        low, high = (low, right) if carried(left) > carried(right) else (left, high)
    return max(carried(boards) for boards in range(low, high + 1))


def test_1245_heads_a_day_fit_on_015_acre_at_72_and_28_holes():
    # Heads and area READ; hole counts common practice, days and densities MEMORY.
    water = slots_on_the_water("first spacing, Cornell")
    assert water == 816
    assert best_split((72, 28), water) >= HEADS
    # whole boards and rafts, every day: 18 of 72 for 10 days and 45 of 28 for 14
    rooms = 2_000, 180, water - 180
    found = limit_of(
        steady_week(lettuce_line(HEADS, (72, 28), CORNELL_DAYS, rooms)), EFFORT, Depth(season=False)
    )
    assert math.ceil(HEADS / 72) * 10 == 180
    assert math.ceil(HEADS / 28) * 14 <= water - 180
    assert found.whole >= 1000


def test_1245_heads_a_day_do_not_fit_at_60_and_21_holes_where_the_first_design_of_1000_nearly_does():
    # READ: holes and heads a day; days of the two stages READ too (the same line, Rutgers).
    water = slots_on_the_water("first spacing, Rutgers")
    carried = best_split((60, 21), water)
    assert carried < HEADS
    assert carried == pytest.approx(water / (10 / 60 + 14 / 21), rel=0.005)
    assert carried == pytest.approx(DESIGN, rel=0.03)


def test_214_m2_of_staggered_basil_carry_a_quarter_of_the_rafts_every_week():
    # Rakocy et al. 2004, READ: 214 m2, 4 weeks on rafts, 1.8 kg/m2 a crop, 5.01 t and 23.4 kg/m2 a year.
    stay, half_metres = int(BASIL["weeks_per_crop"]), int(BASIL["raft_area"] * 2)
    basil = make_crop(
        "Basil", tray=(21, 0, WHOLE_SHARE), board=None, raft=(7 * stay, 0, WHOLE_SHARE), per_raft=1
    )
    monday = {work: {0} for work in Work}
    farm = make_farm(
        crops=[basil], work_days=monday, lane_slots=half_metres, rafts=half_metres, tier_slots=50
    )
    found = limit_of(steady_week(farm, {"Basil": 1}), EFFORT, Depth(season=False))
    assert found.linear == pytest.approx(107)
    assert found.whole == 107_000
    kilos = found.whole / 1000 / 2 * BASIL["basil_staggered_per_crop"] * 52
    assert round(kilos / 1000, 2) == BASIL["basil_staggered_system"]
    assert kilos / BASIL["raft_area"] == pytest.approx(BASIL["basil_staggered_per_year"], abs=0.001)
