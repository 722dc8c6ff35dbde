"""Seed and packaging of a book: what they become, and what is wrong with a row that cannot be ordered."""

from pathlib import Path

import pytest
from helpers import TABLES, farm_of, faults_of

from scheduler.farm.supplies import Supply

COLUMNS = (
    "item,kind,crop,product,per_unit,in_stock",
    "pack_size,least_packs,lead_days,spare_percent,price,order_days",
)
HEADING = ",".join(COLUMNS) + "\n"
SEED = "Seed,seed,Butterhead,,,,1000,,10,,,\n"
BOX = "Box,packaging,,Butterhead head,,,25,,5,,,\n"
MONDAY, WEDNESDAY, FRIDAY = 0, 2, 4


def test_a_book_without_supplies_has_none(tmp_path: Path) -> None:
    assert farm_of(tmp_path).supplies == ()


def test_blank_cells_mean_nothing_in_stock_one_pack_and_any_day(tmp_path: Path) -> None:
    seed, box = farm_of(tmp_path, supplies=HEADING + SEED + BOX).supplies
    assert seed == Supply(item="Seed", kind="seed", crop="Butterhead", pack_size=1000, lead_days=10)
    assert (box.products, box.per_unit, box.least_packs, box.in_stock) == (("Butterhead head",), 1000, 1, 0)
    assert box.order_days == frozenset(range(7))


def test_every_cell_is_taken_over(tmp_path: Path) -> None:
    products = TABLES["products"] + "Leaf lettuce,Butterhead\n"
    row = "Box,packaging,,Butterhead head;Leaf lettuce,0.0833,40,25,2,5,2.505,22.50,Mon Thu\n"
    (box,) = farm_of(tmp_path, products=products, supplies=HEADING + row).supplies
    assert box == Supply(
        item="Box",
        kind="packaging",
        products=("Butterhead head", "Leaf lettuce"),
        per_unit=83,
        in_stock=40,
        pack_size=25,
        least_packs=2,
        lead_days=5,
        spare=251,
        price=2250,
        order_days=frozenset({0, 3}),
    )
    assert box.used_for == "Butterhead head; Leaf lettuce"


def test_the_weeks_of_an_order_are_eight_unless_the_book_says(tmp_path: Path) -> None:
    assert farm_of(tmp_path).rules.supply_weeks == 8
    assert farm_of(tmp_path, {"supply_weeks": "3"}).rules.supply_weeks == 3


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (
            "Seed,seed,,,,,1000,,10,,,\n",
            "supplies!C2: found no crop for 'Seed'; expected the crop it is sown for",
        ),
        (
            "Box,packaging,,,,,25,,5,,,\n",
            "supplies!D2: found no product for 'Box'; expected the products packed in it",
        ),
        (
            SEED.replace("Butterhead,,", "Butterhead,Butterhead head,"),
            "supplies!D2: found a product for 'Seed', which is seed; expected a blank cell: only packaging "
            "has one",
        ),
        (
            SEED.replace("Butterhead,,,", "Butterhead,,2,"),
            "supplies!E2: found a per_unit for 'Seed', which is seed; expected a blank cell: only packaging "
            "has one",
        ),
        (
            BOX.replace("packaging,,", "packaging,Butterhead,"),
            "supplies!C2: found a crop for 'Box', which is packaging; expected a blank cell: only seed has "
            "one",
        ),
        (
            SEED + SEED.replace("Seed,", "Other seed,"),
            "supplies!C3: found a second seed for 'Butterhead'; expected one row for each crop "
            "(supplies!C2 has it)",
        ),
        (
            SEED.replace("Butterhead", "Butterhed"),
            "supplies!C2: found 'Butterhed', which is not in crops; expected 'Butterhead'?",
        ),
        (
            BOX.replace("Butterhead head", "Butterhead head;Basil"),
            "supplies!D2: found 'Basil', which is not in products; expected one of 'Butterhead head'",
        ),
        (SEED.replace(",1000,", ",0,"), "supplies!G2: found '0'; expected 1 to 100000000 (pieces)"),
        (SEED.replace(",1000,", ",,"), "supplies!G2: found a blank cell; expected pack_size, such as 5000"),
    ],
)
def test_a_row_that_cannot_be_ordered_is_told_with_its_cell(tmp_path: Path, rows: str, expected: str) -> None:
    assert faults_of(tmp_path, supplies=HEADING + rows) == [expected]


@pytest.mark.parametrize(("units", "pieces"), [(0, 0), (1, 1), (6, 1), (7, 2), (12, 2), (13, 3)])
def test_a_box_of_six_is_begun_only_when_it_is_needed(units: int, pieces: int) -> None:
    assert Supply(item="Box", kind="packaging", per_unit=166).pieces_for(units) == pieces


@pytest.mark.parametrize(("number", "with_spare"), [(0, 0), (1, 2), (20, 21), (21, 23)])
def test_spare_goes_on_top_and_rounds_up(number: int, with_spare: int) -> None:
    assert Supply(item="Seed", kind="seed", spare=500).with_spare(number) == with_spare


@pytest.mark.parametrize(
    ("lead", "days", "needed", "by"),
    [
        (0, range(7), 20, 20),
        (10, range(7), 20, 10),
        (10, (MONDAY,), 24, 14),
        (10, (MONDAY,), 23, 7),
        (5, (WEDNESDAY, FRIDAY), 16, 11),
        (5, (WEDNESDAY, FRIDAY), 15, 9),
        (30, (MONDAY,), 20, -14),
    ],
)
def test_an_order_is_placed_on_the_last_order_day_that_is_early_enough(
    tmp_path: Path, lead: int, days: range, needed: int, by: int
) -> None:
    calendar = farm_of(tmp_path).calendar  # day 0 is a Monday
    supply = Supply(item="Seed", kind="seed", lead_days=lead, order_days=frozenset(days))
    assert supply.order_by(calendar, needed) == by


def test_an_order_from_today_on_waits_for_an_order_day(tmp_path: Path) -> None:
    calendar = farm_of(tmp_path).calendar
    supply = Supply(item="Seed", kind="seed", lead_days=10, order_days=frozenset({FRIDAY}))
    assert [supply.next_arrival(calendar, today) for today in (4, 5)] == [(4, 14), (11, 21)]
