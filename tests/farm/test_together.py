"""Rows of what grows that stand in one tray, board or raft together: counted once, and what cannot be so."""

import pytest
from helpers import TABLES, farm_of, faults_of

HEADING = "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut,together\n"
CROPS = TABLES["crops"] + "Romaine,14,3,14,3,21,7,95,90,97,97\n"
PRODUCTS = TABLES["products"] + "Romaine head,Romaine\n"
FIRST = "A,Butterhead,raft,North trough 1,2026-02-20,18,1,,,,mixed\n"


def told(tmp_path, *rows):
    return faults_of(tmp_path, growing=HEADING + "".join(rows), crops=CROPS, products=PRODUCTS)


def test_lots_of_one_raft_have_one_rank_and_one_slot(tmp_path):
    full = "".join(f"{lot},Butterhead,raft,North trough 1,2026-02-21,36,1,,,,\n" for lot in "CDE")
    rows = FIRST + full + FIRST.replace("A,Butterhead", "B,Romaine")
    # four rafts in a row of ten with two slots for boards: five would do as well, but these are four
    farm = farm_of(tmp_path, growing=HEADING + rows, crops=CROPS, products=PRODUCTS)
    assert [(row.lot, row.order, row.together) for row in farm.growing] == [
        ("A", 1, "mixed"),
        ("B", 1, "mixed"),
        ("C", 2, ""),
        ("D", 3, ""),
        ("E", 4, ""),
    ]


def test_a_shared_unit_is_owned_once_and_takes_one_slot(tmp_path):
    tray = "A,Butterhead,tray,Shelf A 1,2026-02-25,30,1,,,,mixed\n"
    others = "".join(f"{lot},Romaine,tray,Shelf A 1,2026-02-25,60,1,,,,\n" for lot in "CDE")
    rows = [tray, tray.replace("A,Butterhead", "B,Romaine"), others]
    owned = TABLES["equipment"].replace("98-cell tray,tray,98,14,40", "98-cell tray,tray,98,14,4")
    tables = {"growing": HEADING + "".join(rows), "crops": CROPS, "products": PRODUCTS}
    assert len(farm_of(tmp_path, equipment=owned, **tables).growing) == 5
    apart = {**tables, "growing": tables["growing"].replace("mixed", "")}
    assert [fault.split(":")[0] for fault in faults_of(tmp_path, equipment=owned, **apart)] == [
        "growing!G6",
        "growing!G6",
    ]


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (
            "B,Romaine,raft,North trough 2,2026-02-20,9,1,,,,mixed\n",
            "growing!D3: found 'North trough 2'; expected 'North trough 1' as in growing!D2, for both stand "
            "in 'mixed'",
        ),
        (
            "B,Romaine,raft,North trough 1,2026-02-21,9,1,,,,mixed\n",
            "growing!E3: found '2026-02-21'; expected '2026-02-20' as in growing!E2, for both stand in "
            "'mixed'",
        ),
        (
            "B,Romaine,raft,North trough 1,2026-02-20,9,2,,,,mixed\n",
            "growing!G3: found 2; expected 1, for 'mixed' is one raft",
        ),
        (
            "B,Romaine,raft,North trough 1,2026-02-20,19,1,,,,mixed\n",
            "growing!F3: found 19 plants more in 'mixed'; expected no more than one raft holds, all its rows "
            "together",
        ),
    ],
)
def test_what_cannot_stand_in_one_unit_is_told(tmp_path, row, fault):
    assert told(tmp_path, FIRST, row) == [fault]
    assert told(tmp_path, FIRST, row.replace(",19,", ",18,")) == [] or ",19," not in row


def test_a_shared_tray_stands_in_one_tier(tmp_path):
    tray = "A,Butterhead,tray,Shelf A,2026-02-25,30,1,,,,mixed\n"
    assert told(tmp_path, tray) == [
        "growing!D2: found 'Shelf A'; expected its tier, such as 'Shelf A 1', for a tray that is shared "
        "stands in one place"
    ]


def test_rows_of_one_code_are_one_lot(tmp_path):
    rows = "".join(f"A,Butterhead,tray,Shelf A {tier},2026-02-25,30,1,,,,\n" for tier in (1, 2))
    farm = farm_of(tmp_path, growing=HEADING + rows, crops=CROPS, products=PRODUCTS)
    assert [(row.lot, row.batch) for row in farm.growing] == [("A", "A"), ("A-2", "A")]
