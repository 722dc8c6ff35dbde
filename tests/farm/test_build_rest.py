"""Rows that rest between crops, as the book gives them."""

from pathlib import Path

from helpers import TABLES, farm_of, faults_of

HEADING, ROW = TABLES["troughs"].splitlines()


def test_every_row_of_a_trough_rests_as_the_trough_says(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, troughs=f"{HEADING},rest_days\n{ROW},3\n")
    assert [(place.name, place.rest) for place in farm.places if place.belongs_to == "North trough"] == [
        ("North trough boards", 0),
        ("North trough 1", 3),
        ("North trough 2", 3),
    ]
    assert {place.rest for place in farm_of(tmp_path).places} == {0}


def test_boards_and_shared_rafts_do_not_rest(tmp_path: Path) -> None:
    boards = f"{HEADING},holds,rest_days\n{ROW},rafts,0\nBoard trough,4,24,2,4,along,boards,2\n"
    assert faults_of(tmp_path, None, troughs=boards) == [
        "troughs!H3: found a rest for boards; expected 0: only rows of rafts rest"
    ]
    shared = f"{HEADING},rest_days\n{ROW},3\n"
    assert faults_of(tmp_path, {"share_rafts": "yes"}, troughs=shared) == [
        "troughs!G2: found a rest between crops; expected 0, or share_rafts no: a raft may hold several crops"
    ]
