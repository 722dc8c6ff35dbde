"""Growing things that cannot be as the book says: what is said, and where."""

from datetime import date
from pathlib import Path

import pytest
from helpers import crops_csv, faults_of, write_book

from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.farm.build import build_farm

Case = tuple[str, dict[str, str | None] | None, dict[str, str | bytes | None], list[str]]

CASES: list[Case] = [
    (
        "trays in a trough",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,tray,North trough 1,2026-02-25,80,1,,,\n"
            )
        },
        ["growing!D2: found 'North trough 1' for a tray; expected a shelf or one of its tiers"],
    ),
    (
        "boards in a numbered row",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,board,North trough 1,2026-02-25,72,1,,,\n"
            )
        },
        [
            (
                "growing!D2: found 'North trough 1' for a board; expected 'North trough': boards are not "
                "told apart by row"
            )
        ],
    ),
    (
        "rafts in a trough of two rows",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough,2026-02-25,36,1,,,\n"
            )
        },
        [("growing!D2: found 'North trough' for a raft; expected one of its rows, such as 'North trough 1'")],
    ),
    (
        "rafts on a shelf",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,Shelf A,2026-02-25,36,1,,,\n"
            )
        },
        ["growing!D2: found 'Shelf A' for a raft; expected a row of a trough that holds rafts"],
    ),
    (
        "something that grows only later",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-03-03,36,1,,,\n"
            )
        },
        ["growing!E2: found 2026-03-03; expected the first day of the plan, 2026-03-02, or before"],
    ),
    (
        "more plants than holes",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-25,37,1,,,\n"
            )
        },
        ["growing!F2: found 37 plants; expected at most 36: 1 of '36-hole raft' with 36 each"],
    ),
    (
        "more units than plants",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-25,1,2,,,\n"
            )
        },
        ["growing!G2: found 2 for 1 plants; expected at least one plant in each"],
    ),
    (
        "more rafts than slots",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-25,144,4,,,\n"
                ",Butterhead,raft,North trough 1,2026-02-26,36,1,,,\n"
            )
        },
        [("growing!G3: found 5 rafts in 'North trough 1'; expected at most its 4 slots on the first day")],
    ),
    (
        "a head crop cut already",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-01,36,1,,1,2026-02-25\n"
            )
        },
        [
            (
                "growing!I2: found cuts_done 1; expected 0, for 'Butterhead' is cut once: rafts that were "
                "cut are gone"
            )
        ],
    ),
    (
        "a tray that was cut",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,tray,Shelf A,2026-02-20,36,1,,,2026-02-25\n"
            )
        },
        ["growing!J2: found a cut in a tray; expected cuts of rafts only"],
    ),
    (
        "a day of the last cut without cuts",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-01,36,1,,,2026-02-25\n"
            )
        },
        ["growing!J2: found 2026-02-25 and no cut done; expected blank, or cuts_done"],
    ),
    (
        "an order twice in a row",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-01,36,1,1,,\n"
                ",Butterhead,raft,North trough 1,2026-02-01,36,1,1,,\n"
            )
        },
        [
            (
                "growing!H3: found order 1 again in 'North trough 1'; expected one of its own (growing!H2 "
                "has it)"
            )
        ],
    ),
    (
        "an order for some rafts alone",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-01,36,1,1,,\n"
                ",Butterhead,raft,North trough 1,2026-02-01,36,1,,,\n"
            )
        },
        [("growing!H3: found a blank cell; expected an order for all rafts of 'North trough 1' or for none")],
    ),
    (
        "a lot code that a later sowing would get",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                "BUT-260302,Butterhead,raft,North trough 1,2026-02-01,36,1,,,\n"
            )
        },
        [
            (
                "growing!A2: found 'BUT-260302'; expected another code: a lot sown on that day of the "
                "plan will be called BUT-260302"
            )
        ],
    ),
    (
        "more trays than a shelf holds",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,tray,Shelf A 1,2026-02-25,300,4,,,\n"
                ",Butterhead,tray,Shelf A,2026-02-25,400,5,,,\n"
            )
        },
        ["growing!G3: found 9 trays in 'Shelf A'; expected at most its 8 slots on the first day"],
    ),
    (
        "more rafts in use than owned",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,raft,North trough 1,2026-02-25,108,3,,,\n"
            ),
            "equipment": (
                "name,item,holes,rows,owned,wash_days\n"
                "98-cell tray,tray,98,14,40,1\n"
                "72-hole board,board,72,,20,1\n"
                "36-hole raft,raft,36,,2,1\n"
            ),
        },
        ["growing!G2: found 3 of '36-hole raft' in use; expected at most the 2 owned"],
    ),
    (
        "more trays under domes than there are domes",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,tray,Shelf A,2026-02-27,80,1,,,\n"
                ",Butterhead,tray,Shelf A,2026-03-01,240,3,,,\n"
            ),
            "equipment": (
                "name,item,holes,rows,owned,wash_days\n"
                "98-cell tray,tray,98,14,40,1\n"
                "72-hole board,board,72,,20,1\n"
                "36-hole raft,raft,36,,40,1\n"
                "dome,dome,,,2,0\n"
            ),
            "crops": crops_csv(dome_days="3"),
        },
        [
            (
                "growing!G3: found 3 domes in use or being washed for trays of the first day; "
                "expected at most the 2 owned"
            )
        ],
    ),
    (
        "a stage the crop does not have",
        None,
        {
            "growing": (
                "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
                ",Butterhead,board,North trough,2026-02-25,72,1,,,\n"
            ),
            "crops": crops_csv(days_board="0"),
        },
        ["growing!C2: found 'board'; expected a stage of 'Butterhead', which goes tray > raft"],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path: Path, case: Case) -> None:
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected


def test_slots_that_close_before_anything_can_be_moved_must_be_empty(tmp_path: Path) -> None:
    tables = {
        "growing": (
            "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
            ",Butterhead,raft,North trough 1,2026-02-25,36,1,,,\n"
        ),
        "closures": "from,to,work,place,slots,note\n2026-03-04,2026-03-06,,North trough 1,,\n",
    }
    book = read_book(write_book(tmp_path, **tables))
    assert build_farm(book, today=date(2026, 3, 4)).growing
    with pytest.raises(BookFaults) as found:
        build_farm(book, today=date(2026, 3, 5))
    assert [str(fault) for fault in found.value.faults] == [
        "growing!G2: found 1 rafts in 'North trough 1'; "
        "expected at most its 0 slots that stay open until anything can be moved"
    ]
