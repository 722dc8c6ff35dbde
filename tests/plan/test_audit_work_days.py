"""Work days: work on a closed day, before today or outside a sowing window is told; beside it passes."""

from dataclasses import replace

import pytest
from farms import growing, make_crop, make_farm
from plans import Batch, judged

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind


@pytest.mark.parametrize(
    ("work", "day", "fault"),
    [
        (Work.SOW, 0, "2026-03-02: 12 cells sown, but no day for that work"),
        (Work.TRANSPLANT, 10, "2026-03-12: 12 plants set on boards, but no day for that work"),
        (Work.RAFT, 20, "2026-03-22: 12 plants set on rafts, but no day for that work"),
        (Work.HARVEST, 34, "2026-04-05: 12 plants cut, but no day for that work"),
    ],
)
def test_no_work_is_done_on_a_day_closed_for_it(work, day, fault):
    assert judged(make_farm(closed={work: [day]}), Batch()) == [f"work days | LET-260302 | {fault}"]
    others = {other: [day] for other in Work if other is not work}
    assert judged(make_farm(closed=others), Batch()) == []


def test_work_is_done_on_the_weekdays_of_that_work():
    monday, thursday, sunday = [0], [3], [6]
    days = {Work.SOW: monday, Work.TRANSPLANT: thursday, Work.RAFT: sunday, Work.HARVEST: sunday}
    assert judged(make_farm(work_days=days), Batch()) == []
    assert judged(make_farm(work_days=days | {Work.RAFT: monday}), Batch()) == [
        "work days | LET-260302 | 2026-03-22: 12 plants set on rafts, but no day for that work"
    ]


def test_nothing_is_sown_before_today():
    assert judged(make_farm(today=0), Batch()) == []
    assert judged(make_farm(today=1), Batch()) == [
        "work days | LET-260302 | 2026-03-02: 12 cells sown before 2026-03-03"
    ]


def test_plants_thrown_away_leave_their_tray_on_a_work_day_too():
    nowhere = Batch(rows=1, board_day=12, boards=(), raft_day=22, rafts=(), cuts=((36, 6),))
    assert judged(make_farm(), Batch(), nowhere) == []
    assert judged(make_farm(closed={Work.TRANSPLANT: [12]}), Batch(), nowhere) == [
        "work days | LET-260302 | 2026-03-14: 4 plants leave T2, but no day for that work"
    ]


def test_a_raft_nobody_cuts_is_emptied_on_any_day_but_not_before_today():
    found = growing("Lettuce", StageKind.RAFT, -9, 6, 1)
    batch = Batch(found=found, cuts=(), emptied=3)
    thrown = replace(batch, discarded=6)
    assert judged(make_farm(growing=[found], today=3, closed={Work.HARVEST: [3]}), thrown) == []
    assert judged(make_farm(growing=[found], today=4), batch) == [
        "work days | G | 2026-03-05: 6 plants leave R1 before 2026-03-06"
    ]


def test_a_crop_is_sown_inside_its_sowing_windows():
    assert judged(make_farm(crops=[make_crop("Lettuce", sowing=((-50, -1), (0, 0)))]), Batch()) == []
    assert judged(make_farm(crops=[make_crop("Lettuce", sowing=((-50, -1), (1, 50)))]), Batch()) == [
        "work days | LET-260302 | 2026-03-02: Lettuce is sown outside its sowing windows"
    ]
