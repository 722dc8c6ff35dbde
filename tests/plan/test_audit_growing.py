"""What grows on the first day: kept in place and age, overdue told, nothing lost or thrown away unseen."""

from dataclasses import replace

import pytest
from farms import growing, make_crop, make_farm
from plans import Batch, build, drop, edit, judged, told

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind

TRAYS = growing("Lettuce", StageKind.TRAY, -4, 12, 2)
BOARDS = growing("Lettuce", StageKind.BOARD, -6, 12, 1)
RAFTS = growing("Lettuce", StageKind.RAFT, -9, 12, 2)
CUT_RAFTS = Batch(found=RAFTS, cuts=((6, 6),))


def test_everything_that_grows_is_in_the_plan():
    farm = make_farm(growing=[RAFTS])
    assert told(farm, build(farm, CUT_RAFTS)) == []
    assert told(farm, build(farm)) == [
        "growing | G | 2026-03-02: grows on the first day and is not in the plan",
        "growing | Trough 1 | 2026-03-02: 0 plants in rafts of G, 12 were found",
        "growing | Trough 1 | 2026-03-02: 0 rafts of G, 2 were found",
    ]


def test_a_growing_raft_too_few_or_a_plant_too_many_is_told():
    farm = make_farm(growing=[RAFTS])
    plan = build(farm, CUT_RAFTS)
    fewer = plan
    for table in ("units", "contents", "positions", "cuts"):
        fewer = drop(fewer, table, unit="R2")
    assert told(farm, fewer) == [
        "growing | Trough 1 | 2026-03-02: 1 rafts of G, 2 were found",
        "growing | Trough 1 | 2026-03-02: 6 plants in rafts of G, 12 were found",
    ]
    assert told(farm, edit(plan, "contents", {"unit": "R2"}, plants=7)) == [
        "whole units | R2 | 2026-02-21: holds 7 plants, 6 fit",
        "growing | Trough 1 | 2026-03-02: 13 plants in rafts of G, 12 were found",
    ]


def test_a_growing_lot_keeps_its_plants_crop_and_sowing_day_and_is_not_sown_again():
    farm = make_farm(growing=[TRAYS], crops=[make_crop("Lettuce"), make_crop("Chard")])
    plan = build(farm, Batch(found=TRAYS, board_day=6, raft_day=16, cuts=((30, 6),)))
    assert told(farm, plan) == []
    assert told(farm, edit(plan, "lots", {}, plants=13)) == [
        "growing | G | 2026-03-02: 13 plants, 12 were found"
    ]
    assert told(farm, edit(plan, "lots", {}, cells=4, seeds=4))[0] == (
        "growing | G | 2026-03-02: 4 cells and 4 seeds, but nothing is sown"
    )
    assert "growing | G | 2026-03-02: was sown on 2026-02-26" in told(farm, edit(plan, "lots", {}, sown=-5))
    assert "growing | G | 2026-03-02: is Lettuce, not Chard" in told(
        farm, edit(plan, "lots", {}, crop="Chard")
    )


def test_a_growing_raft_keeps_its_age():
    farm = make_farm(growing=[RAFTS])
    younger = Batch(found=replace(RAFTS, since=-8), cuts=((6, 6),))
    faults = told(farm, build(farm, younger))
    assert "growing | Trough 1 | 2026-03-02: 0 rafts of G, 2 were found" in faults
    assert "growing | R1 | 2026-02-22: raft of G that was not found on the farm" in faults


def test_a_growing_raft_keeps_its_row():
    farm = make_farm(growing=[RAFTS], lanes=2)
    assert told(farm, build(farm, replace(CUT_RAFTS, lane="Trough 2"))) == [
        "growing | Trough 1 | 2026-03-02: R1 of G was found here, not in Trough 2",
        "growing | Trough 1 | 2026-03-02: R2 of G was found here, not in Trough 2",
    ]


def test_growing_rafts_keep_their_order_in_the_row():
    ahead = growing("Lettuce", StageKind.RAFT, -9, 6, 1, lot="A", order=1)
    behind = growing("Lettuce", StageKind.RAFT, -9, 6, 1, lot="B", order=2)
    farm = make_farm(growing=[ahead, behind])
    first, second = Batch(found=ahead, cuts=((6, 6),)), Batch(found=behind, cuts=((6, 6),))
    assert judged(farm, first, second) == []
    assert judged(farm, second, first) == [
        "growing | Trough 1 | 2026-03-02: R1 is in slot 1, but was found as number 2 from the harvest end",
        "growing | Trough 1 | 2026-03-02: R2 is in slot 2, but was found as number 1 from the harvest end",
    ]


def test_a_growing_raft_discarded_from_the_middle_of_its_row_overtakes():
    ahead = growing("Lettuce", StageKind.RAFT, -9, 6, 1, lot="A", order=1)
    behind = growing("Lettuce", StageKind.RAFT, -9, 6, 1, lot="B", order=2)
    farm = make_farm(growing=[ahead, behind])
    gone = Batch(found=behind, cuts=(), emptied=0, discarded=6)
    assert judged(farm, Batch(found=ahead, cuts=((6, 6),)), gone) == []
    too_soon = replace(gone, leaves=0)
    assert judged(farm, Batch(found=ahead, cuts=((6, 6),)), too_soon) == [
        "lane order | Trough 1 | 2026-03-02: R2 leaves before R1, "
        "which entered before it and stays until 2026-03-08"
    ]


def test_growing_trays_stand_on_the_shelf_they_were_found_on():
    elsewhere = replace(TRAYS, place="Cellar")
    farm = make_farm(growing=[elsewhere])
    batch = Batch(found=elsewhere, board_day=6, raft_day=16, cuts=((30, 6),))
    assert judged(farm, batch) == [
        "growing | Cellar | 2026-03-02: T1 of G was found here, not in Shelf 1",
        "growing | Cellar | 2026-03-02: T2 of G was found here, not in Shelf 1",
    ]


@pytest.mark.parametrize(("day", "number"), [(5, 1), (6, 0), (9, 0), (10, 1)])
def test_growing_trays_are_moved_within_their_stage_days(day, number):
    farm = make_farm(growing=[TRAYS])
    faults = judged(farm, Batch(found=TRAYS, board_day=day, raft_day=day + 10, cuts=((day + 24, 6),)))
    assert [fault.split(" | ")[0] for fault in faults] == ["stage days"] * (2 * number)


def test_growing_seedlings_take_no_tray_losses_again_and_growing_boards_take_theirs():
    lossy = [make_crop("Lettuce", tray=(10, 3, 5000), board=(10, 3, 9000))]
    farm = make_farm(growing=[TRAYS], crops=lossy)
    assert judged(farm, Batch(found=TRAYS, board_day=6, raft_day=16, rafts=(6, 4), cuts=((30, 4),))) == []
    farm = make_farm(growing=[BOARDS], crops=lossy)
    assert judged(farm, Batch(found=BOARDS, raft_day=4, rafts=(6, 4), cuts=((18, 4),))) == []
    assert judged(farm, Batch(found=BOARDS, raft_day=4, rafts=(6, 5), cuts=((18, 4),))) == [
        "whole units | G | 2026-03-06: 11 plants set on rafts, but 12 leave boards of 2026-02-24 and give 10"
    ]


LATE_TRAYS = growing("Lettuce", StageKind.TRAY, -15, 12, 1)


def late(day, **changes):
    return Batch(
        **({"found": LATE_TRAYS, "board_day": day, "raft_day": day + 10, "cuts": ((day + 24, 6),)} | changes)
    )


def test_an_overdue_lot_is_marked_and_moved_within_a_week():
    farm = make_farm(growing=[LATE_TRAYS])
    assert judged(farm, late(0, overdue=True)) == []
    assert judged(farm, late(7, overdue=True)) == []
    assert judged(farm, late(8, overdue=True)) == [
        "stage days | Shelf 1 | 2026-03-10: 12 plants of G leave T1 after 23 days, "
        "but was overdue and must leave by 2026-03-09"
    ]
    assert judged(farm, late(0)) == ["growing | G | 2026-03-02: not marked overdue, but it is"]


def test_a_lot_is_overdue_only_when_no_work_day_is_left_to_it():
    last_good_day_is_tomorrow = replace(LATE_TRAYS, since=-12)
    for closed, overdue in (([], False), ([0], False), ([0, 1], True)):
        farm = make_farm(growing=[last_good_day_is_tomorrow], closed={Work.TRANSPLANT: closed})
        day = 2 if overdue else 1
        assert judged(farm, late(day, found=last_good_day_is_tomorrow, overdue=overdue)) == []
        wrong = judged(farm, late(day, found=last_good_day_is_tomorrow, overdue=not overdue))
        assert len(wrong) == 1
        assert wrong[0].startswith("growing | G | 2026-03-02: ")


def test_overdue_rafts_are_cut_within_a_week():
    found = replace(RAFTS, since=-21)
    farm = make_farm(growing=[found])
    assert judged(farm, Batch(found=found, cuts=((7, 6),), overdue=True)) == []
    assert judged(farm, Batch(found=found, cuts=((8, 6),), overdue=True)) == [
        f"fresh | Trough 1 | 2026-03-10: 6 plants of G on {raft}, cut 1: "
        "overdue, it had to be cut by 2026-03-09"
        for raft in ("R1", "R2")
    ]


def test_rafts_cut_before_are_cut_again_from_their_last_cut_on():
    crop = make_crop("Basil", board=None, raft=(14, 3, 10_000), cuts=3, interval=7)
    found = growing("Basil", StageKind.RAFT, -20, 6, 1, cuts_done=1, last_cut=-4)
    farm = make_farm(crops=[crop], growing=[found])

    def basil(*cuts):
        return Batch(crop="Basil", found=found, board_day=None, cuts=cuts)

    assert judged(farm, basil((3, 6), (10, 6))) == []
    assert judged(farm, basil((6, 6), (16, 6))) == []
    assert len(judged(farm, basil((2, 6), (10, 6)))) == 1
    assert len(judged(farm, basil((7, 6), (14, 6)))) == 1
    plan = build(farm, basil((3, 6), (10, 6), (17, 6)))
    assert told(farm, plan) == ["fresh | R1 | 2026-03-19: cut 4 of R1, which has cuts 2 to 3"]


def test_a_growing_lot_may_be_discarded_on_the_first_day_and_is_counted():
    farm = make_farm(growing=[TRAYS])
    gone = Batch(found=TRAYS, board_day=0, boards=(), raft_day=10, rafts=(), cuts=((24, 1),), discarded=12)
    assert judged(farm, gone) == []
    assert judged(farm, replace(gone, discarded=13)) == [
        "growing | G | 2026-03-02: 13 plants discarded, but 12 leave that day and go nowhere"
    ]
    unseen = judged(farm, replace(gone, discarded=0))
    assert unseen == [
        f"stage days | {tray} | 2026-03-02: 6 plants of G leave {tray} after 4 days, but must stand 10 days"
        for tray in ("T1", "T2")
    ]


def test_discarded_plants_do_not_go_on():
    found = replace(BOARDS, since=-10)
    farm = make_farm(growing=[found])
    batch = Batch(found=found, raft_day=0, rafts=(6,), cuts=((14, 6),), discarded=6)
    assert judged(farm, batch) == []
    assert judged(farm, replace(batch, discarded=7)) == [
        "whole units | G | 2026-03-02: 6 plants set on rafts, but 5 leave boards of 2026-02-20 and give 5",
        "growing | G | 2026-03-02: 7 plants discarded, but 6 leave that day and go nowhere",
    ]


def test_a_raft_that_is_thrown_away_is_said_to_be():
    found = growing("Lettuce", StageKind.RAFT, -14, 6, 1, order=1)
    farm = make_farm(growing=[found])
    gone = Batch(found=found, cuts=(), emptied=0, discarded=6)
    assert judged(farm, gone) == []
    assert judged(farm, replace(gone, discarded=5)) == [
        "growing | G | 2026-03-02: 5 plants discarded, but 6 leave that day uncut"
    ]
    cut = Batch(found=found, cuts=((0, 4),), emptied=0, discarded=2)
    assert judged(farm, cut) == []
    assert judged(farm, replace(cut, discarded=1)) == [
        "growing | G | 2026-03-02: 1 plants discarded, but 2 leave that day uncut"
    ]


TWICE = make_crop("Basil", board=None, raft=(14, 2, 10_000), cuts=2, interval=7)


def test_growing_rafts_may_be_discarded_beside_some_that_are_cut_today_and_stay():
    found = growing("Basil", StageKind.RAFT, -14, 12, 2)
    farm = make_farm(crops=[TWICE], growing=[found])
    batch = Batch(crop="Basil", found=found, board_day=None, cuts=((0, 6), (7, 6)), discarded=6)
    plan = drop(build(farm, batch), "cuts", unit="R2")
    plan = edit(edit(plan, "units", {"unit": "R2"}, emptied=0), "contents", {"unit": "R2"}, leaves=0)
    assert told(farm, plan) == []
    assert told(farm, edit(plan, "lots", {}, discarded=7)) == [
        "growing | G | 2026-03-02: 7 plants discarded, but 6 leave that day and go nowhere"
    ]


def test_part_of_a_growing_raft_may_be_discarded_while_the_rest_is_cut_today():
    found = growing("Basil", StageKind.RAFT, -14, 6, 1)
    farm = make_farm(crops=[TWICE], growing=[found])
    batch = Batch(crop="Basil", found=found, board_day=None, cuts=((0, 4), (7, 3)))
    plan = edit(build(farm, batch), "contents", {}, plants=3)
    gone = replace(plan.contents[0], leaves=0)
    plan = replace(plan, contents=(*plan.contents, gone))
    # Of the 6 plants 3 leave today: 1 after its only cut, 2 without any.
    for discarded, faults in ((0, 0), (2, 0), (3, 1)):
        assert len(told(farm, edit(plan, "lots", {}, discarded=discarded))) == faults


def test_boards_filled_today_from_growing_trays_are_not_those_of_the_lot_that_were_filled_today_before():
    boards, trays = (
        growing("Lettuce", StageKind.BOARD, 0, 12, 1),
        growing("Lettuce", StageKind.TRAY, -10, 12, 1),
    )
    farm = make_farm(growing=[boards, trays], crops=[make_crop("Lettuce", minutes={"board": 120})])
    plan = build(
        farm,
        Batch(found=boards, raft_day=10, cuts=((24, 6),)),
        Batch(found=trays, board_day=0, raft_day=11, cuts=((25, 6),)),
    )
    assert told(farm, plan) == []
    assert [(row.day, row.work, row.minutes) for row in plan.hours] == [(0, "transplant", 120)]
    assert "growing | Trough | 2026-03-02: 2 boards of G, 1 were found" in told(
        farm, edit(plan, "contents", {"unit": "B2"}, from_day=None)
    )


def test_rafts_filled_today_from_growing_boards_are_not_those_of_the_lot_that_were_filled_today_before():
    rafts, boards = (
        growing("Lettuce", StageKind.RAFT, 0, 12, 2),
        growing("Lettuce", StageKind.BOARD, -10, 12, 1),
    )
    farm = make_farm(growing=[rafts, boards])
    plan = build(farm, Batch(found=rafts, cuts=((14, 6),)), Batch(found=boards, raft_day=0, cuts=((15, 6),)))
    assert told(farm, plan) == []


def test_discarding_waits_for_today_and_needs_no_work_day():
    gone = Batch(found=TRAYS, board_day=3, boards=(), raft_day=10, rafts=(), cuts=((24, 1),), discarded=12)
    closed = {work: [3] for work in Work}
    assert judged(make_farm(growing=[TRAYS], today=3, closed=closed), gone) == []
    faults = judged(make_farm(growing=[TRAYS], today=4), gone)
    assert any(fault.endswith("leave T1 before 2026-03-06") for fault in faults)


def test_growing_trays_are_not_moved_before_today():
    farm = make_farm(tiers=2, growing=[TRAYS], today=3)
    plan = build(farm, Batch(found=TRAYS, board_day=6, raft_day=16, cuts=((30, 6),)))
    for day, faults in ((3, []), (2, ["growing | Shelf 2 | 2026-03-04: T1 is moved here before 2026-03-05"])):
        moved = edit(plan, "positions", {"unit": "T1"}, until=day)
        second = replace(plan.positions[0], place="Shelf 2", enters=day)
        assert told(farm, replace(moved, positions=(*moved.positions, second))) == faults


def test_nothing_enters_before_the_first_day_without_being_found():
    farm = make_farm()
    assert "growing | T1 | 2026-03-01: tray of LET-260301 that was not found on the farm" in judged(
        farm, Batch(sown=-1)
    )
