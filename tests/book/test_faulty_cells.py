"""Cells that are wrong: what is said, and where."""

from pathlib import Path

import pytest
from helpers import TABLES, crops_csv, faults_of

Case = tuple[str, dict[str, str | None] | None, dict[str, str | bytes | None], list[str]]

CASES: list[Case] = [
    (
        "a required cell left blank",
        None,
        {"orders": TABLES["orders"] + "R2,,Butterhead head,5,Mon\n"},
        ["orders!B3: found a blank cell; expected customer, such as Harbour Table"],
    ),
    (
        "half a unit",
        None,
        {"orders": TABLES["orders"] + "R2,H,Butterhead head,12.5,Mon\n"},
        ["orders!D3: found '12.5'; expected a whole number, such as 24"],
    ),
    (
        "a comma between thousands",
        None,
        {"orders": TABLES["orders"] + 'R2,H,Butterhead head,"1,200",Mon\n'},
        [
            (
                "orders!D3: found '1,200'; expected a whole number without a comma: 1200, or 1.200 if a "
                "decimal point was meant"
            )
        ],
    ),
    (
        "a number below the lowest",
        None,
        {"orders": TABLES["orders"] + "R2,H,Butterhead head,-4,Mon\n"},
        ["orders!D3: found '-4'; expected 0 to 1000000 (units)"],
    ),
    (
        "a misspelt weekday",
        None,
        {"orders": TABLES["orders"] + "R2,H,Butterhead head,4,Mon Tus\n"},
        ["orders!E3: found 'tus' in 'Mon Tus'; expected days of the week, such as Tue Fri"],
    ),
    (
        "a misspelt choice",
        None,
        {"troughs": "trough,width,length,raft_width,raft_length,lie\nNorth trough,4,24,2,4,alnog\n"},
        ["troughs!F2: found 'alnog'; expected across or along (did you mean along?)"],
    ),
    (
        "a day that does not exist",
        {"first_day": "31/02/2026"},
        {},
        [
            (
                "settings!B3: found '31/02/2026'; expected a day that exists, written year-month-day, "
                "such as 2026-03-02"
            )
        ],
    ),
    (
        "a date that can be read two ways",
        {"first_day": "3/2/2026"},
        {},
        [("settings!B3: found '3/2/2026'; expected a date written year-month-day: 2026-02-03 or 2026-03-02")],
    ),
    (
        "a number of seconds is no date",
        {"first_day": "86400"},
        {},
        ["settings!B3: found '86400'; expected a date written year-month-day, such as 2026-03-02"],
    ),
    (
        "a date that lost its format",
        {"first_day": "46083"},
        {},
        [
            (
                "settings!B3: found '46083'; expected a date written year-month-day; a date that lost its "
                "format in a spreadsheet would be 2026-03-02"
            )
        ],
    ),
    ("neither yes nor no", {"lift_out": "maybe"}, {}, ["settings!B11: found 'maybe'; expected yes or no"]),
    (
        "a misspelt setting",
        {"hold_day": "3"},
        {},
        ["settings!A11: found unknown setting 'hold_day'; expected 'hold_days'?"],
    ),
    (
        "a required setting without a row",
        {"weeks": None},
        {},
        [("settings: found no row for weeks; expected one (How many weeks to plan and report, such as 26)")],
    ),
    (
        "a required setting without a value",
        {"weeks": ""},
        {},
        ["settings!B4: found a blank cell; expected weeks, such as 26"],
    ),
    (
        "a last day before the first",
        None,
        {"closures": "from,to\n2026-03-10,2026-03-01\n"},
        ["closures!B2: found 2026-03-01; expected 2026-03-10 or later (from)"],
    ),
    (
        "a word twice in a list",
        None,
        {"closures": "from,work\n2026-03-10,sow; sow\n"},
        ["closures!B2: found 'sow' twice; expected each once"],
    ),
    (
        "a word that may not stand in a list",
        None,
        {"closures": "from,work\n2026-03-10,sowing\n"},
        [
            (
                "closures!B2: found 'sowing'; expected all, sow, transplant, raft, harvest or none (did "
                "you mean sow?)"
            )
        ],
    ),
    (
        "a percent sign",
        None,
        {"crops": crops_csv(germination_percent="95%")},
        ["crops!H2: found '95%'; expected a number alone, without a unit: 95"],
    ),
    (
        "a decimal comma",
        None,
        {"crops": crops_csv(cut_minutes="0,5")},
        ["crops!L2: found '0,5'; expected a number with a decimal point, not a comma: 0.5"],
    ),
    (
        "a unit behind a number",
        None,
        {"troughs": ("trough,width,length,raft_width,raft_length,lie\nNorth trough,4 ft,24,2,4,along\n")},
        ["troughs!B2: found '4 ft'; expected a number alone, without a unit: 4"],
    ),
    (
        "nan",
        None,
        {"crops": crops_csv(cut_minutes="nan")},
        ["crops!L2: found 'nan'; expected a number, such as 0.6"],
    ),
    (
        "an underscore in a number",
        None,
        {
            "orders": (
                "order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,1_2,Tue Fri\n"
            )
        },
        ["orders!D2: found '1_2'; expected a whole number, such as 24"],
    ),
    (
        "a power of ten",
        None,
        {
            "orders": (
                "order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,1e3,Tue Fri\n"
            )
        },
        ["orders!D2: found '1e3'; expected a whole number, such as 24"],
    ),
    (
        "control characters",
        None,
        {
            "orders": (
                "order,customer,product,amount,weekdays\nR1,Har\x07bour Table,Butterhead head,12,Tue Fri\n"
            )
        },
        ["orders!B2: found control characters in 'Har?bour Table'; expected text without them"],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path: Path, case: Case) -> None:
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected
