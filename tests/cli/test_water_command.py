"""``raftway water``: of a book, of a plan, and with a scenario."""

from pathlib import Path

import pytest
from helpers import write_book

from scheduler.book.book import read_raw, typed_book
from scheduler.book.plain_copy import book_copy
from scheduler.cli.main import run
from scheduler.farm.build import build_farm
from scheduler.outputs.everything import Edition, write_plan
from scheduler.plan.decided import Decided
from scheduler.plan.layout import lay_out

TANKS = "tank,species,yield_per_year,feed_ratio\nTank 1,Tilapia,200,1.5\n"
SECOND = '[[change]]\ndo = "add fish tank"\ntank = "Tank 2"\nlike = "Tank 1"\n'


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return write_book(tmp_path, {"mass_unit": "lb"}, fish_tanks=TANKS)


def said(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def test_a_book_is_taken_with_every_slot_planted(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # 2 rows of 4 rafts and 2 boards of 2 x 4 ft: 12 x 0.743 m2 = 8.9 m2; 200 lb a year eat 373 g a day
    assert run(["water", str(book)]) == 0
    text = said(capsys)
    assert "as if every open slot" in text
    assert "8.9 m² 357-446 373 balanced; 8 weeks alike" in text


def test_a_second_tank_is_too_much_for_it(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "second.toml"
    file.write_text(SECOND, encoding="utf-8")
    assert run(["water", str(book), "--with", str(file)]) == 0
    text = said(capsys)
    assert "746 more feed than plants use; 344 g a day too much, or 7.7 m² more could be planted" in text


def test_a_plan_is_taken_as_it_is_planted(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    nothing = Decided(tray_moves=(), board_moves=(), raft_batches=(), raft_leaves=(), fills=())
    plan = lay_out(farm, nothing, (), {})
    write_plan(tmp_path / "plan", farm, plan, book_copy(raw), Edition())
    assert run(["water", str(tmp_path / "plan")]) == 0
    text = said(capsys)
    assert "Planted as in the plan." in text
    assert "All water: no plants in 8 weeks." in text
    assert "enough for 8.3 m² of leafy plants" in text


def test_a_book_without_fish_is_told_what_to_fill_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["water", str(write_book(tmp_path))]) == 2
    assert "the book has no fish tanks: fill in its table fish_tanks" in capsys.readouterr().err
