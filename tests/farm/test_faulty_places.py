"""Places, closures, crew and pace that are wrong: what is said, and where."""

from pathlib import Path

import pytest
from helpers import TABLES, faults_of

Case = tuple[str, dict[str, str | None] | None, dict[str, str | bytes | None], list[str]]

CASES: list[Case] = [
    (
        "a trough too short for one raft",
        None,
        {
            "troughs": ("trough,width,length,raft_width,raft_length,lie\nNorth trough,4,3.99,2,4,along\n"),
            "board_zones": None,
        },
        [
            "troughs!C2: found 3.99 ft; expected a length that takes at least one raft as it lies",
            (
                "crops!D2: found boards for 'Butterhead' and no place for them; expected a row in "
                "board_zones, a trough that holds boards, or days_board 0"
            ),
        ],
    ),
    (
        "a zone that leaves no raft slot",
        None,
        {"board_zones": "trough,slots_per_row\nNorth trough,6\n"},
        [
            (
                "board_zones!B2: found 6 slots; expected at most 5, so that a row of 'North trough' keeps "
                "a slot for a raft"
            )
        ],
    ),
    (
        "two zones in one row at a time",
        None,
        {
            "board_zones": (
                "trough,slots_per_row,rows,from,to\n"
                "North trough,2,,,2026-04-01\n"
                "North trough,1,2,2026-04-01,\n"
            )
        },
        [
            (
                "board_zones!C3: found a second board zone in North trough 2; expected one zone in a row "
                "at a time"
            )
        ],
    ),
    (
        "a zone in a row that is not there",
        None,
        {"board_zones": "trough,slots_per_row,rows\nNorth trough,2,1; 3\n"},
        ["board_zones!C2: found '3'; expected row numbers from 1 to 2 with ; between"],
    ),
    (
        "a zone in a trough that holds boards",
        None,
        {
            "troughs": (
                "trough,width,length,raft_width,raft_length,lie,holds\n"
                "North trough,4,24,2,4,along,\n"
                "South,4,8,2,4,along,boards\n"
            ),
            "board_zones": "trough,slots_per_row\nSouth,1\n",
        },
        [
            (
                "board_zones!A2: found 'South'; expected a trough that holds rafts (this one holds boards "
                "in every slot)"
            )
        ],
    ),
    (
        "boards without a place",
        None,
        {"board_zones": None},
        [
            (
                "crops!D2: found boards for 'Butterhead' and no place for them; expected a row in "
                "board_zones, a trough that holds boards, or days_board 0"
            )
        ],
    ),
    (
        "no shelf",
        None,
        {"shelves": "shelf,tiers,trays_per_tier\n"},
        [
            "shelves: found no rows; expected at least one "
            "(Lit nursery shelves: tiers and how many trays fit on one tier)"
        ],
    ),
    (
        "no trough",
        None,
        {
            "troughs": "trough,width,length,raft_width,raft_length,lie,holds\nPond,4,24,2,4,along,boards\n",
            "board_zones": None,
        },
        [
            "troughs: found no trough that holds rafts; expected at least one: 'Butterhead' ends there",
        ],
    ),
    (
        "a trough named like another's row",
        None,
        {"troughs": TABLES["troughs"] + "North trough 2,4,24,2,4,along\n"},
        [
            (
                "troughs!A3: found 'North trough 2'; expected another name: a part of 'North trough' is "
                "called that"
            )
        ],
    ),
    (
        "some slots of several rows closed",
        None,
        {"closures": "from,place,slots\n2026-03-10,North trough,3\n"},
        [
            (
                "closures!B2: found 'North trough' with 3 slots closed; expected one of its parts, such "
                "as 'North trough 1', or blank slots to close them all"
            )
        ],
    ),
    (
        "more slots closed than there are",
        None,
        {"closures": "from,place,slots\n2026-03-10,North trough 1,7\n"},
        ["closures!C2: found 7 slots; expected at most the 6 of 'North trough 1'"],
    ),
    (
        "a closure of a row that is not there",
        None,
        {"closures": "from,place\n2026-03-10,North trough 3\n"},
        ["closures!B2: found 'North trough 3'; expected 'North trough 1' to 'North trough 2'"],
    ),
    (
        "a closure of nothing",
        None,
        {"closures": "from,work\n2026-03-10,none\n"},
        ["closures!B2: found 'none' and no place; expected work that stops, or a place to close"],
    ),
    (
        "closed slots without a place",
        None,
        {"closures": "from,slots\n2026-03-10,3\n"},
        [
            (
                "closures!B2: found slots and no place; expected blank, or the place whose slots are "
                "closed beside it"
            )
        ],
    ),
    (
        "all work and some work",
        None,
        {"closures": "from,work\n2026-03-10,all; sow\n"},
        ["closures!B2: found 'all; sow'; expected all alone, none alone, or some kinds of work"],
    ),
    (
        "two crew rows for one day",
        None,
        {"crew": "weekdays,hours\nMon-Fri,6\nFri Sat,4\n"},
        [
            "crew!A3: found Fri again for the same dates; expected each day once, with the hours of all who "
            "work on it (crew!A2 has it)"
        ],
    ),
    (
        "two paces for one month",
        None,
        {"pace": "place,month,pace\n,1,0.7\n,1,0.8\n"},
        ["pace!B3: found month 1 again; expected each month once for a place (pace!B2 has it)"],
    ),
    (
        "a pace for a tier",
        None,
        {"pace": "place,month,pace\nShelf A 1,1,0.7\n"},
        ["pace!A2: found 'Shelf A 1'; expected the name of a whole shelf or trough"],
    ),
    (
        "a cost twice",
        None,
        {"costs": "cost,amount\nhour,18\nhour,19\n"},
        ["costs!A3: found 'hour' again; expected each cost once (costs!A2 has it)"],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path: Path, case: Case) -> None:
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected
