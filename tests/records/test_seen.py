"""What a batch shows of its crop and what it cannot: waits of the plan, slow places, surplus, losses told."""

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest
from recorded import FIRST, boarded, cut, now, rafted, small, sown, tell, told

from scheduler.records.drafts import Hints
from scheduler.records.entries import in_force
from scheduler.records.seen import seen

CROPS = (
    "crop,card,code,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_percent,"
    "survival_tray_percent,survival_board_percent,survival_raft_percent,plants_per_raft,plants_per_board\n"
    "Butterhead,,BUT,14,6,14,6,21,9,90,90,97,90,36,72\n"
)
PRODUCTS = "product,crop\nButterhead head,Butterhead\n"


@pytest.fixture
def farm(tmp_path):
    return small(tmp_path, crops=CROPS, products=PRODUCTS)


def planned(entry, due, wanted=None):
    """Return an entry as that of a task that a plan had for a day, and for so many plants."""
    hints = Hints(due=FIRST + timedelta(days=due), wanted=wanted, staying=(0, 1))
    return replace(entry, hints=hints)


def shown(farm, *entries):
    """Return figure -> value of the one lot of some entries."""
    log = tell(farm, [], *entries)
    numbered = [(each.number, each.entry) for each in log]
    found = list(seen(farm, in_force(numbered), now(log)))
    assert len({each.figure for each in found}) == len(found)
    return {each.figure: each.value for each in found}


@pytest.mark.parametrize(
    ("day", "due", "days"),
    [
        (14, 14, 14),  # on the first day the card's days were over
        (12, 14, 12),  # earlier, for the plants were ready
        (17, 17, None),  # kept waiting by the plan: when they were ready nobody saw
        (16, 18, None),
        (17, 14, 17),  # three days later than planned, for they were not ready
        (18, 16, 16),  # two of four days too many were the plan's own
        (17, None, 17),  # no plan asked for it
    ],
)
def test_days_are_those_until_plants_were_ready(farm, day, due, days):
    moved = boarded(day)
    found = shown(farm, sown(), moved if due is None else planned(moved, due, 72))
    assert found.get("days_tray") == days


def test_of_plants_that_left_at_different_times_those_that_did_not_wait_count(farm):
    early = planned(boarded(14, plants=20, left=52), 14, 20)
    late = planned(boarded(18, plants=52), 18, 52)
    assert shown(farm, sown(plants=98), early, late)["days_tray"] == 14


def test_the_first_cut_tells_days_on_rafts(farm):
    grown = [sown(), boarded(), rafted()]
    assert shown(farm, *grown, planned(cut(52), 49, 34))["days_raft"] == 24
    assert "days_raft" not in shown(farm, *grown, planned(cut(52), 52, 34))


def test_days_at_half_the_pace_count_half(tmp_path):
    pace = "place,month,pace\nShelf A,3,0.5\n"
    farm = small(tmp_path, crops=CROPS, products=PRODUCTS, pace=pace)
    # 26 days in March at half the pace are 13 card days, and 28 are the card's 14
    assert shown(farm, sown(), boarded(26))["days_tray"] == 13
    assert shown(farm, sown(), boarded(28))["days_tray"] == 14


@pytest.mark.parametrize(
    ("moved", "wanted", "lost", "share"),
    [
        (72, 72, 0, 90),  # 72 of 80 are 90 %
        (76, 76, 0, 95),  # more than the book's share moved on
        (60, 60, 0, 90),  # no more were wanted: the rest may have been as good, the book's 90 % stand
        (60, 72, 0, 75),  # more were wanted and were not there
        (60, None, 20, 75),  # the rest is told as lost
        (60, None, 5, 90),  # part of the rest is told as lost: what became of the others is not known
    ],
)
def test_seedlings_that_move_on_show_what_survives_the_tray(tmp_path, moved, wanted, lost, share):
    farm = small(tmp_path, crops=CROPS, products=PRODUCTS)
    entries = [sown(), told("germinated", 5, lot="BUT-260302", plants=80)]
    if lost:
        entries.append(told("lost", 8, lot="BUT-260302", plants=lost, place="Shelf A 1"))
    entry = boarded(14, plants=moved)
    entries.append(entry if wanted is None else planned(entry, 14, wanted))
    assert shown(farm, *entries)["survival_tray_percent"] == share


def test_cells_lost_before_the_count_are_no_seedlings(farm):
    entries = [
        sown(),
        told("lost", 3, lot="BUT-260302", plants=18),
        told("germinated", 5, lot="BUT-260302", plants=80),
        boarded(14, plants=60),
    ]
    assert shown(farm, *entries)["survival_tray_percent"] == 90


def test_losses_told_on_rafts_part_what_died_from_what_could_not_be_sold(farm):
    lost = told("lost", 40, lot="BUT-260302", plants=7)
    found = shown(farm, sown(), boarded(), rafted(), lost, cut(49, plants=63, heads=60))
    assert found["survival_raft_percent"] == 90
    assert found["saleable_percent"] == Fraction(6000, 63)
    found = shown(farm, sown(), boarded(), rafted(), cut(49, plants=70, heads=63))
    assert found["survival_raft_percent"] == 90
    assert "saleable_percent" not in found


def test_a_correction_keeps_what_the_plan_had(farm):
    entries = [sown(), planned(boarded(18, op="b"), 16, 72)]
    log = tell(farm, [], *entries)
    log = tell(farm, log, boarded(17, corrects="b"))
    numbered = [(each.number, each.entry) for each in log]
    (found,) = (s for s in seen(farm, in_force(numbered), now(log)) if s.figure == "days_tray")
    assert found.value == 15
