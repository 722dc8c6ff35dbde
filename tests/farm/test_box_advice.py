"""Notes on box shares, each with its cell; a book in which all fits has none of them."""

import pytest
from boxed_books import BOOK, CATEGORIES, SLOTS, WISHES, share_row
from helpers import write_book

from scheduler.book.book import read_book
from scheduler.farm.advice import advice
from scheduler.farm.build import build_farm

LATE = share_row(**{"from": "2026-04-20", "to": "2026-04-26"})


def notes(folder, **tables):
    book = read_book(write_book(folder, **{**BOOK, "box_shares": LATE, **tables}))
    return [str(note) for note in advice(build_farm(book), book) if str(note.place).startswith("box_")]


def test_a_book_in_which_all_fits_has_no_note_on_boxes(tmp_path):
    assert notes(tmp_path) == []


@pytest.mark.parametrize(
    ("closures", "told"),
    [
        ("2026-04-23,2026-04-23,all", ["the box of 2026-04-23 falls on a closed day; skip it"]),
        ("2026-04-23,2026-04-23,harvest", []),
        ("2026-04-22,2026-04-22,all", []),
        ("2026-04-16,2026-04-23,all", ["boxes fall on 2 closed days, the first on 2026-04-16; skip them"]),
    ],
)
def test_boxes_on_closed_days_are_told(tmp_path, closures, told):
    shares = share_row(**{"from": "2026-04-13", "to": "2026-04-26"})
    found = notes(tmp_path, box_shares=shares, closures=f"from,to,work\n{closures}\n")
    assert [each for each in found if "closed" in each] == [
        f"box_shares!D2: {text} in box_changes, unless you deliver all the same" for text in told
    ]


def test_products_of_boxes_count_as_ordered(tmp_path):
    book = read_book(write_book(tmp_path, **BOOK))
    told = [str(note) for note in advice(build_farm(book), book) if note.code == "not-ordered"]
    assert told == ["products!A5: nobody orders 'Basil pot', so none is grown for it"]


ONE = "share,slot,category,amount\nFamily box,Herbs,Herbs,1\n"


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (
            {"box_shares": share_row(to="2026-03-20")},
            "box_shares!A2: 3 boxes of 'Family box', from 2026-03-05 to 2026-03-19, cannot be filled wholly: "
            "no sowing and nothing growing is in time",
        ),
        (
            {"box_shares": LATE.replace("weekdays", "most_value,weekdays").replace(",Thu", ",3,Thu")},
            "box_shares!D2: a full box is worth at least 3.15, so places stay empty",
        ),
        (
            {"box_shares": LATE.replace("weekdays", "least_value,weekdays").replace(",Thu", ",4,Thu")},
            "box_shares!D2: a full box is worth at most 3.40, so none is worth this much",
        ),
        (
            {"box_shares": LATE.replace("weekdays", "least_kinds,weekdays").replace(",Thu", ",4,Thu")},
            "box_shares!D2: 4 boxes hold at most 3 different products",
        ),
        (
            {
                "box_shares": LATE.replace("weekdays", "most_running,weekdays").replace(",Thu", ",2,Thu"),
                "box_slots": ONE,
                "box_categories": "category,product\nHerbs,Basil bunch\n",
            },
            "box_slots!B2: 'Basil bunch' alone may fill this place, in 2 boxes running at most: every box "
            "after those has it empty",
        ),
        (
            {"box_categories": CATEGORIES + "Fruit,Basil pot,1\n"},
            "box_categories!A5: no place of a box is filled from 'Fruit'",
        ),
        (
            {"box_wishes": WISHES + ",Basil pot,never,,,,\n"},
            "box_wishes!B2: 'Basil pot' comes in none of these boxes, so the wish changes nothing",
        ),
        (
            {"box_wishes": WISHES + ",Head,at most,,,3,3\n"},
            "box_wishes!F2: this limit never binds",
        ),
        (
            {"box_wishes": WISHES + ",Basil bunch,never,2026-04-22,2026-04-23,,\n"},
            "box_slots!C3: nothing may fill 'Herbs' on 2026-04-23: all of 'Herbs' is never to come",
        ),
    ],
)
def test_each_note_has_its_cell(tmp_path, tables, told):
    assert notes(tmp_path, **{"box_slots": SLOTS} | tables) == [told]


@pytest.mark.parametrize(("most", "told"), [("1.10", 0), ("1.09", 1)])
def test_a_box_may_be_worth_exactly_its_limit(tmp_path, most, told):
    shares = LATE.replace("weekdays", "most_value,weekdays").replace(",Thu", f",{most},Thu")
    found = notes(
        tmp_path,
        box_shares=shares,
        box_slots=ONE,
        box_categories="category,product,price\nHerbs,Basil bunch,1.10\n",
    )
    assert len(found) == told
