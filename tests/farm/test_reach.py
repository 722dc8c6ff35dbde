"""Stage days, and the first day a product can be delivered from a new sowing."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from helpers import TABLES, crops_csv, farm_of, write_book

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.growth.stages import next_work, pace_groups, stage_days
from scheduler.farm.orders.reach import cut_days_of_growing, earliest_cut, earliest_reach, is_overdue

HEAD = "Butterhead head"
GROWING = "crop,stage,place,since,plants,units,cuts_done,last_cut\n"


def test_a_stage_ends_on_work_days_from_its_days_to_its_wait(tmp_path: Path) -> None:
    farm = farm_of(tmp_path)
    crop = farm.crops["Butterhead"]
    # 14 to 17 days after Monday the 2nd: Monday the 16th and Thursday the 19th
    assert stage_days(farm, crop, StageKind.TRAY, "Shelf A", 0) == [14, 17]
    assert stage_days(farm, crop, StageKind.TRAY, "Shelf A", 1) == [17]
    assert stage_days(farm, crop, StageKind.RAFT, "North trough", 28) == [49, 51, 53, 56]


def test_a_stage_lasts_longer_at_a_slow_pace(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, pace="place,month,pace\nShelf A,3,0.5\n")
    # 28 days to grow 14; on day 30 April begins at full pace, so 17 are grown on day 32
    assert stage_days(farm, farm.crops["Butterhead"], StageKind.TRAY, "Shelf A", 0) == [28, 31]


def test_days_before_today_are_left_out(tmp_path: Path) -> None:
    farm = replace(farm_of(tmp_path), today=15)
    assert stage_days(farm, farm.crops["Butterhead"], StageKind.TRAY, "Shelf A", 0) == [17]


def test_the_work_that_ends_a_stage_depends_on_the_route(tmp_path: Path) -> None:
    with_boards = farm_of(tmp_path).crops["Butterhead"]
    without = farm_of(tmp_path, crops=crops_csv(days_board="0")).crops["Butterhead"]
    assert next_work(with_boards, StageKind.TRAY) is Work.TRANSPLANT
    assert next_work(without, StageKind.TRAY) is next_work(with_boards, StageKind.BOARD) is Work.RAFT
    assert next_work(without, StageKind.RAFT) is Work.HARVEST
    in_trays = replace(without, route=without.route[:1])
    assert in_trays.ends_in(StageKind.TRAY)
    assert next_work(in_trays, StageKind.TRAY) is Work.HARVEST
    assert stage_days(farm_of(tmp_path), without, StageKind.BOARD, "North trough", 0) == []


def test_places_of_equal_pace_are_one_group(tmp_path: Path) -> None:
    shelves = "shelf,tiers,trays_per_tier\nA,1,4\nB,2,4\nC,1,4\n"
    farm = farm_of(tmp_path, shelves=shelves, pace="place,month,pace\nB,3,0.8\n")
    groups = pace_groups(farm, StageKind.TRAY, farm.crops["Butterhead"])
    assert [[place.name for place in group] for group in groups] == [["A 1", "C 1"], ["B 1", "B 2"]]


def test_the_first_delivery_is_the_sum_of_the_stages_on_work_days(tmp_path: Path) -> None:
    assert earliest_reach(farm_of(tmp_path)) == {HEAD: 49}
    # sown on Thursday the 5th: 19 March, 2 April, and 23 April is a Thursday, cut on Friday
    windows = "crop,from\nButterhead,2026-03-03\n"
    assert earliest_reach(farm_of(tmp_path, sowing_windows=windows)) == {HEAD: 53}


def test_the_first_delivery_counts_from_today(tmp_path: Path) -> None:
    book = read_book(write_book(tmp_path))
    assert earliest_reach(build_farm(book, today=date(2026, 3, 9))) == {HEAD: 56}


def test_the_fastest_place_counts_and_a_closed_day_moves_work(tmp_path: Path) -> None:
    shelves = "shelf,tiers,trays_per_tier\nSlow,1,4\nFast,1,4\n"
    pace = "place,month,pace\nSlow,3,0.5\nFast,3,1.5\n"
    assert earliest_reach(farm_of(tmp_path, shelves=shelves, pace=pace)) == {HEAD: 46}
    closed = "from,work\n2026-04-20,harvest\n"
    assert earliest_reach(farm_of(tmp_path, closures=closed)) == {HEAD: 51}


def test_a_place_out_of_service_cannot_be_reached(tmp_path: Path) -> None:
    troughs = TABLES["troughs"].replace("lie\n", "lie,first_day\n").replace("along\n", "along,2026-04-20\n")
    zones = "trough,slots_per_row\nNorth trough,2\n"
    # boards enter on the 20th of April at the earliest: 20 April + 14 + 21
    assert earliest_reach(farm_of(tmp_path, troughs=troughs, board_zones=zones)) == {HEAD: 49 + 35}


def test_a_closed_row_stops_a_raft_on_its_way_but_another_row_will_do(tmp_path: Path) -> None:
    one = "from,to,place\n2026-04-01,2026-04-10,North trough 1\n"
    assert earliest_reach(farm_of(tmp_path, closures=one)) == {HEAD: 49}
    both = one + "2026-04-11,2026-04-12,North trough 2\n"
    assert earliest_reach(farm_of(tmp_path, closures=both))[HEAD] == 28 + 14 + 21


def test_a_product_that_is_never_reached_has_no_day(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, sowing_windows="crop,to\nButterhead,2026-02-01\n")
    assert earliest_reach(farm) == {HEAD: None}


def test_the_quickest_crop_of_a_product_counts(tmp_path: Path) -> None:
    row = TABLES["crops"].splitlines()[1]
    crops = TABLES["crops"] + row.replace("Butterhead,14,3,14", "Romaine,14,3,0") + "\n"
    products = "product,crop\nButterhead head,Butterhead\nButterhead head,Romaine\n"
    farm = farm_of(tmp_path, crops=crops, products=products)
    assert earliest_cut(farm, farm.crops["Romaine"]) == 35
    assert earliest_reach(farm) == {HEAD: 35}


def test_what_grows_goes_on_from_its_own_stage(tmp_path: Path) -> None:
    table = GROWING + (
        "Butterhead,tray,Shelf A,2026-02-20,80,1,,\n"  # 10 days old: 6 March is a Friday, so Monday the 9th
        "Butterhead,board,North trough,2026-02-23,72,1,,\n"
        "Butterhead,raft,North trough 1,2026-02-12,36,1,,\n"
    )
    farm = farm_of(tmp_path, growing=table)
    assert [cut_days_of_growing(farm, row)[0][0] for row in farm.growing] == [7 + 14 + 21, 7 + 21, 4]


def test_what_is_past_its_last_good_day_is_overdue_and_cut_at_once(tmp_path: Path) -> None:
    rows = "Butterhead,raft,North trough 1,{},36,1,,\nButterhead,tray,Shelf A,{},80,1,,\n"
    # 28 days to the last good harvest day, 17 in the tray: both end on the first day, a work day
    farm = farm_of(tmp_path, growing=GROWING + rows.format("2026-02-02", "2026-02-13"))
    assert [is_overdue(farm, row) for row in farm.growing] == [False, False]
    farm = farm_of(tmp_path, growing=GROWING + rows.format("2026-02-01", "2026-02-12"))
    assert [is_overdue(farm, row) for row in farm.growing] == [True, True]
    assert [cut_days_of_growing(farm, row)[0][0] for row in farm.growing] == [14 + 21, 0]


def test_a_raft_that_was_cut_waits_for_its_next_cut(tmp_path: Path) -> None:
    table = GROWING + "Butterhead,raft,North trough 1,2026-01-05,36,1,1,2026-02-20\n"
    farm = farm_of(tmp_path, crops=crops_csv(cuts="3", cut_interval="14"), growing=table)
    # the third cut: 14 to 21 days after any of the days of the second
    assert cut_days_of_growing(farm, farm.growing[0]) == [[4, 7, 9, 11], [18, 21, 23, 25, 28, 30, 32]]
    late = table.replace("2026-02-20", "2026-02-08")
    farm = farm_of(tmp_path, crops=crops_csv(cuts="3", cut_interval="14"), growing=late)
    assert is_overdue(farm, farm.growing[0])
