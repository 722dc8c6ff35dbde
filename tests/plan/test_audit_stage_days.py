"""Stage days: the first and the last day pass, one day before or after is told, at any pace."""

from dataclasses import replace

import pytest
from farms import make_crop, make_farm
from plans import Batch, build, edit, judged, told


@pytest.mark.parametrize(
    ("board_day", "fault"),
    [
        (
            9,
            "stage days | Shelf 1 | 2026-03-11: 12 plants of LET-260302 leave T1 after 9 days, "
            "but must stand 10 days",
        ),
        (10, None),
        (13, None),
        (
            14,
            "stage days | Shelf 1 | 2026-03-16: 12 plants of LET-260302 leave T1 after 14 days, "
            "but may stand 13 days at most",
        ),
    ],
)
def test_seedlings_stay_in_trays_from_their_days_to_their_days_and_wait(board_day, fault):
    raft_day = board_day + 10
    batch = Batch(board_day=board_day, raft_day=raft_day, cuts=((raft_day + 14, 6),))
    assert judged(make_farm(), batch) == ([fault] if fault else [])


@pytest.mark.parametrize(
    ("raft_day", "fault"),
    [
        (
            19,
            "stage days | Trough boards | 2026-03-21: 12 plants of LET-260302 leave B1 after 9 days, "
            "but must stand 10 days",
        ),
        (20, None),
        (23, None),
        (
            24,
            "stage days | Trough boards | 2026-03-26: 12 plants of LET-260302 leave B1 after 14 days, "
            "but may stand 13 days at most",
        ),
    ],
)
def test_plants_stay_on_boards_from_their_days_to_their_days_and_wait(raft_day, fault):
    batch = Batch(raft_day=raft_day, cuts=((raft_day + 14, 6),))
    assert judged(make_farm(), batch) == ([fault] if fault else [])


def test_at_half_pace_everything_takes_twice_as_long():
    farm = make_farm(pace={"": 500})
    assert judged(farm, Batch(board_day=20, raft_day=40, cuts=((68, 6),))) == []
    assert judged(farm, Batch(board_day=19, raft_day=39, cuts=((67, 6),))) == [
        "stage days | Shelf 1 | 2026-03-21: 12 plants of LET-260302 leave T1 after 9.5 days, "
        "but must stand 10 days"
    ]


def test_the_pace_is_that_of_the_trough_the_zone_lies_in():
    farm = make_farm(pace={"Trough": 500})
    assert judged(farm, Batch(raft_day=30, cuts=((58, 6),))) == []
    assert len(judged(farm, Batch(raft_day=29, cuts=((57, 6),)))) == 1


def test_a_tray_moved_to_another_shelf_grows_at_the_pace_of_each():
    farm = make_farm(tiers=2, pace={"Shelf": 1000})
    other = farm.places[1]
    slow = replace(other, belongs_to="Cellar")
    places = (farm.places[0], slow, *farm.places[2:])
    pace = replace(farm.pace, months=farm.pace.months | {"Cellar": dict.fromkeys(range(1, 13), 500)})
    farm = replace(farm, places=places, pace=pace)
    for board_day, faults in ((13, 0), (12, 1)):
        raft_day = board_day + 10
        plan = build(farm, Batch(board_day=board_day, raft_day=raft_day, cuts=((raft_day + 14, 6),)))
        tray = plan.positions[0]
        plan = edit(plan, "positions", {"unit": "T1"}, until=7)
        moved = replace(tray, place="Shelf 2", enters=7)
        assert len(told(farm, replace(plan, positions=(*plan.positions, moved)))) == faults


def test_a_crop_without_boards_goes_from_trays_to_rafts_in_its_days():
    farm = make_farm(crops=[make_crop("Basil", board=None)])
    assert judged(farm, Batch(crop="Basil", board_day=None, raft_day=13, cuts=((27, 6),))) == []
    assert len(judged(farm, Batch(crop="Basil", board_day=None, raft_day=14, cuts=((28, 6),)))) == 1
