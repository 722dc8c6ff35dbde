"""Boards that move, shelves that come and go, and equipment that is bought."""

from datetime import date

import pytest
from helpers import TABLES, crops_csv
from scenarios import farm_with, faults_with, one, slots
from solving import got, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.places import PlaceKind

JUNE = date(2026, 3, 30)
"""Day 28 of the small book."""

LANES, ZONES, TIERS = PlaceKind.LANE, PlaceKind.ZONE, PlaceKind.TIER
MOVE = one("move boards", trough=["North trough"], into="Board trough", width=4, length=12, from_=JUNE)


def test_when_boards_move_their_slots_become_raft_slots_and_a_trough_of_boards_opens(tmp_path):
    farm = farm_with(tmp_path, MOVE)
    assert slots(farm, ZONES, 27) == {"North trough boards": 4, "Board trough boards": 0}
    assert slots(farm, ZONES, 28) == {"North trough boards": 0, "Board trough boards": 6}
    assert [slots(farm, LANES, day)["North trough 1"] for day in (27, 28)] == [4, 6]


def test_boards_may_go_to_a_trough_that_holds_boards_already(tmp_path):
    more = "trough,width,length,raft_width,raft_length,lie,holds\nNorth trough,4,24,2,4,along,\n"
    more += "Board trough,4,8,2,4,along,boards\n"
    text = one("move boards", trough="North trough", into="Board trough")
    farm = farm_with(tmp_path, text, troughs=more)
    assert slots(farm, ZONES) == {"Board trough boards": 4}
    text = one("move boards", trough="North trough", into="North trough", length=8)
    assert faults_with(tmp_path, text, troughs=more) == [
        "s1.toml: change 1 (move boards), into: found 'North trough', which holds rafts; expected a trough "
        "that holds boards, or a new name",
        "s1.toml: change 1 (move boards), length: found a length for 'North trough'; expected a new name, or "
        "no size: that one is there already",
    ]


def test_boards_that_stand_in_a_zone_when_it_closes_move_over_and_nothing_is_lost(tmp_path):
    # Set on boards on Monday 16 March (day 14) for 14 days; the zone closes a week before they may leave.
    order = (
        "order,customer,product,amount,weekdays,from,to\n"
        "R1,Harbour Table,Butterhead head,12,Fri,2026-04-24,2026-04-24\n"
    )
    closing = date(2026, 3, 23)
    own = one("move boards", trough=["North trough"], into="Board trough", width=4, length=8, from_=closing)
    farm = farm_with(tmp_path, own, orders=order)
    plan = solved(farm, seconds=1)
    assert set(got(plan).values()) == {12}
    boards = {unit.unit for unit in plan.units if unit.item == "board"}
    stands = {(row.place, row.until) for row in plan.positions if row.unit in boards}
    assert any(place == "Board trough boards" for place, _ in stands)
    assert all(until <= 21 for place, until in stands if place == "North trough boards")


def test_a_board_zone_comes_and_goes(tmp_path):
    farm = farm_with(tmp_path, one("close board zone", trough="North trough", from_=JUNE))
    assert [slots(farm, ZONES, day)["North trough boards"] for day in (27, 28)] == [4, 0]
    more = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    text = one("add board zone", trough="South trough", slots_per_row=1, rows=[2], from_=JUNE)
    farm = farm_with(tmp_path, text, troughs=more)
    assert [slots(farm, LANES, day)["South trough 2"] for day in (27, 28)] == [6, 5]
    (fault,) = faults_with(tmp_path, one("close board zone", trough="South trough"), troughs=more)
    assert "found 'South trough', which has no board zone" in fault


def test_a_second_zone_in_the_same_row_is_a_fault_of_the_change(tmp_path):
    text = one("add board zone", trough="North trough", slots_per_row=1, rows=[2])
    assert faults_with(tmp_path, text) == [
        "s1.toml: change 1 (add board zone), rows: found a second board zone in North trough 2; expected one "
        "zone in a row at a time"
    ]


def test_shelves_and_tiers_come_and_go_on_their_day(tmp_path):
    text = one("add shelf", shelf="Shelf B", tiers=1, trays_per_tier=3, from_=JUNE)
    text += one("add tiers", shelf="Shelf A", tiers=2, from_=date(2026, 3, 9))
    farm = farm_with(tmp_path, text)
    names = ["Shelf A 2", "Shelf A 3", "Shelf A 4", "Shelf B 1"]
    assert [slots(farm, TIERS, 6)[name] for name in names] == [4, 0, 0, 0]
    assert [slots(farm, TIERS, 7)[name] for name in names] == [4, 4, 4, 0]
    assert slots(farm, TIERS, 28)["Shelf B 1"] == 3
    gone = text + one("remove shelf", shelf="Shelf A", from_=JUNE)
    assert [slots(farm_with(tmp_path, gone), TIERS, day)["Shelf A 1"] for day in (27, 28)] == [4, 0]
    assert set(slots(farm_with(tmp_path, one("remove shelf", shelf="Shelf A"), shelves=SHELVES), TIERS)) == {
        "Shelf B 1"
    }


SHELVES = "shelf,tiers,trays_per_tier\nShelf A,2,4\nShelf B,1,4\n"


def test_equipment_is_added_to_what_there_is_by_every_scenario(tmp_path):
    text = one("add equipment", name="36-hole raft", more=5)
    farm = farm_with(tmp_path, text, one("add equipment", name="36-hole raft", more=7))
    assert farm.equipment["36-hole raft"].owned == 52
    text = one("add equipment", name="18-hole raft", more=4, item="raft", holes=18, wash_days=1)
    text += one("set", table="crops", row="Butterhead", raft="18-hole raft")
    made = farm_with(tmp_path, text)
    assert (made.equipment["18-hole raft"].owned, made.crops["Butterhead"].finish.unit) == (4, "18-hole raft")


def test_a_new_kind_must_say_what_it_is_and_an_old_one_may_not_say_it_again(tmp_path):
    (fault,) = faults_with(tmp_path, one("add equipment", name="new raft", more=4, holes=18))
    assert fault.startswith("s1.toml: change 1 (add equipment): found a blank cell; expected item")
    (fault,) = faults_with(tmp_path, one("add equipment", name="36-hole raft", more=4, holes=18))
    assert "holes: found holes for '36-hole raft', which is there already" in fault


def test_crops_that_filled_every_hole_fill_every_hole_of_another_number(tmp_path):
    text = one("other holes", name="72-hole board", holes=60)
    farm = farm_with(tmp_path, text, crops=crops_csv(plants_per_board="72"))
    assert farm.crops["Butterhead"].stage(StageKind.BOARD).plants_per_unit == 60
    (fault,) = faults_with(tmp_path, text, crops=crops_csv(plants_per_board="70"))
    assert fault.startswith("crops!")
    assert "found 70 plants; expected at most the 60 holes of '72-hole board'" in fault


@pytest.mark.parametrize("item", ["tray", "raft"])
def test_other_holes_of_trays_and_rafts(tmp_path, item):
    name = {"tray": "98-cell tray", "raft": "36-hole raft"}[item]
    farm = farm_with(tmp_path, one("other holes", name=name, holes=28))
    assert farm.equipment[name].holes == 28
