"""``raftway limit``."""

import re

import pytest
from helpers import TABLES, write_book
from scenarios import one

from scheduler.cli.exits import DONE, WRONG_USE
from scheduler.cli.main import run

QUICK = ("--seconds", "1", "--deterministic", "--no-season")


@pytest.fixture
def book(tmp_path):
    return str(write_book(tmp_path))


def times(text, answer):
    (found,) = re.findall(rf"^{answer} +([\d.]+) ", text, re.MULTILINE)
    return float(found)


def test_the_limit_of_a_book_s_orders_is_told(book, capsys):
    assert run(["limit", book, *QUICK]) == DONE
    told = capsys.readouterr()
    assert "The usual week of the book's orders, 24 units a week" in told.out
    assert 0 < times(told.out, "steady week of whole units") <= times(told.out, "linear bound")
    assert "finding a steady week of whole units" in told.err


def test_the_bound_alone_looks_for_no_whole_units(book, capsys):
    assert run(["limit", book, "--bound-only"]) == DONE
    told = capsys.readouterr()
    assert "steady week of whole units" not in told.out + told.err


def test_a_mix_a_day_and_a_cycle_of_weeks_may_be_given(book, capsys):
    mix = ["--mix", "Butterhead head=40", "--day", "2026-03-24", "--weeks", "2"]
    assert run(["limit", book, "--bound-only", *mix]) == DONE
    told = capsys.readouterr().out
    assert "A mix of your own, 40 units a week, in a cycle of 2 weeks; week of 23 March 2026" in told


def test_the_limit_of_a_changed_book_is_that_of_its_farm(book, tmp_path, capsys):
    east = tmp_path / "east.toml"
    east.write_text(one("add trough", trough="East trough"), encoding="utf-8")
    found = []
    for options in ([], ["--with", str(east)]):
        assert run(["limit", book, "--bound-only", *options]) == DONE
        found.append(times(capsys.readouterr().out, "linear bound"))
    assert found[1] > found[0]


def test_page_tables_and_picture_are_written(book, tmp_path, capsys):
    out = tmp_path / "limit"
    code = run(["limit", book, "--bound-only", "--frontier", "all", "--out", str(out)])
    told = capsys.readouterr().out
    assert code == DONE
    assert {path.name for path in out.iterdir()} == {
        "limit.html",
        "limit.csv",
        "rooms.csv",
        "frontier.csv",
        "frontier.svg",
    }
    assert "Units a week by rows" in told
    assert "Units a week by percent of all places" in told


def test_a_season_is_planned_when_asked_for(book, capsys):
    assert run(["limit", book, "--seconds", "1", "--deterministic", "--season"]) == DONE
    assert "planning the whole season at " in capsys.readouterr().err


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--mix", "Butterhead head"], "'Butterhead head' is no part of a mix; write it like"),
        (["--mix", "Butterhead=4"], "no product is called 'Butterhead'; expected 'Butterhead head'?"),
        (["--mix", "Butterhead head=4", "--mix", "Butterhead head=5"], "a product stands in --mix twice"),
        (["--mix", "Butterhead head=0"], "is no part of a mix"),
        (["--mix", "Butterhead head=" + "9" * 5000], "is no part of a mix"),
        (["--day", "2027-01-01"], "2027-01-01 lies outside the plan, 2026-03-02 to 2026-04-26; name a day"),
    ],
)
def test_what_cannot_be_taken_is_a_wrong_use(book, options, told, capsys):
    assert run(["limit", book, "--bound-only", *options]) == WRONG_USE
    assert told in capsys.readouterr().err


def test_a_farm_without_orders_needs_a_mix(tmp_path, capsys):
    book = str(write_book(tmp_path, orders=None))
    assert run(["limit", book, "--bound-only"]) == WRONG_USE
    assert "nothing is asked for" in capsys.readouterr().err
    assert run(["limit", book, "--bound-only", "--mix", "Butterhead head=4"]) == DONE


def test_a_trough_that_no_boards_feed_brings_nothing_and_it_is_said(tmp_path, capsys):
    few = TABLES["equipment"].replace("board,72,,20,1", "board,72,,1,1")
    book = str(write_book(tmp_path, equipment=few))
    east = tmp_path / "east.toml"
    east.write_text(one("add trough", trough="East trough"), encoding="utf-8")
    told = []
    for options in ([], ["--with", str(east)]):
        assert run(["limit", book, "--bound-only", *options]) == DONE
        told.append(capsys.readouterr().out)
    assert times(told[1], "linear bound") == times(told[0], "linear bound")
    said = " ".join(told[1].split())
    assert (
        "Another row or trough alone brings nothing: boards owned (72-hole board) feed no more of them."
        in said
    )
