"""Measures in another unit than the book's are asked about; usual ones are not."""

import pytest
from helpers import TABLES, write_book

from scheduler.book.book import read_book
from scheduler.farm.advice.sizes import size_notes, weight_notes
from scheduler.farm.build import build_farm

HEAD = "trough,width,length,raft_width,raft_length,lie\n"
DOUBT = "; are its measures in another unit than the length_unit of the settings?"


def notes(folder, unit, measures):
    book = read_book(
        write_book(folder, {"length_unit": unit}, troughs=f"{HEAD}North trough,{measures},along\n")
    )
    return [str(note) for note in size_notes(book)]


@pytest.mark.parametrize(
    ("unit", "measures"),
    [("ft", "4,24,2,4"), ("m", "1.25,12.2,0.6,1.2"), ("m", "30,100,1,4"), ("m", "1,1,0.3,0.5")],
)
def test_usual_measures_are_not_asked_about(tmp_path, unit, measures):
    assert notes(tmp_path, unit, measures) == []


@pytest.mark.parametrize(
    ("unit", "measures", "told"),
    [
        ("m", "4,24,2,4", [f"troughs!D2: a raft of 2 by 4 m covers 8 m²{DOUBT}"]),
        ("ft", "1.25,12.2,0.6,1.2", [f"troughs!D2: a raft of 0.6 by 1.2 ft covers 0.067 m²{DOUBT}"]),
        ("m", "125,1460,0.6,1.2", [f"troughs!B2: 'North trough' of 125 by 1460 m covers 182,500 m²{DOUBT}"]),
        ("m", "30,100.1,1,4", [f"troughs!B2: 'North trough' of 30 by 100.1 m covers 3,003 m²{DOUBT}"]),
        ("m", "1,1,0.3,0.49", [f"troughs!D2: a raft of 0.3 by 0.49 m covers 0.15 m²{DOUBT}"]),
    ],
)
def test_measures_of_another_unit_are_asked_about(tmp_path, unit, measures, told):
    assert notes(tmp_path, unit, measures) == told


@pytest.mark.parametrize(("mass", "told"), [("11.5", 0), ("11.6", 1), ("100", 1)])
def test_a_bag_of_more_than_fifty_trays_is_asked_about(tmp_path, mass, told):
    """A tray of these gives 0.23 kg at a cut; fifty give 11.5."""
    book = read_book(
        write_book(
            tmp_path,
            equipment=f"{TABLES['equipment']}open tray,tray,1,,10,1\n",
            crops="crop,card,tray\nCress,micro_radish,open tray\n",
            products=f"product,crop,mass_per_unit\nCress bag,Cress,{mass}\n",
            orders="order,customer,product,amount,weekdays\nR1,Inn,Cress bag,4,Tue\n",
        )
    )
    notes = [str(note) for note in weight_notes(build_farm(book), book)]
    assert len(notes) == told
    if mass == "100":
        assert notes == [
            "products!C2: one unit of 'Cress bag' weighs 100 kg, what 435 trays of 'Cress' give at a cut; "
            "is it in another unit than the mass_unit of the settings?"
        ]
