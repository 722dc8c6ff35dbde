"""Room: units take it from day to day, and the rows left out would not have asked for anything more."""

import random

import pytest

from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.model.bounds.program import Limit, Program
from scheduler.model.bounds.room import Room, of_places

LAST = 12


def most_plants(room, program):
    """Return the most plants that may stand at any time, all columns together."""
    room.keep(program, 0, LAST)
    return -program.least(dict.fromkeys(range(len(program.most)), -1), Limit(seconds=60))


def filled(room, stays):
    program = Program()
    for start, end, per_unit in stays:
        room.stand(start, end, program.column(1000), per_unit)
    return program


def test_units_are_counted_on_the_days_they_stand():
    room = Room(limit_on=lambda _: 2)
    assert most_plants(room, filled(room, [(0, 3, 6), (3, 5, 6), (4, 6, 4)])) == 12 + 12


def test_washed_units_take_room_for_longer():
    room = Room(limit_on=lambda _: 2, wash=1)
    assert most_plants(room, filled(room, [(0, 3, 6), (3, 5, 6)])) == 12


def test_plants_that_stay_on_take_the_room_they_have_without_a_wash():
    room = Room(limit_on=lambda _: 2, wash=2)
    program = filled(room, [(0, 3, 6)])
    room.stay_on(3, 6, program.column(1000), 6)
    assert most_plants(room, program) == 24


def test_units_found_on_the_first_day_keep_room_until_they_can_be_gone_and_washed():
    room = Room(limit_on=lambda _: 3, wash=2)
    room.found(0, 0, 2)
    assert most_plants(room, filled(room, [(1, 4, 6)])) == 6
    later = Room(limit_on=lambda _: 3, wash=2)
    later.found(0, 0, 2)
    assert most_plants(later, filled(later, [(2, 4, 6)])) == 18


def test_more_units_found_than_there_is_room_for_leave_none_but_ask_for_nothing():
    room = Room(limit_on=lambda _: 1, wash=1)
    room.found(0, 0, 2)
    assert most_plants(room, filled(room, [(0, 4, 6)])) == 0


def test_slots_that_close_are_counted_though_nothing_enters_that_day():
    lanes = [
        Place(name=f"Trough {n}", belongs_to="Trough", kind=PlaceKind.LANE, slots=Steps(((-9, 2), (5, n))))
        for n in (1, 2)
    ]
    room = of_places(lanes)
    assert most_plants(room, filled(room, [(2, 8, 6)])) == 18


@pytest.mark.parametrize("seed", range(25))
def test_days_that_are_left_out_ask_for_no_more_than_those_kept(seed):
    draw = random.Random(seed)
    limits = [draw.randint(0, 4) for _ in range(LAST + 1)]
    if draw.random() < 0.5:
        limits = [limits[0]] * (LAST + 1)
    stays = []
    for _ in range(draw.randint(1, 9)):
        start = draw.randint(0, LAST - 1)
        stays.append((start, draw.randint(start + 1, LAST + 3), draw.randint(1, 6)))
    room = Room(limit_on=limits.__getitem__, changes=frozenset(range(LAST + 1)))
    every = Program()
    columns = [every.column(1000) for _ in stays]
    for day in range(LAST + 1):
        on = [
            (c, 60 // per) for c, (start, end, per) in zip(columns, stays, strict=True) if start <= day < end
        ]
        every.keep(on, 60 * limits[day])
    wanted = -every.least(dict.fromkeys(columns, -1), Limit(seconds=60))
    assert float(most_plants(room, filled(room, stays))) == pytest.approx(float(wanted), abs=1e-6)
