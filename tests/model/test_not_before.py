"""What was treated or is in quarantine is cut on its first allowed day at the earliest, wherever it goes."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm
from solving import got, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.orders.reach import cut_days_of_growing
from scheduler.model.build import list_options
from scheduler.model.options.frame import season
from scheduler.plan.audit import audit, fault_lines


def farm(stage=StageKind.RAFT, since=-3, not_before=None, **needs):
    plants = growing("Lettuce", stage, since, 6, 1, not_before=not_before, order=stage is StageKind.RAFT)
    wanted = [delivery("Lettuce", day, 2) for day in (1, 2, 3, 4, 6, 8)]
    return make_farm(**{"days": 14, "crops": [quick_crop()], "demands": wanted, "growing": [plants], **needs})


def days_cut(plan):
    return sorted({cut.day for cut in plan.cuts if cut.lot == "G"})


def test_a_raft_is_cut_from_its_first_allowed_day_on():
    assert min(days_cut(solved(farm()))) == 1
    plan = solved(farm(not_before=3))
    assert min(days_cut(plan)) == 3
    assert got(plan)["Lettuce 2"] == 0


def test_a_raft_that_may_be_cut_on_its_last_good_day_is_cut_and_a_day_later_thrown_away():
    assert days_cut(solved(farm(not_before=3))) == [3]
    late = solved(farm(not_before=4))
    assert days_cut(late) == []
    assert late.lots[0].discarded == 6


@pytest.mark.parametrize("stage", [StageKind.TRAY, StageKind.BOARD])
def test_it_holds_for_what_is_moved_before_it_is_cut(stage):
    crop = quick_crop(board=(3, 1, 10_000)) if stage is StageKind.BOARD else quick_crop()
    free, held = (farm(stage, not_before=day, crops=[crop]) for day in (None, 6))
    assert min(days_cut(solved(free))) < 6
    assert min(days_cut(solved(held)), default=6) >= 6
    options = list_options(season(held)).raft_sets
    assert all(step.day >= 6 for option in options if option.growing == 0 for step in option.cuttings)


def test_the_days_it_can_be_cut_on_are_counted_from_then():
    of = farm(not_before=2)
    assert cut_days_of_growing(of, of.growing[0]) == [[2, 3]]


def test_the_audit_tells_a_cut_a_day_too_soon():
    plan = solved(farm())
    first = min(days_cut(plan))
    for day, faults in ((first, 0), (first + 1, 1)):
        of = farm(not_before=day)
        told = [line for line in fault_lines(audit(of, plan)) if "not before" in line]
        assert len(told) == faults
    (line,) = [line for line in fault_lines(audit(farm(not_before=first + 1), plan)) if "not before" in line]
    assert line.startswith("growing | ")
    assert "G is cut; not before 2026-03-04" in line


def test_two_rows_of_a_lot_in_one_place_are_told_apart():
    rows = [
        growing("Lettuce", StageKind.RAFT, -3, 6, 1, order=1),
        growing("Lettuce", StageKind.RAFT, -3, 9, 2, order=2),
    ]
    of = farm(growing=rows)
    assert fault_lines(audit(of, solved(of))) == []
    swapped = replace(of, growing=(replace(rows[0], order=2), replace(rows[1], order=1)))
    assert fault_lines(audit(swapped, solved(swapped))) == []
    trays = [growing("Lettuce", StageKind.TRAY, -2, number, 2) for number in (20, 7)]
    of = farm(growing=trays)
    assert fault_lines(audit(of, solved(of))) == []
