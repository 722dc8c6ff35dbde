"""``raftway learn``: figures from the records on the terminal, as a table, and in a new book."""

import csv
from datetime import date

import pytest
from helpers import write_book
from recorded import CROPS, PRODUCTS

from scheduler.book.book import read_book
from scheduler.cli import record_command, record_telling
from scheduler.cli.main import run
from scheduler.farm.build import build_farm

DAYS = ("2026-03-02", "2026-03-09", "2026-03-16", "2026-03-23")


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    for module in (record_telling, record_command):
        monkeypatch.setattr(module, "today", lambda: date(2026, 6, 1))


@pytest.fixture
def book(tmp_path, capsys):
    made = write_book(tmp_path, crops=CROPS, products=PRODUCTS)
    for number, day in enumerate(DAYS):
        where = f"Shelf A {number % 2 + 1} slot {number // 2 + 1}"
        lot = f"BUT-{day.replace('-', '')[2:]}"
        words = ["--crop", "Butterhead", "--to", where, "--plants", "98", "--on", day]
        assert run(["record", str(made), "sown", *words]) == 0
        assert (
            run(["record", str(made), "germinated", "--lot", lot, "--plants", "49", "--on", "2026-04-01"])
            == 0
        )
    capsys.readouterr()
    return made


def test_figures_are_shown_written_and_accepted_and_the_old_book_stays(book, tmp_path, capsys):
    before = {path: path.read_bytes() for path in book.iterdir()}
    table, new = tmp_path / "learned.csv", tmp_path / "new"
    assert run(["learn", str(book), "--csv", str(table), "--accept", str(new)]) == 0
    out = capsys.readouterr().out
    # (10 x 95 + 4 x 50) / 14 = 82.14
    told = [" ".join(line.split()) for line in out.splitlines()]
    assert told[-5:-2] == [
        "Butterhead",
        "proposed counted, and what card and book say",
        "germination 82.1 % 50 % +- 0.0 in 4 batches, card 95 %",
    ]
    (row,) = list(csv.DictReader(table.read_text().splitlines()))
    assert (row["crop"], row["batches"], row["mean"], row["proposed"]) == ("Butterhead", "4", "50", "82.1")
    farm = build_farm(read_book(new))
    assert dict(farm.crops["Butterhead"].own_figures)["germination_percent"] == "82.1"
    assert {path: path.read_bytes() for path in book.iterdir()} == before


def test_a_workbook_can_be_written_and_nothing_is_written_over(book, tmp_path, capsys):
    assert run(["learn", str(book), "--accept", str(tmp_path / "new.xlsx")]) == 0
    assert build_farm(read_book(tmp_path / "new.xlsx")).crops["Butterhead"].own_figures
    assert run(["learn", str(book), "--accept", str(tmp_path / "new.xlsx")]) == 2
    assert "nothing is written over it" in capsys.readouterr().err


def test_without_batches_nothing_can_be_accepted(tmp_path, capsys):
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS)
    table = tmp_path / "t.csv"
    assert run(["learn", str(book), "--accept", str(tmp_path / "new"), "--csv", str(table)]) == 2
    said = capsys.readouterr()
    assert "Nothing yet" in said.out
    assert "Written" not in said.out
    assert "nothing is proposed yet" in said.err
    assert not (tmp_path / "new").exists()
    assert not table.exists()
