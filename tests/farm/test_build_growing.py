"""What grows on the first day: places, order in the row, lot codes."""

from datetime import date
from pathlib import Path

import pytest
from farms import make_crop
from helpers import crops_csv, farm_of, faults_of

HEADING = "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"


def growing(*rows: str) -> str:
    return HEADING + "\n".join(rows) + "\n"


def raft(place: str = "North trough 1", since: str = "2026-02-20", units: int = 1, order: str = "") -> str:
    return f",Butterhead,raft,{place},{since},{36 * units},{units},{order},,"


def test_trays_boards_and_rafts_keep_place_and_age(tmp_path: Path) -> None:
    rows = [
        ",Butterhead,tray,Shelf A,2026-02-20,150,2,,,",
        "B9,Butterhead,board,North trough,2026-02-25,72,1,,,",
        raft("North trough 2", "2026-02-12", 2),
    ]
    found = farm_of(tmp_path, growing=growing(*rows)).growing
    assert [(one.lot, one.place, one.since, one.plants, one.units, one.order) for one in found] == [
        ("BUT-260220", "Shelf A", -10, 150, 2, 0),
        ("B9", "North trough boards", -5, 72, 1, 0),
        ("BUT-260212", "North trough 2", -18, 72, 2, 1),
    ]


def test_rafts_stand_top_to_bottom_or_by_their_order(tmp_path: Path) -> None:
    dates = ["2026-02-12", "2026-02-16", "2026-02-19"]
    found = farm_of(tmp_path, growing=growing(*(raft(since=day) for day in dates))).growing
    assert [(one.since, one.order) for one in found] == [(-18, 1), (-14, 2), (-11, 3)]
    rows = [
        raft(since=day, order=order) for day, order in zip(reversed(dates), ["30", "20", "10"], strict=True)
    ]
    assert farm_of(tmp_path, growing=growing(*rows)).growing == found


def test_a_trough_of_one_row_may_be_named_for_the_row(tmp_path: Path) -> None:
    troughs = "trough,width,length,raft_width,raft_length,lie\nNorth trough,2,24,2,4,along\n"
    found = farm_of(tmp_path, troughs=troughs, growing=growing(raft("North trough"))).growing
    assert found[0].place == "North trough 1"


def test_as_many_rafts_as_slots_are_taken_and_one_more_is_a_fault(tmp_path: Path) -> None:
    assert faults_of(tmp_path, growing=growing(raft(units=4))) == []
    assert faults_of(tmp_path, growing=growing(raft(units=5))) == [
        "growing!G2: found 5 rafts in 'North trough 1'; expected at most its 4 slots on the first day"
    ]


def slotted(place: str = "Shelf A 1", units: int = 1, order: str = "", lot: str = "T") -> str:
    return f"{lot},Butterhead,tray,{place},2026-02-20,{70 * units},{units},{order},,"


def test_trays_and_boards_stand_in_the_slots_from_their_order_on(tmp_path: Path) -> None:
    board = ",Butterhead,board,North trough,2026-02-25,72,1,3,,"
    found = farm_of(tmp_path, growing=growing(slotted(units=2, order="3"), slotted(order="2"), board)).growing
    assert [one.order for one in found] == [3, 2, 3]
    # a tray in any tier of its shelf has no slot
    assert faults_of(tmp_path, growing=growing(slotted("Shelf A", order="2"))) == [
        "growing!H2: found slot 2 of 'Shelf A'; expected a blank cell, or a tier as its place, such as "
        "'Shelf A 1'"
    ]


def test_a_slot_is_one_of_the_place_and_of_one_tray(tmp_path: Path) -> None:
    assert faults_of(tmp_path, growing=growing(slotted(units=2, order="3"))) == []
    assert faults_of(tmp_path, growing=growing(slotted(units=2, order="4"))) == [
        "growing!H2: found slot 5 of 'Shelf A 1'; expected at most its 4 slots"
    ]
    twice = growing(slotted(units=2, order="2"), slotted(order="3", lot="U"))
    assert faults_of(tmp_path, growing=twice) == [
        "growing!H3: found slot 3 of 'Shelf A 1'; expected slots that growing!H2 does not take"
    ]


def test_slots_closed_on_the_first_day_are_not_there(tmp_path: Path) -> None:
    closures = "from,place,slots\n2026-03-02,North trough 1,1\n"
    assert faults_of(tmp_path, growing=growing(raft(units=3)), closures=closures) == []
    assert len(faults_of(tmp_path, growing=growing(raft(units=4)), closures=closures)) == 1


def test_equal_lot_codes_get_a_number_and_the_first_day_is_kept_for_new_sowings(tmp_path: Path) -> None:
    rows = [raft(), raft("North trough 2"), ",Butterhead,tray,Shelf A,2026-03-02,90,1,,,"]
    found = farm_of(tmp_path, growing=growing(*rows)).growing
    assert sorted(one.lot for one in found) == ["BUT-260220", "BUT-260220-2", "BUT-260302-2"]


@pytest.mark.parametrize(
    ("cuts_done", "last_cut", "faults"),
    [("0", "", 0), ("1", "2026-02-28", 0), ("2", "2026-03-02", 0), ("3", "2026-02-28", 1), ("1", "", 1)]
    + [("1", "2026-02-01", 1), ("1", "2026-03-03", 1)],
)
def test_cuts_done_are_fewer_than_all_and_have_a_day(
    tmp_path: Path, cuts_done: str, last_cut: str, faults: int
) -> None:
    row = f",Butterhead,raft,North trough 1,2026-02-02,36,1,,{cuts_done},{last_cut}"
    table = crops_csv(cuts="3", cut_interval="14")
    assert len(faults_of(tmp_path, crops=table, growing=growing(row))) == faults


def test_what_stands_in_a_refused_trough_makes_no_further_faults(tmp_path: Path) -> None:
    troughs = "trough,width,length,raft_width,raft_length,lie\nNorth trough,1,24,2,4,along\n"
    rows = [raft(), ",Butterhead,board,North trough,2026-02-25,72,1,,,"]
    assert faults_of(tmp_path, troughs=troughs, growing=growing(*rows)) == [
        "troughs!B2: found 1 ft; expected a width that takes at least one raft as it lies"
    ]


def test_lot_codes_hold_crop_and_day() -> None:
    crop, days = make_crop("Lettuce", code="LET"), (date(2026, 3, 1), date(2026, 4, 12))
    assert [crop.lot_on(day) for day in days] == ["LET-260301", "LET-260412"]


@pytest.mark.parametrize(("cell", "parts"), [("", 0), ("0", 0), ("0.35", 3_500), ("0.9999", 9_999)])
def test_a_part_of_a_head_that_rounding_left_over_is_kept_in_ten_thousandths(tmp_path, cell, parts):
    table = HEADING.replace("\n", ",part_heads\n") + raft() + f",{cell}"
    assert [row.part_heads for row in farm_of(tmp_path, growing=table).growing] == [parts]


@pytest.mark.parametrize(
    ("row", "found"),
    [
        (raft() + ",1", "'1'; expected 0 to 0.9999"),
        (
            "B9,Butterhead,board,North trough,2026-02-25,72,1,,,,0.5",
            "0.5 of plants in a board; expected 0 or a blank cell, for 'Butterhead' is not cut there",
        ),
    ],
)
def test_a_part_of_a_head_is_less_than_one_and_of_plants_that_are_cut_where_they_stand(tmp_path, row, found):
    table = HEADING.replace("\n", ",part_heads\n") + row
    assert faults_of(tmp_path, growing=table) == [f"growing!K2: found {found}"]
