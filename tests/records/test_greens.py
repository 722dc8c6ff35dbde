"""Trays that are cut on the shelf in the records: sown, cut by the gram, grown again, and begun from."""

from datetime import timedelta

import pytest
from helpers import TABLES, write_book
from recorded import CROPS, FIRST, PRODUCTS, now, refused, sown, tell, told

from scheduler.book.book import read_book, read_raw
from scheduler.farm.build import build_farm
from scheduler.records.next_book import Start, next_book

LOT = "CRE-260302"
HEADING, *ROWS = CROPS.splitlines()
GREENS = "\n".join(
    [
        f"{HEADING},card,tray",
        *(f"{row},,98-cell tray" for row in ROWS),
        f"Cress,CRE,{',' * (HEADING.count(',') - 2)},micro_pea,open tray",
    ]
).replace("Cress,CRE,,,,,,,,,", "Cress,CRE,,,,,,3,2,9,")


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return write_book(
        tmp_path_factory.mktemp("farm"),
        crops=GREENS + "\n",
        products="product,crop,mass_per_unit\n" + "".join(f"{r},\n" for r in PRODUCTS.splitlines()[1:])
        + "Cress bag,Cress,0.1\n",
        equipment=TABLES["equipment"] + "open tray,tray,1,,10,1\n",
    )  # fmt: skip


@pytest.fixture(scope="module")
def farm(book):
    return build_farm(read_book(book))


def trays(**more):
    return sown(**({"crop": "Cress", "to": "Shelf A 1", "plants": 3, "units": 3} | more))


def test_trays_are_cut_where_they_stand_and_grow_again(farm):
    log = tell(farm, [], trays(), told("cut", 14, lot=LOT, plants=2, heads=410, left=2))
    state = now(log)
    held = [content for unit in state.units for content in unit.contents]
    assert sorted((content.plants, content.cuts) for content in held) == [(1, 0), (1, 1), (1, 1)]
    assert state.lots[LOT].cooler == ((FIRST + timedelta(days=14), 410),)


def test_all_that_is_cut_for_the_last_time_is_gone(farm):
    first = told("cut", 13, lot=LOT, plants=3, heads=600)
    log = tell(farm, [], trays(), first, told("cut", 23, lot=LOT, heads=500))
    assert now(log).units == ()
    assert sum(heads for _, heads in now(log).lots[LOT].cooler) == 1100


def test_no_more_trays_are_cut_than_stand(farm):
    assert refused(farm, [], trays(), told("cut", 14, lot=LOT, plants=4, heads=500)) == [
        f"--plants: found 4 plants of '{LOT}' cut; expected at most the 3 plants that stood there"
    ]


def test_seedlings_are_not_cut_in_their_trays(farm):
    (said,) = refused(farm, [], sown(), told("cut", 14, lot="BUT-260302", heads=5))
    assert said == "--lot: found 'BUT-260302'; expected a place where it stands: Shelf A 1"


def test_the_next_book_begins_with_the_trays_as_they_stand(book, farm, tmp_path):
    log = tell(farm, [], trays(), told("cut", 14, lot=LOT, plants=2, heads=410, left=2))
    made = next_book(read_raw(book), farm, now(log), Start(first_day=FIRST + timedelta(days=15)))
    for name, contents in made.files.items():
        (tmp_path / name).write_bytes(contents)
    found = build_farm(read_book(tmp_path)).growing
    assert [(row.stage, row.since, row.plants, row.units, row.cuts_done, row.last_cut) for row in found] == [
        ("tray", -15, 2, 2, 1, -1),
        ("tray", -15, 1, 1, 0, None),
    ]
