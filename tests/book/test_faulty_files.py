"""Files and headings that are wrong: what is said, and where."""

import os
from pathlib import Path

import pytest
from helpers import TABLES, faults_of, write_book

from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.book.schema import load_schema

Case = tuple[str, dict[str, str | None] | None, dict[str, str | bytes | None], list[str]]

CASES: list[Case] = [
    (
        "bytes that are not UTF-8 are told with their cell",
        None,
        {"orders": TABLES["orders"].encode() + b"R2,Caf\xe9,Butterhead head,5,Mon\n"},
        [
            (
                "orders!B3: found bytes that are not UTF-8 in 'Caf?'; expected UTF-8: save the sheet as "
                "'CSV UTF-8'"
            )
        ],
    ),
    (
        "a file in UTF-16",
        None,
        {"orders": TABLES["orders"].encode("utf-16")},
        ["orders: found text in UTF-16; expected UTF-8: save the sheet as 'CSV UTF-8'"],
    ),
    (
        "a NUL byte",
        None,
        {"orders": TABLES["orders"] + "R2,Ca\x00fe,Butterhead head,5,Mon\n"},
        ["orders!B3: found a NUL byte in 'Ca?fe'; expected text"],
    ),
    (
        "a misspelt file name",
        None,
        {"order": ("order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,12,Tue Fri\n")},
        ["order.csv: found a file that is no table of the book; expected 'orders.csv'?"],
    ),
    (
        "a file of another name",
        None,
        {"zebra": "a\n"},
        [
            (
                "zebra.csv: found a file that is no table of the book; expected one of "
                + ", ".join(f"'{name}'" for name in load_schema().tables)
            )
        ],
    ),
    (
        "a required table is not there",
        None,
        {"products": None},
        [
            (
                "products: found no such table; expected one with the columns product, crop (What is sold: "
                "a crop, or any one of several crops or varieties, in a pack)"
            )
        ],
    ),
    (
        "an empty file",
        None,
        {"orders": ""},
        ["orders: found an empty file; expected a heading row with the names of the columns"],
    ),
    (
        "a blank heading row",
        None,
        {"orders": ",,\n1,2,3\n"},
        ["orders!A1: found a blank first row; expected a heading row with the names of the columns"],
    ),
    (
        "semicolons between the columns",
        None,
        {"orders": ("order;customer;product;amount;weekdays\nR1;Harbour Table;Butterhead head;12;Tue Fri\n")},
        ["orders!A1: found semicolons between the columns; expected commas, and a point in numbers"],
    ),
    (
        "a quotation mark that is never closed",
        None,
        {"orders": TABLES["orders"] + 'R2,"Harbour,Butterhead head,5,Mon\n'},
        [
            (
                "orders!A3: found a row that cannot be split into cells (unexpected end of data); "
                "expected quotation marks in pairs, and doubled inside a cell"
            )
        ],
    ),
    (
        "a misspelt heading",
        None,
        {"orders": ("order,customer,product,amount,week_day\nR1,Harbour Table,Butterhead head,12,Tue Fri\n")},
        ["orders!E1: found unknown column 'week_day'; expected 'weekdays'?"],
    ),
    (
        "a heading that is no column",
        None,
        {"orders": "order,customer,product,amount,weekdays,zzz\nR1,H,Butterhead head,1,Mon,5\n"},
        [
            (
                "orders!F1: found unknown column 'zzz'; expected one of 'every_weeks', 'from', 'to', "
                "'kind', 'price', 'priority', 'greatest_age'"
            )
        ],
    ),
    (
        "a heading twice",
        None,
        {"orders": "order,customer,product,amount,Amount,weekdays\nR1,H,Butterhead head,1,1,Mon\n"},
        ["orders!E1: found column amount twice; expected it once (D has it)"],
    ),
    (
        "a required column is not there",
        None,
        {"orders": "order,customer,product,amount\nR1,H,Butterhead head,1\n"},
        [
            (
                "orders!A1: found no column weekdays; expected one (Days of the week it is delivered, "
                "such as Tue Fri)"
            )
        ],
    ),
    (
        "a cell past the last heading",
        None,
        {
            "orders": (
                "order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,12,Tue Fri,5\n"
            )
        },
        [
            (
                "orders!F2: found '5'; expected no cell past the last heading (a comma inside text needs "
                "quotation marks round it)"
            )
        ],
    ),
    (
        "a required table without rows",
        None,
        {"products": "product,crop\n"},
        [
            (
                "products: found no rows; expected at least one (What is sold: a crop, or any one of "
                "several crops or varieties, in a pack)"
            )
        ],
    ),
    (
        "two files for one table",
        None,
        {"Orders": ("order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,12,Tue Fri\n")},
        ["orders.csv: found a second file for orders; expected Orders.csv alone"],
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_fault_is_told_with_its_cell(tmp_path: Path, case: Case) -> None:
    _, settings, tables, expected = case
    assert faults_of(tmp_path, settings, **tables) == expected


@pytest.mark.parametrize("found", ["a folder", "a link that leads nowhere", "no file that can be read"])
def test_a_table_that_is_no_file_is_never_taken_for_one_that_is_left_out(tmp_path: Path, found: str) -> None:
    book = write_book(tmp_path, orders=None)
    table = book / "orders.csv"
    if found == "a folder":
        table.mkdir()
        (book / "zebra.csv").mkdir()  # what is no table is left alone
    elif found == "a link that leads nowhere":
        table.symlink_to("nowhere.csv")
    else:
        os.mkfifo(table)
    with pytest.raises(BookFaults) as faults:
        read_book(book)
    assert [str(fault) for fault in faults.value.faults] == [
        f"orders.csv: found {found}; expected a CSV file of that name"
    ]
