"""What the records teach: known answers worked out by hand, and odd batches that swing nothing."""

from fractions import Fraction

import pytest
from helpers import write_book
from recorded import PRODUCTS, boarded, cut, now, rafted, small, sown, tell, told

from scheduler.book.book import read_raw
from scheduler.book.grids import grids_of
from scheduler.book.to_csv import csv_files
from scheduler.records.accepted import in_tenths, with_proposed
from scheduler.records.entries import in_force
from scheduler.records.learned import LEAST, WEIGHT, learned, shrunk

CROPS = (
    "crop,card,code,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_percent,"
    "survival_tray_percent,survival_board_percent,survival_raft_percent,plants_per_raft,plants_per_board\n"
    "Butterhead,,BUT,14,3,14,3,21,7,90,90,97,90,36,72\n"
)


@pytest.fixture
def farm(tmp_path):
    return small(tmp_path, crops=CROPS, products="product,crop\nButterhead head,Butterhead\n")


def batch(start, seedlings=80, onto_rafts=70, heads=63, late=0):
    """Return the entries of a lot sown on a day of which all but some plants are cut."""
    lot = f"BUT-{sown(start).given['when'].replace('-', '')[2:]}"
    afloat = 28 + start + late
    return [
        sown(start),
        told("germinated", start + 5, lot=lot, plants=seedlings),
        boarded(start + 14, lot=lot, plants=72, left=0),
        rafted(start + 28, lot=lot, plants=onto_rafts, left=0),
        cut(afloat + 21, lot=lot, plants=onto_rafts, heads=heads),
    ]


def figures(farm, batches):
    log = tell(farm, [], *(entry for each in batches for entry in each))
    numbered = [(each.number, each.entry) for each in log]
    return learned(farm, in_force(numbered), now(log))


def overall(told_of):
    return {each.figure: each for each in told_of if not each.season and not each.place}


def test_known_answers_by_hand(farm):
    # 80 of 98 cells: 81.63 %; (10 x 90 + 5 x 81.63) / 15 = 87.21
    # 70 of 72 plants: 97.22 %; 63 heads of 70 plants: 90 %; days 14, 14, and 21 + 3 = 24: (210 + 120) / 15
    found = overall(figures(farm, [batch(60 * number, late=3) for number in range(5)]))
    assert {name: in_tenths(each.proposed) for name, each in found.items()} == {
        "germination_percent": "87.2",
        "survival_tray_percent": "90",
        "survival_board_percent": "97.1",
        "survival_raft_percent": "90",
        "days_tray": "14",
        "days_board": "14",
        "days_raft": "22",
    }
    assert found["germination_percent"].batches == 5
    assert found["germination_percent"].spread == 0
    assert in_tenths(found["germination_percent"].mean) == "81.6"


def test_too_few_batches_propose_nothing(farm):
    few = overall(figures(farm, [batch(60 * number) for number in range(LEAST - 1)]))
    assert few["germination_percent"].proposed is None
    enough = overall(figures(farm, [batch(60 * number) for number in range(LEAST)]))
    assert enough["germination_percent"].proposed is not None


def test_one_odd_batch_moves_a_share_by_less_than_its_part():
    usual = [Fraction(90)] * 9
    assert shrunk(Fraction(90), [*usual, Fraction(0)]) == Fraction(90) - Fraction(90, WEIGHT + 10)
    assert shrunk(Fraction(90), []) == 90


def test_what_is_still_on_its_way_or_was_taken_out_on_purpose_shows_no_survival(farm):
    entries = batch(0)[:-1]
    assert "survival_raft_percent" not in overall(figures(farm, [entries]))
    out = [*entries, told("culled", 40, lot="BUT-260302", plants=5)]
    found = overall(figures(farm, [[*out, cut(49, plants=65, heads=60)]]))
    assert "survival_raft_percent" not in found
    assert "survival_board_percent" not in found
    assert "days_raft" in found


def test_seasons_and_places_are_told_apart(farm):
    parts = [
        each
        for each in figures(farm, [batch(0), batch(120, seedlings=75)])
        if each.figure == "germination_percent" and each.season
    ]
    assert [(each.season, each.place, in_tenths(each.mean)) for each in parts] == [
        ("Jun-Aug", "Shelf A", "76.5"),
        ("Mar-May", "Shelf A", "81.6"),
    ]
    assert all(each.proposed is None for each in parts)


def test_accepting_writes_the_figures_and_nothing_else(farm, tmp_path):
    book = write_book(
        tmp_path / "b", crops=CROPS, products=PRODUCTS.splitlines()[0] + "\nButterhead,Butterhead\n"
    )
    before = csv_files(grids_of(read_raw(book)))
    told_of = figures(farm, [batch(60 * number, late=3) for number in range(5)])
    files = csv_files(with_proposed(read_raw(book), told_of))
    assert {name: files[name] for name in before if name != "crops.csv"} == {
        name: contents for name, contents in before.items() if name != "crops.csv"
    }
    heading, row = files["crops.csv"].decode().splitlines()
    cells = dict(zip(heading.split(","), row.split(","), strict=True))
    assert (cells["germination_percent"], cells["days_raft"], cells["wait_tray"]) == ("87.2", "22", "3")
