"""Equipment, crops, products and changes that are wrong: what is said, and where."""

from pathlib import Path

import pytest
from helpers import TABLES, crops_csv, faults_of

Case = tuple[str, dict[str, str | None] | None, dict[str, str | bytes | None], list[str]]

CASES: list[Case] = [
    (
        "a board without holes",
        None,
        {
            "equipment": (
                "name,item,holes,rows,owned,wash_days\n"
                "98-cell tray,tray,98,14,40,1\n"
                "72-hole board,board,,,20,1\n"
                "36-hole raft,raft,36,,40,1\n"
            )
        },
        ["equipment!C3: found a blank cell; expected how many holes '72-hole board' has"],
    ),
    (
        "rows that do not divide the cells",
        None,
        {
            "equipment": (
                "name,item,holes,rows,owned,wash_days\n"
                "98-cell tray,tray,98,13,40,1\n"
                "72-hole board,board,72,,20,1\n"
                "36-hole raft,raft,36,,40,1\n"
            )
        },
        ["equipment!D2: found 13 rows; expected a number that divides the 98 cells evenly"],
    ),
    (
        "rows of a board",
        None,
        {
            "equipment": (
                "name,item,holes,rows,owned,wash_days\n"
                "98-cell tray,tray,98,14,40,1\n"
                "72-hole board,board,72,8,20,1\n"
                "36-hole raft,raft,36,,40,1\n"
            )
        },
        ["equipment!D3: found rows for a board; expected blank: only trays are split by rows"],
    ),
    (
        "a figure that neither row nor card has",
        None,
        {"crops": crops_csv(days_raft=None)},
        [
            (
                "crops!A2: found no days_raft and no card; expected days_raft of Butterhead, or a card "
                "that has it"
            )
        ],
    ),
    (
        "figures a card lacks",
        None,
        {"crops": crops_csv(card="arugula", survival_board_percent=None, wait_board=None)},
        [
            (
                "crops!A2: found no survival_board_percent, and card arugula has none; expected "
                "survival_board_percent of Butterhead"
            ),
            ("crops!A2: found no wait_board, and card arugula has none; expected wait_board of Butterhead"),
        ],
    ),
    (
        "neither a card nor board days",
        None,
        {"crops": crops_csv(days_board=None)},
        [
            (
                "crops!A2: found no days_board and no card; expected days_board of Butterhead, or a card "
                "that has it"
            )
        ],
    ),
    (
        "a crop of beds",
        None,
        {"crops": "crop,card\nButterhead,tomato_cherry\n"},
        [
            "crops!A2: found no bed for 'Butterhead'; expected a row in beds",
            (
                "products!A2: found no mass_per_unit, and 'Butterhead' is sold by mass; expected the mass of "
                "one unit, or yield_in pieces of the crop where pieces are sold"
            ),
        ],
    ),
    (
        "two trays owned and none named",
        None,
        {"equipment": TABLES["equipment"] + "200-cell tray,tray,200,20,10,1\n"},
        [("crops!A2: found no tray named for 'Butterhead'; expected '98-cell tray' or '200-cell tray'")],
    ),
    (
        "two trays with cells and an open one owned and none named",
        None,
        {"equipment": TABLES["equipment"] + "200-cell tray,tray,200,20,10,1\nopen tray,tray,1,,10,1\n"},
        [("crops!A2: found no tray named for 'Butterhead'; expected '98-cell tray' or '200-cell tray'")],
    ),
    (
        "no tray owned",
        None,
        {
            "equipment": (
                "name,item,holes,rows,owned,wash_days\n"
                "72-hole board,board,72,,20,1\n"
                "36-hole raft,raft,36,,40,1\n"
            )
        },
        ["crops!A2: found no tray in equipment; expected a tray in equipment for 'Butterhead'"],
    ),
    (
        "a board named as raft",
        None,
        {"crops": crops_csv(raft="72-hole board")},
        ["crops!L2: found '72-hole board', which is a board; expected a raft"],
    ),
    (
        "more plants than holes",
        None,
        {"crops": crops_csv(plants_per_raft="37")},
        ["crops!L2: found 37 plants; expected at most the 36 holes of '36-hole raft'"],
    ),
    (
        "rafts of two sizes and no number of plants",
        None,
        {
            "crops": "crop,card\nButterhead,lettuce_butterhead\n",
            "troughs": TABLES["troughs"] + "South trough,4,24,2,3,along\n",
        },
        [
            (
                "crops!A2: found no plants_per_raft and rafts of more than one size; expected "
                "plants_per_raft of Butterhead"
            )
        ],
    ),
    (
        "a row that is not there",
        None,
        {"crops": crops_csv(lanes="North trough 9")},
        ["crops!L2: found 'North trough 9'; expected 'North trough 1' to 'North trough 2'"],
    ),
    (
        "a code with a digit",
        None,
        {"crops": crops_csv(code="B1")},
        ["crops!L2: found 'B1'; expected two to four letters from A to Z"],
    ),
    (
        "a code twice",
        None,
        {
            "crops": (
                "crop,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_perc"
                "ent,survival_tray_percent,survival_board_percent,survival_raft_percent,code\n"
                '"Butterhead","14","3","14","3","21","7","95","90","97","97","but"\n'
                "Romaine,14,3,14,3,21,7,95,90,97,97,BUT\n"
            )
        },
        ["crops!L3: found 'BUT' again; expected a code of its own (crops!L2 has it)"],
    ),
    (
        "no seedling to count on",
        None,
        {"crops": crops_csv(germination_percent="1", survival_tray_percent="1", margin_percent="300")},
        ["crops!A2: found no seedling to count on; expected better germination and survival"],
    ),
    (
        "a crop twice in a product",
        None,
        {"products": TABLES["products"] + "Butterhead head,Butterhead\n"},
        [
            (
                "products!B3: found 'Butterhead' again for 'Butterhead head'; expected each crop of a "
                "product once"
            )
        ],
    ),
    (
        "two packs for one product",
        None,
        {
            "products": (
                "product,crop,pack\nMix,Butterhead,bag\nMix,Romaine,head\nButterhead head,Butterhead,\n"
            ),
            "crops": TABLES["crops"] + "Romaine,14,3,14,3,21,7,95,90,97,97\n",
        },
        ["products!C3: found 'head' for 'Mix'; expected 'bag', as in its first row"],
    ),
    (
        "an amount for a skipped delivery",
        None,
        {"order_changes": "order,from,change,amount\nR1,2026-03-10,skip,3\n"},
        ["order_changes!D2: found an amount for skip; expected blank: nothing is delivered"],
    ),
    (
        "no amount where one is needed",
        None,
        {"order_changes": "order,from,change\nR1,2026-03-10,times\n"},
        ["order_changes!A2: found a blank cell; expected how many times the usual amount"],
    ),
    (
        "half units",
        None,
        {"order_changes": "order,from,change,amount\nR1,2026-03-10,amount,3.5\n"},
        ["order_changes!D2: found 3.5 units; expected whole units"],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path: Path, case: Case) -> None:
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected
