"""Equipment and hours: what is owned, and the crew's hours, are enough to the last unit and hundredth."""

import pytest
from farms import growing, make_crop, make_farm
from plans import Batch, build, join, judged, told

from scheduler.farm.crops import StageKind
from scheduler.plan.tally import equipment_use, hours

MANY = Batch(rows=9, boards=(12, 12, 12), rafts=(6,) * 6)


@pytest.mark.parametrize(
    ("kind", "owned", "fault"),
    [
        ("trays", 2, "20-cell tray | 2026-03-02: 2 in use and 0 being washed, 1 owned for 10 days"),
        ("boards", 3, "12-hole board | 2026-03-12: 3 in use and 0 being washed, 2 owned for 10 days"),
        ("rafts", 6, "6-hole raft | 2026-03-22: 6 in use and 0 being washed, 5 owned for 14 days"),
    ],
)
def test_units_in_use_are_no_more_than_are_owned(kind, owned, fault):
    assert judged(make_farm(**{kind: owned}), MANY) == []
    assert judged(make_farm(**{kind: owned - 1}), MANY) == [f"equipment | {fault}"]


def test_a_unit_is_not_used_again_while_it_is_washed():
    farm = {"wash_days": 2, "boards": 1}
    after = Batch(sown=12, board_day=22, raft_day=32, cuts=((46, 6),))
    assert judged(make_farm(**farm), Batch(), after) == []
    too_soon = Batch(sown=11, board_day=21, raft_day=31, cuts=((45, 6),))
    faults = judged(make_farm(**farm), Batch(), too_soon)
    assert faults == ["equipment | 12-hole board | 2026-03-23: 1 in use and 1 being washed, 1 owned"]


def test_a_raft_is_in_use_until_it_leaves_its_slot():
    late = Batch(rows=2, boards=(6,), rafts=(6,), cuts=((38, 6),))
    early = Batch(sown=1, rows=2, board_day=11, boards=(6,), raft_day=21, rafts=(6,), cuts=((35, 6),))
    farm = make_farm()
    plan = build(farm, late, early)
    in_use = {row.day: row.in_use for row in equipment_use(farm, plan) if row.kind == "6-hole raft"}
    assert (in_use[20], in_use[21], in_use[37], in_use[38]) == (1, 2, 2, 0)


DOMED = [make_crop("Lettuce", handling={"dome_days": 4}), make_crop("Chard", handling={"dome_days": 6})]
CHARD = Batch(crop="Chard", rows=2, boards=(6,), rafts=(6,))


def test_every_tray_has_a_dome_for_its_days_and_none_is_counted_twice():
    assert judged(make_farm(crops=DOMED, lane_slots=7, domes=3), MANY, CHARD) == []
    assert judged(make_farm(crops=DOMED, lane_slots=7, domes=2), MANY, CHARD) == [
        "equipment | dome | 2026-03-02: 3 in use and 0 being washed, 2 owned for 4 days"
    ]


def test_a_shared_tray_has_its_dome_as_long_as_any_lot_needs_it():
    farm = make_farm(crops=DOMED, domes=1)
    plan = join(build(farm, Batch(rows=2, boards=(6,), rafts=(6,)), CHARD), "T2", into="T1")
    in_use = [row.in_use for row in equipment_use(farm, plan) if row.kind == "dome"]
    assert in_use[:8] == [1, 1, 1, 1, 1, 1, 0, 0]
    assert told(farm, plan) == []


def test_domes_are_not_limited_where_the_farm_owns_no_kind():
    assert judged(make_farm(crops=DOMED, lane_slots=7), MANY, CHARD) == []


WORKED = make_crop("Lettuce", minutes={"sow": 2000, "board": 1200, "raft": 601, "cut": 50, "wash": 240})


def test_hours_are_counted_by_day_and_kind_of_work():
    farm = make_farm(crops=[WORKED], wash_days=1)
    rows = [(row.day, row.work, row.minutes) for row in hours(farm, build(farm, Batch()))]
    # 12 cells at 20.00 / 20; 12 plants at 12.00 / 12; 12 at 6.01 / 6 rounded up; 12 at 0.50; 2.40 a unit.
    assert rows == [
        (0, "sow", 1200),
        (10, "transplant", 1200),
        (10, "wash", 144),
        (20, "raft", 1212),
        (20, "wash", 240),
        (34, "cut", 600),
        (34, "wash", 480),
    ]


def test_work_of_a_day_fits_the_crew_to_the_last_hundredth():
    assert judged(make_farm(crops=[WORKED], wash_days=1, crew=1452), Batch()) == []
    assert judged(make_farm(crops=[WORKED], wash_days=1, crew=1451), Batch()) == [
        "hours | crew | 2026-03-22: 14.52 minutes of work, the crew has 14.51"
    ]


def test_lifting_a_raft_out_of_the_middle_of_its_row_takes_time():
    one = {"rows": 2, "boards": (6,), "rafts": (6,)}
    batches = [
        Batch(**one, cuts=((38, 6),)),
        Batch(**one, sown=1, board_day=11, raft_day=21, cuts=((35, 6),)),
        Batch(**one, sown=2, board_day=12, raft_day=22, cuts=((38, 6),)),
    ]
    farm = make_farm(rules={"lift_out": True, "lift_minutes": 700}, crew=700)
    assert [(row.day, row.work, row.minutes) for row in build(farm, *batches).hours] == [(35, "lift", 700)]
    assert judged(farm, *batches) == []
    tight = make_farm(rules={"lift_out": True, "lift_minutes": 700}, crew=699)
    assert judged(tight, *batches) == ["hours | crew | 2026-04-06: 7.00 minutes of work, the crew has 6.99"]


def test_work_before_today_is_not_held_against_the_crew():
    found = growing("Lettuce", StageKind.RAFT, -9, 12, 2)
    farm = make_farm(crops=[WORKED], growing=[found], crew=0)
    plan = build(farm, Batch(found=found, cuts=((6, 6),)))
    assert told(farm, plan) == ["hours | crew | 2026-03-08: 6.00 minutes of work, the crew has 0.00"]
