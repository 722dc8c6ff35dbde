"""Names that do not fit together: what is said, and where."""

from pathlib import Path

import pytest
from helpers import TABLES, crops_csv, faults_of

Case = tuple[str, dict[str, str | None] | None, dict[str, str | bytes | None], list[str]]

CASES: list[Case] = [
    (
        "a key twice",
        None,
        {"orders": TABLES["orders"] + "R1,H,Butterhead head,4,Mon\n"},
        ["orders!A3: found 'R1' again; expected a name of its own (orders!A2 has it)"],
    ),
    (
        "keys that differ in case alone",
        None,
        {"crops": TABLES["crops"] + "butterhead,14,3,14,3,21,7,95,90,97,97\n"},
        [
            (
                "crops!A3: found 'butterhead'; expected a name that differs from 'Butterhead' (crops!A2) "
                "in more than case and spaces"
            )
        ],
    ),
    (
        "a semicolon in a name",
        None,
        {
            "troughs": "trough,width,length,raft_width,raft_length,lie\nA;B,4,24,2,4,along\n",
            "board_zones": None,
        },
        ["troughs!A2: found 'A;B'; expected a name without ; (it stands between names in lists)"],
    ),
    (
        "a misspelt name",
        None,
        {"orders": ("order,customer,product,amount,weekdays\nR1,Harbour Table,Buterhead head,12,Tue Fri\n")},
        ["orders!C2: found 'Buterhead head', which is not in products; expected 'Butterhead head'?"],
    ),
    (
        "names are compared exactly",
        None,
        {
            "orders": (
                "order,customer,product,amount,weekdays\nR1,Harbour Table,butterhead  head,12,Tue Fri\n"
            )
        },
        [("orders!C2: found 'butterhead head', which is not in products; expected 'Butterhead head'?")],
    ),
    (
        "a card that is not in the library",
        None,
        {"crops": crops_csv(card="lettuce_buterhead")},
        [
            (
                "crops!L2: found 'lettuce_buterhead', which is no card of the crop library; expected "
                "'lettuce_butterhead'? raftway crops lists them all"
            )
        ],
    ),
    (
        "a card by its title",
        None,
        {"crops": crops_csv(card="Butterhead lettuce")},
        [
            (
                "crops!L2: found 'Butterhead lettuce', which is no card of the crop library; expected "
                "'lettuce_butterhead'?"
            )
        ],
    ),
    (
        "a card by its first word",
        None,
        {"crops": crops_csv(card="basil")},
        [
            (
                "crops!L2: found 'basil', which is no card of the crop library; expected 'basil_genovese' "
                "or 'basil_thai' or 'micro_basil'?"
            )
        ],
    ),
    (
        "an unknown name beside a cell that is refused, and a cell that another calls for",
        None,
        {
            "orders": "order,customer,product,amount,weekdays\nR1,H,Buterhead head,many,Tue\n",
            "order_changes": "order,from,change,amount\nR1,2026-03-10,times,\nR1,2026-03-11,skip,3\n",
            "supplies": "item,kind,crop,pack_size,lead_days\nSeed,seed,,1000,10\n",
        },
        [
            "orders!C2: found 'Buterhead head', which is not in products; expected 'Butterhead head'?",
            "orders!D2: found 'many'; expected a whole number, such as 24",
            "order_changes!D2: found a blank cell; expected how many times the usual amount",
            "order_changes!D3: found an amount for skip; expected blank: nothing is delivered",
            "supplies!C2: found no crop for 'Seed'; expected the crop it is sown for",
        ],
    ),
    (
        "a shelf by another word",
        None,
        {"closures": "from,place\n2026-03-10,Shelf tower\n2026-03-10,North basin 2\n", "board_zones": None},
        [
            (
                "closures!B2: found 'Shelf tower', which is no shelf, tier, trough, row or bed; "
                "expected 'Shelf A'?"
            ),
            (
                "closures!B3: found 'North basin 2', which is no shelf, tier, trough, row or bed; expected "
                "'North trough' or one of its rows or tiers, such as 'North trough 1'"
            ),
        ],
    ),
    (
        "a board zone where the book has none",
        None,
        {"closures": "from,place\n2026-03-10,North through boards\n", "board_zones": None},
        [
            (
                "closures!B2: found 'North through boards', which is no shelf, tier, trough, row or bed; "
                "expected 'North trough'?"
            )
        ],
    ),
    (
        "a reference to a table that is not there",
        None,
        {"orders": None, "order_changes": "order,from,change\nR1,2026-03-10,skip\n"},
        [
            (
                "order_changes!A2: found 'R1', which is not in orders; expected a name from orders, which "
                "has none"
            )
        ],
    ),
    (
        "a trough that is not there",
        None,
        {"crops": crops_csv(lanes="Nort trough")},
        ["crops!L2: found 'Nort trough', which is no trough or row; expected 'North trough'?"],
    ),
    (
        "a tier the shelf does not have",
        None,
        {"closures": "from,place\n2026-03-10,Shelf A 3\n"},
        [
            (
                "closures!B2: found 'Shelf A 3', which is no shelf, tier, trough, row or bed; expected "
                "'Shelf A' or one of its rows or tiers, such as 'Shelf A 1'"
            )
        ],
    ),
    (
        "a shelf and a trough of one name",
        None,
        {"shelves": "shelf,tiers,trays_per_tier\nNorth trough,2,4\n"},
        [
            (
                "troughs!A2: found 'North trough'; expected a name of its own (shelves!A2 is a shelf of "
                "that name)"
            )
        ],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path: Path, case: Case) -> None:
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected
