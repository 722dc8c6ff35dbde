"""Coolers of a book, and how its crops are kept in them."""

from pathlib import Path

import pytest
from helpers import crops_csv, farm_of, faults_of, write_book

from scheduler.book.book import read_book
from scheduler.farm.advice import advice
from scheduler.farm.build import build_farm
from scheduler.farm.coolers import Cooler, Crating, coolers_for

ROOMS = "cooler,crates,temperature\nCold room,20,1\nPantry,4,10.5\n"
OWN = {"heads_per_crate": "24", "keep_from": "0", "keep_to": "2.5"}


def cards(name: str, **figures: str) -> str:
    """The crops table with the card's crop; the raft days are given, for a card alone has no trough."""
    return crops_csv(card=name, **figures)


CODES = ("not-crated", "no-cooler", "warm-cooler")


def notes(folder: Path, **tables: str | None) -> list[str]:
    book = read_book(write_book(folder, **tables))
    return [str(note) for note in advice(build_farm(book), book) if note.code in CODES]


def test_every_cell_of_a_cooler_is_taken_over_in_the_order_of_the_book(tmp_path: Path) -> None:
    assert farm_of(tmp_path, coolers=ROOMS).coolers == (
        Cooler(name="Cold room", crates=20, temperature=1_00),
        Cooler(name="Pantry", crates=4, temperature=10_50),
    )


def test_a_book_without_coolers_counts_no_crates(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, crops=crops_csv(**OWN))
    assert farm.coolers == ()
    assert farm.crops["Butterhead"].crating is None


def test_own_figures_go_before_those_of_the_card(tmp_path: Path) -> None:
    crops = crops_csv(card="lettuce_butterhead")
    of_card = farm_of(tmp_path, coolers=ROOMS, crops=crops).crops["Butterhead"].crating
    # ne_veg_guide_t16: leaf and bibb lettuce at 32-36 F; heads in a case from memory (srac454)
    assert of_card == Crating(heads=24, coldest=0, warmest=2_00)
    crops = crops_csv(card="lettuce_butterhead", heads_per_crate="12", keep_to="4.5")
    own = farm_of(tmp_path, coolers=ROOMS, crops=crops).crops["Butterhead"].crating
    assert own == Crating(heads=12, coldest=0, warmest=4_50)


def test_a_crop_without_figures_takes_no_place_and_is_told(tmp_path: Path) -> None:
    assert farm_of(tmp_path, coolers=ROOMS).crops["Butterhead"].crating is None
    assert notes(tmp_path, coolers=ROOMS) == [
        "crops!A2: neither row nor card says how 'Butterhead' is kept, so it takes no place in coolers"
    ]


def test_a_crop_that_only_an_outlet_takes_is_told_too(tmp_path: Path) -> None:
    outlets = "outlet,product,weekdays,amount,price\nMarket,Butterhead head,Sat,20,2.00\n"
    tables = {"orders": None, "deliveries": None, "targets": None}
    assert len(notes(tmp_path, coolers=ROOMS, outlets=outlets, **tables)) == 1


def test_a_crop_that_no_cooler_suits_is_told(tmp_path: Path) -> None:
    crops = crops_csv(**OWN | {"keep_from": "2", "keep_to": "4"})
    (told,) = notes(tmp_path, coolers=ROOMS, crops=crops)
    assert told.endswith("no cooler is at 2 to 4 °C, so 'Butterhead' is delivered on the day it is cut")


def test_a_cooler_that_was_read_in_fahrenheit_is_told_in_celsius(tmp_path: Path) -> None:
    rooms = "cooler,crates,temperature\nCold room,20,1\nPantry,4,20\nWalk-in,8,38\n"
    (told,) = (each for each in notes(tmp_path, coolers=rooms) if each.startswith("coolers"))
    assert told == (
        "coolers!C4: 'Walk-in' is set to 38 °C; if that was read in degrees Fahrenheit, write 3.3"
    )


def test_the_published_temperatures_keep_basil_from_lettuce() -> None:
    """Basil 46-50 F, lettuce 32-36 F: vegetable production guide, table 16 (ne_veg_guide_t16)."""
    lettuce, basil = (
        Crating(heads=24, coldest=0, warmest=2_20),
        Crating(heads=24, coldest=7_80, warmest=10_00),
    )
    for temperature in range(-5_00, 20_00, 10):
        room = Cooler(name="Room", crates=1, temperature=temperature)
        assert not (coolers_for(lettuce, [room]) and coolers_for(basil, [room]))


@pytest.mark.parametrize(("temperature", "suits"), [(-1, False), (0, True), (2_00, True), (2_01, False)])
def test_a_cooler_suits_from_the_coldest_to_the_warmest(temperature: int, suits: bool) -> None:
    room = Cooler(name="Room", crates=1, temperature=temperature)
    assert bool(coolers_for(Crating(heads=1, coldest=0, warmest=2_00), [room])) is suits


@pytest.mark.parametrize(
    ("tables", "fault"),
    [
        ({"coolers": "cooler,crates,temperature\nCold room,-1,1\n"}, "coolers!B2"),
        ({"coolers": "cooler,crates,temperature\nCold room,2,60\n"}, "coolers!C2"),
        ({"coolers": "cooler,crates,temperature\nA,2,1\nA,3,1\n"}, "coolers!A3"),
        ({"coolers": ROOMS, "crops": crops_csv(**OWN | {"keep_to": "-1"})}, "crops!"),
        ({"coolers": ROOMS, "crops": crops_csv(**OWN | {"heads_per_crate": "0"})}, "crops!"),
    ],
)
def test_faults_are_told_with_their_cells(tmp_path: Path, tables: dict[str, str], fault: str) -> None:
    (told,) = faults_of(tmp_path, **tables)
    assert told.startswith(fault)
