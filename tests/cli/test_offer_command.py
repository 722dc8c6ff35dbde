"""``raftway offer`` answers on a book and its plan, writes only what is asked for, and never the book."""

import pytest
from boxed_books import BOOK
from folders import every_byte, planned
from helpers import TABLES, write_book

from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan

ONE_BOARD = TABLES["equipment"].replace("board,72,,20,1", "board,72,,1,1")
ORDERS = (
    "order,customer,product,amount,weekdays,from,to,price\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-04-24,2026-04-24,2.50\n"
)
SEARCH = ("--seconds", "1", "--deterministic")


@pytest.fixture(autouse=True)
def no_pages(monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {})


@pytest.fixture(scope="module")
def farm(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("offer")
        made = planned(folder, equipment=ONE_BOARD, orders=ORDERS)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder


def ask(farm, *more, plan=True):
    of = ("--plan", str(farm / "plan")) if plan else ()
    return run(["offer", str(farm / "book"), "--product", "butterhead head", *of, *SEARCH, *more])


def test_an_order_that_fits_is_taken_and_its_plan_is_written_where_asked(farm, tmp_path, capsys):
    before, out = every_byte(farm), tmp_path / "with"
    assert ask(farm, "--amount", "10", "--weekday", "Fri", "--out", str(out)) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "10 Butterhead head every Fri Yes, from Fri 24 Apr 2026 on" in text
    assert "It earns 25.00 in this plan (as other orders of it pay)" in text
    assert "order NEW-1" in text
    assert "Written to" in text
    assert every_byte(farm) == before
    assert "NEW-1,New customer,Butterhead head,10,Fri,2026-04-24" in (out / "book" / "orders.csv").read_text()
    assert run(["audit", str(out / "book"), str(out)]) == 0
    assert "NEW-1 2026-04-24" in (out / "tables" / "demands.csv").read_text()


def test_an_order_beyond_the_boards_ends_with_3(farm, capsys):
    assert ask(farm, "--amount", "70", "--weekday", "Fri", "--price", "3") == 3
    text = " ".join(capsys.readouterr().out.split())
    assert "No way was found" in text
    assert "add this row" not in text


def test_without_a_plan_one_is_searched_first(farm, capsys):
    assert ask(farm, "--amount", "10", "--weekday", "Fri", plan=False) == 0
    assert "Yes, from Fri 24 Apr 2026 on" in " ".join(capsys.readouterr().out.split())


def test_the_plan_of_another_book_is_refused(farm, tmp_path, capsys):
    other = planned(tmp_path, orders=ORDERS.replace(",12,", ",13,"))
    asked = ["offer", str(other.book), "--product", "Butterhead head", "--amount", "1", "--weekday", "Fri"]
    assert run([*asked, "--plan", str(farm / "plan"), *SEARCH]) == 2
    assert "is the plan of another book" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("--amount", "10", "--weekday", "Fry"), 1, "the new order, weekdays"),
        (("--amount", "10", "--weekday", "Fri", "--price", "cheap"), 1, "the new order, price"),
        (("--amount", "10", "--weekday", "Fri", "--from", "2030-01-01"), 2, "after the plan's last day"),
        (("--amount", "0", "--weekday", "Fri"), 2, "0 is no whole number"),
    ],
)
def test_what_cannot_be_an_order_is_refused_at_its_option(farm, capsys, words, code, told):
    assert ask(farm, *words) == code
    assert told in capsys.readouterr().err


def test_a_first_day_after_the_plan_is_told_before_any_search(farm, monkeypatch, capsys):
    monkeypatch.setattr("scheduler.cli.progress.solve_watched", lambda *_: pytest.fail("searched"))
    assert ask(farm, "--amount", "10", "--weekday", "Fri", "--from", "2030-01-01", plan=False) == 2
    assert "after the plan's last day" in capsys.readouterr().err


def test_an_unknown_product_is_refused_with_those_there_are(farm, capsys):
    asked = ["offer", str(farm / "book"), "--product", "Buterhead head", "--amount", "1", "--weekday", "Fri"]
    assert run(asked) == 2
    assert "did you mean Butterhead head?" in capsys.readouterr().err


def test_a_category_of_boxes_is_no_product_to_be_ordered(tmp_path, capsys):
    book = write_book(tmp_path, **BOOK)
    assert run(["offer", str(book), "--product", "Heads", "--amount", "1", "--weekday", "Fri"]) == 2
    assert "There is Head, Long head, Basil bunch, Basil pot." in capsys.readouterr().err
