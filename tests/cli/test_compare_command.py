"""``raftway compare``."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from helpers import write_book
from scenarios import one

from scheduler.book.book import read_book, read_raw
from scheduler.cli.candidates import candidates, read_scenarios
from scheduler.cli.exits import DONE, FAULTY_BOOK, NO_PLAN, WRONG_USE
from scheduler.cli.main import run
from scheduler.cli.side_by_side import NoPlan
from scheduler.model.settings import Outcome
from scheduler.outputs.screen import WIDTH

ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-04-24,2026-04-24\n"
)
QUICK = ("--seconds", "1", "--deterministic")
EAST = 'do = "add trough", trough = "East trough"'


@pytest.fixture
def book(tmp_path):
    return str(write_book(tmp_path, orders=ORDERS))


@pytest.fixture
def east(tmp_path):
    path = tmp_path / "east.toml"
    path.write_text("cost = 900\n" + one("add trough", trough="East trough"), encoding="utf-8")
    return str(path)


def test_farms_are_shown_side_by_side_and_written_with_their_books(book, east, tmp_path, capsys):
    out = tmp_path / "compared"
    code = run(["compare", book, "--with", east, "--change", 'do = "orders", percent = 50', *QUICK,
                "--out", str(out)])  # fmt: skip
    told = capsys.readouterr()
    assert code == DONE
    assert re.search(r"^ +as it is +east +as asked *$", told.out, flags=re.MULTILINE)
    assert "Planning east (2 of 3)" in told.err
    names = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()}
    assert {
        "compare.html",
        "compare.xlsx",
        "books/1-east/troughs.csv",
        "books/2-as-asked/orders.csv",
    } <= names
    assert [row.text("trough") for row in read_book(out / "books" / "1-east").rows("troughs")] == [
        "North trough",
        "East trough",
    ]


def test_farms_are_the_same_in_whatever_order_scenarios_are_given(book, east, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text(one("orders", percent=50) + one("widen trough", trough="North trough"), encoding="utf-8")
    found = []
    for files in ([Path(east), other], [other, Path(east)]):
        scenarios = read_scenarios(files, [], all_at_once=True)
        made = candidates(read_raw(Path(book)), scenarios, None)
        found.append({each.name: each.farm for each in made})
    assert set(found[0]) == {"as it is", "east", "other", "east + other"}
    assert found[0] == found[1]


@pytest.fixture(scope="module")
def plans():
    """Plans of the same farms, once they are found."""
    return {}


@pytest.fixture
def used(monkeypatch, plans):
    """What was to plan the farms, each time they were planned."""
    from scheduler.cli.side_by_side import best_plans

    def remembered(found, settings, make):
        made.append(make)
        if not plans:
            plans.update(best_plans(found, settings))
        return plans

    made = []
    monkeypatch.setattr("scheduler.sweep.executors.local", lambda many: many)
    monkeypatch.setattr("scheduler.sweep.executors.cluster", lambda address: address)
    monkeypatch.setattr("scheduler.cli.side_by_side.best_plans", remembered)
    return made


@pytest.mark.parametrize(
    ("options", "asked", "told"),
    [
        ((), None, "one search, one farm after the other, seed 1"),
        (("--at-once", "3"), 3, "one search, 3 farms at once, seed 1"),
        (("--cluster", "tcp://127.0.0.1:1"), "tcp://127.0.0.1:1", "by the workers of a cluster, seed 1"),
    ],
)
def test_who_plans_the_farms_is_asked_for_and_told(book, east, used, options, asked, told):
    out = Path(east).with_name("compared")
    assert run(["compare", book, "--with", east, *QUICK, *options, "--out", str(out)]) == DONE
    assert used == [asked]
    assert told in (out / "compare.html").read_text(encoding="utf-8")


def test_farms_are_held_against_the_one_that_is_named(book, east, capsys):
    options = ["--change", 'do = "orders", percent = 50', *QUICK, "--against", "As asked"]
    assert run(["compare", book, "--with", east, *options]) == DONE
    told = capsys.readouterr().out
    assert re.search(r"^ +as asked +as it is +east *$", told, flags=re.MULTILINE)
    assert "Differences are held against 'as asked'" in told
    assert run(["compare", book, "--with", east, *QUICK, "--against", "Nine"]) == WRONG_USE
    assert "no farm is called 'Nine'; expected one of " in capsys.readouterr().err


def test_more_searches_than_cores_are_told(book, east, monkeypatch, capsys):
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    monkeypatch.setattr("scheduler.cli.side_by_side.best_plans", lambda *_: raise_no_plan())
    options = ["--seconds", "1", "--at-once", "2", "--workers", "2"]
    assert run(["compare", book, "--with", east, *options]) == NO_PLAN
    assert "2 farms at once with 2 searches each want 4 cores, and there are 2" in capsys.readouterr().err


def raise_no_plan(*, without_memory=False):
    raise NoPlan(without_memory=without_memory)


def test_a_cluster_that_is_not_there_ends_the_comparison(book, east, monkeypatch, capsys):
    monkeypatch.setattr("scheduler.sweep.executors.CONNECT_SECONDS", 0.2)
    options = ["--cluster", "tcp://127.0.0.1:1", *QUICK]
    assert run(["compare", book, "--with", east, *options]) == WRONG_USE
    assert "no cluster answers at tcp://127.0.0.1:1" in capsys.readouterr().err


def test_a_fault_of_a_scenario_is_told_at_its_key(book, capsys):
    code = run(["compare", book, "--change", 'do = "widen trough", trough = "Nort trough"', *QUICK])
    assert code == FAULTY_BOOK
    assert capsys.readouterr().err == (
        "command line: change 1 (widen trough), trough: found 'Nort trough'; expected 'North trough'?\n"
        "1 fault; mend it and try again\n"
    )


def test_notes_that_only_the_changed_book_brings_are_told(book, capsys):
    wide = 'do = "add crop", crop = "Chard", product = "Chard", card = "swiss_chard"'
    run(["compare", book, "--change", wide, *QUICK])
    assert "Note: command line: change 1 (add crop)" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ([], "nothing to compare with"),
        (["--change", EAST, "--change", 'do = "set", table = "settings", row = "weeks", value = 9'],
         "leave first_day and weeks as they are, to compare the same days"),
    ],
)  # fmt: skip
def test_what_cannot_be_compared_is_a_wrong_use(book, options, told, capsys):
    assert run(["compare", book, *options, *QUICK]) == WRONG_USE
    assert told in capsys.readouterr().err


def test_two_farms_of_one_name_are_refused(book, east, tmp_path, capsys):
    other = tmp_path / "other.toml"
    other.write_text('name = "east"\n' + one("orders", percent=5), encoding="utf-8")
    assert run(["compare", book, "--with", east, "--with", str(other), *QUICK]) == WRONG_USE
    assert "another farm is called 'east' too" in capsys.readouterr().err


def test_nothing_is_written_over(book, east, tmp_path, capsys):
    out = tmp_path / "compared"
    out.mkdir()
    (out / "mine.txt").write_text("x")
    assert run(["compare", book, "--with", east, "--out", str(out), *QUICK]) == WRONG_USE
    assert "is not empty" in capsys.readouterr().err
    assert [path.name for path in out.iterdir()] == ["mine.txt"]


def test_without_a_plan_in_time_nothing_is_written(book, east, tmp_path, capsys, monkeypatch):
    none = Outcome(plan=None, status="no plan")
    monkeypatch.setattr("scheduler.cli.progress.solve_watched", lambda *_: none)
    out = tmp_path / "compared"
    assert run(["compare", book, "--with", east, "--out", str(out), *QUICK]) == NO_PLAN
    assert not out.exists()
    assert "No plan was found in time; give it more with --seconds." in capsys.readouterr().err


def test_without_memory_for_a_plan_more_seconds_are_not_what_is_asked_for(book, east, capsys, monkeypatch):
    none = Outcome(plan=None, status="no plan", without_memory=True)
    monkeypatch.setattr("scheduler.cli.progress.solve_watched", lambda *_: none)
    assert run(["compare", book, "--with", east, *QUICK]) == NO_PLAN
    told = "No plan was found before the memory of this machine was taken; "
    assert f"{told}close other programs, " in capsys.readouterr().err
    monkeypatch.setattr(
        "scheduler.cli.side_by_side.best_plans", lambda *_: raise_no_plan(without_memory=True)
    )
    assert run(["compare", book, "--with", east, *QUICK, "--at-once", "2"]) == NO_PLAN
    assert f"{told}give fewer --at-once, close other programs, " in capsys.readouterr().err


def test_help_shows_a_scenario():
    from scheduler.cli.compare_command import compare

    told = CliRunner().invoke(compare, ["--help"]).output
    assert 'do = "add trough"' in told


def test_every_kind_of_change_is_listed_and_its_examples_can_be_read(capsys):
    from scheduler.scenario.kinds import load_kinds
    from scheduler.scenario.read import parse_scenario

    assert run(["compare", "--kinds"]) == DONE
    told = capsys.readouterr().out
    assert max(map(len, told.splitlines())) <= WIDTH
    blocks = told.split("\n\n")[1:]
    assert len(blocks) == len(load_kinds()) - 1
    for block in blocks:
        keys = re.findall(r'^(?:  )?(\w+ = (?:"[^"]*"|\[[^]]*\]|[^ :]+))', block, re.MULTILINE)
        text = "[[change]]\n" + "\n".join(keys)
        parse_scenario(text, "kinds.toml", "kinds")
