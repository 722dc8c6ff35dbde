"""Water, shelves, zones and closures as places with slots."""

from datetime import date
from pathlib import Path

import pytest
from helpers import TABLES, csv_of, farm_of, write_book

from scheduler.book.book import read_book
from scheduler.book.schema import load_schema
from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.troughs import describe_troughs
from scheduler.farm.places import PlaceKind

TROUGH = "trough,width,length,raft_width,raft_length,lie\nNorth trough,{},{},2,4,along\n"


def slots(farm: Farm, day: int) -> dict[str, int]:
    return {place.name: place.slots.on(day) for place in farm.places}


def test_tiers_zone_and_rows_stand_in_the_order_of_the_book(tmp_path: Path) -> None:
    farm = farm_of(tmp_path)
    assert slots(farm, 0) == {
        "Shelf A 1": 4,
        "Shelf A 2": 4,
        "North trough boards": 4,
        "North trough 1": 4,
        "North trough 2": 4,
    }
    assert {place.belongs_to for place in farm.places} == {"Shelf A", "North trough"}


@pytest.mark.parametrize(("length", "each"), [("24.0", 6), ("23.99", 5), ("24.01", 6), ("23.9999999", 5)])
def test_a_length_takes_a_raft_more_only_when_all_of_it_fits(tmp_path: Path, length: str, each: int) -> None:
    farm = farm_of(tmp_path, troughs=TROUGH.format(4, length))
    lanes = farm.places_of(PlaceKind.LANE)
    assert [lane.slots.on(0) for lane in lanes] == [each - 2, each - 2]


def test_rafts_of_2_by_4_ft_in_water_of_6_by_36_ft_make_three_rows_of_nine(tmp_path: Path) -> None:
    # common practice, no source
    farm = farm_of(tmp_path, troughs=TROUGH.format(6, 36), board_zones=None, crops=no_boards())
    lanes = farm.places_of(PlaceKind.LANE)
    assert [lane.slots.on(0) for lane in lanes] == [9, 9, 9]


def test_a_shelf_of_four_tiers_with_four_trays_of_200_cells_takes_3200_cells(tmp_path: Path) -> None:
    # common practice, no source
    equipment = TABLES["equipment"].replace("98-cell tray,tray,98,14", "200-cell tray,tray,200,10")
    farm = farm_of(tmp_path, shelves="shelf,tiers,trays_per_tier\nS,4,4\n", equipment=equipment)
    trays = sum(tier.slots.on(0) for tier in farm.places_of(PlaceKind.TIER))
    assert trays * farm.equipment["200-cell tray"].holes == 3200


def no_boards() -> str:
    return TABLES["crops"].replace(",14,3,14,3,21", ",14,3,0,3,21")


def test_rafts_across_take_more_of_the_width(tmp_path: Path) -> None:
    troughs = TROUGH.format(4, 24).replace("along", "across")
    lanes = farm_of(tmp_path, troughs=troughs).places_of(PlaceKind.LANE)
    assert [lane.slots.on(0) for lane in lanes] == [10]


def test_a_trough_that_holds_boards_is_one_place_without_rows(tmp_path: Path) -> None:
    troughs = TROUGH.format(4, 24).replace("lie", "lie,holds").replace("along", "along,")
    farm = farm_of(tmp_path, troughs=troughs + "Nursery,4,8,2,4,along,boards\n", board_zones=None)
    assert slots(farm, 0)["Nursery boards"] == 4
    assert {lane.belongs_to for lane in farm.places_of(PlaceKind.LANE)} == {"North trough"}


def test_a_zone_from_a_day_to_a_day_takes_its_slots_only_then(tmp_path: Path) -> None:
    zones = "trough,slots_per_row,rows,from,to\nNorth trough,3,2,2026-03-10,2026-03-19\n"
    zones += "North trough,1,1; 2,2026-03-20,\n"
    farm = farm_of(tmp_path, board_zones=zones)
    assert [slots(farm, day)["North trough boards"] for day in (7, 8, 17, 18)] == [0, 3, 3, 2]
    assert [slots(farm, day)["North trough 1"] for day in (7, 8, 17, 18)] == [6, 6, 6, 5]
    assert [slots(farm, day)["North trough 2"] for day in (7, 8, 17, 18)] == [6, 3, 3, 5]


def test_places_have_slots_only_from_their_first_day_to_their_last(tmp_path: Path) -> None:
    shelves = "shelf,tiers,trays_per_tier,first_day,last_day\nS,1,4,2026-03-04,2026-03-06\n"
    farm = farm_of(tmp_path, shelves=shelves)
    assert [slots(farm, day)["S 1"] for day in (1, 2, 4, 5)] == [0, 4, 4, 0]


def test_a_closure_takes_some_slots_of_a_row_or_all_of_a_trough(tmp_path: Path) -> None:
    closures = "from,to,place,slots\n2026-03-03,2026-03-04,North trough 1,3\n2026-03-06,,North trough,\n"
    farm = farm_of(tmp_path, closures=closures)
    assert [slots(farm, day)["North trough 1"] for day in (0, 1, 2, 3, 4, 5)] == [4, 1, 1, 4, 0, 4]
    assert [slots(farm, day)["North trough 2"] for day in (0, 1, 4)] == [4, 4, 0]
    assert [slots(farm, day)["North trough boards"] for day in (0, 1, 4)] == [4, 4, 0]


def test_a_closed_row_closes_its_part_of_the_board_zone(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, closures="from,place\n2026-03-03,North trough 2\n")
    assert slots(farm, 1)["North trough boards"] == 2


def test_a_closed_place_stops_no_work_unless_work_is_named(tmp_path: Path) -> None:
    closures = "from,work,place\n2026-03-02,,Shelf A\n2026-03-05,sow; raft,Shelf A 1\n2026-03-09,all,\n"
    farm = farm_of(tmp_path, closures=closures)
    closed = {str(work): sorted(days) for work, days in farm.calendar.closed.items()}
    assert closed == {"sow": [3, 7], "transplant": [7], "raft": [3, 7], "harvest": [7]}
    assert slots(farm, 0)["Shelf A 2"] == 0


def test_the_example_of_a_closure_in_the_schema_is_taken(tmp_path: Path) -> None:
    columns = load_schema().tables["closures"].columns
    table = csv_of({column.name: column.example for column in columns})
    farm = farm_of(tmp_path, {"weeks": "48"}, closures=table)
    day = farm.calendar.day_of(date(2026, 12, 25))
    assert (slots(farm, day)["North trough 1"], slots(farm, day)["North trough 2"]) == (2, 4)
    assert day in farm.calendar.closed[Work.SOW]


def test_troughs_are_told_in_words(tmp_path: Path) -> None:
    troughs = TROUGH.format("4.3", "25.25") + "South trough,2,4,2,4,along\n"
    assert describe_troughs(read_book(write_book(tmp_path, troughs=troughs))) == [
        "North trough: 2 rows of 6 rafts, 12 in all; 0.3 ft beside the rows and 1.25 ft behind the last slot "
        "stay open",
        "South trough: 1 row of 1 raft, 1 in all; no water stays open",
    ]
