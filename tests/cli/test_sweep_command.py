"""``raftway sweep``: many scenarios, one line each, resumed from a file, the same on any workers."""

import io
import json
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import pytest
from farms import make_farm
from helpers import rows_of, write_book
from rich.console import Console
from scenarios import one

from scheduler.book.book import read_book
from scheduler.cli import exits
from scheduler.cli.exits import DONE, WRONG_USE
from scheduler.cli.main import run
from scheduler.cli.sweeping import NO_PLAN, PLANNED, Task, planned_and_replayed
from scheduler.farm.build import build_farm
from scheduler.model.settings import Outcome, SolveSettings
from scheduler.outputs.sweep import best_of_seeds, print_sweep, sweep_csv
from scheduler.stress.chances import Chances

ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-04-24,2026-04-24\n"
)
QUICK = ("--seconds", "1", "--deterministic", "--runs", "50")


@pytest.fixture
def given(tmp_path):
    """A book and two scenarios, as arguments."""
    book = write_book(tmp_path, orders=ORDERS)
    for name in ("East trough", "West trough"):
        text = f'name = "{name}"\n' + one("add trough", trough=name)
        (tmp_path / f"{name[:4].lower()}.toml").write_text(text, encoding="utf-8")
    return str(book), str(tmp_path / "east.toml"), str(tmp_path / "west.toml")


@pytest.fixture
def asked(monkeypatch):
    """Workers that are threads and tell of each farm at once what its places are; what they were given."""
    tasks = []

    def told(task):
        tasks.append(task)
        return {
            "state": PLANNED,
            "score": [0, 0, task.settings.seed],
            **{"firm": 1, "firm_filled": 1, "flexible": 0, "flexible_filled": 0, "short": 0},
            **{"brought": 100 * len(task.farm.places), "paid": task.settings.seed},
            **{"runs": task.runs, "hits": 40, "replayed": 1, "short_on_average": 0.2},
        }

    @contextmanager
    def threads():
        with ThreadPoolExecutor(2) as executor:
            yield executor

    monkeypatch.setattr("scheduler.cli.sweeping.planned_and_replayed", told)
    monkeypatch.setattr("scheduler.sweep.executors.local", lambda _: threads)
    return tasks


def swept(book, *scenarios, options=()):
    named = [part for each in scenarios for part in ("--with", each)]
    return run(["sweep", book, *named, *QUICK, *options])


def test_every_farm_has_a_line_and_nothing_is_done_twice(given, asked, tmp_path, capsys):
    book, east, west = given
    kept = ("--results", str(tmp_path / "sweep.jsonl"))
    out = tmp_path / "sweep.csv"
    assert swept(book, east, options=kept) == DONE
    capsys.readouterr()
    assert swept(book, west, east, options=(*kept, "--out", str(out))) == DONE
    told = capsys.readouterr()
    lines = [line for line in told.out.splitlines() if not line.startswith("Written")]
    assert max(map(len, lines)) <= 80
    assert "2 of 3 were there already" in told.err
    assert len(asked) == 3
    assert [row["farm"] for row in rows_of(out)] == ["as it is", "West trough", "East trough"]
    assert {row["chance"] for row in rows_of(out)} == {"0.8000"}
    assert len({row["brought"] for row in rows_of(out)}) == 2
    assert len((tmp_path / "sweep.jsonl").read_text().splitlines()) == 3


@pytest.mark.parametrize("answers", [0, 1])
def test_stopped_it_says_where_answers_stand_if_there_are_any(given, tmp_path, monkeypatch, capsys, answers):
    def pressed(items, _make, results, _tell):
        for each in items[:answers]:
            results.add(each.key, {"state": PLANNED})
        raise KeyboardInterrupt

    monkeypatch.setattr("scheduler.sweep.run.run_all", pressed)
    book, east, _ = given
    assert swept(book, east, options=("--results", str(tmp_path / "sweep.jsonl"))) == exits.STOPPED
    assert ("the same command goes on" in capsys.readouterr().err) == bool(answers)


def test_the_order_of_scenarios_changes_nothing_but_the_order_of_lines(given, asked, tmp_path):
    book, *scenarios = given
    found = []
    for at, order in enumerate((scenarios, scenarios[::-1])):
        out = tmp_path / f"{at}.csv"
        assert swept(book, *order, options=("--out", str(out))) == DONE
        found.append(sorted(rows_of(out), key=str))
    assert found[0] == found[1]


def test_other_settings_and_other_books_are_other_items(given, asked, tmp_path):
    book, east, _ = given
    path = tmp_path / "sweep.jsonl"
    for options in ((), ("--seed", "2"), ("--runs", "60"), ("--seconds", "2"), ("--today", "2026-03-03")):
        before = len(asked)
        assert swept(book, east, options=("--results", str(path), *options)) == DONE
        assert len(asked) == before + 2
    keys = [json.loads(line)["key"] for line in path.read_text().splitlines()]
    assert len(set(keys)) == len(keys) == 10


def test_several_seeds_are_items_of_their_own_and_the_best_is_told(given, asked, tmp_path):
    book, east, _ = given
    out = tmp_path / "sweep.csv"
    assert swept(book, east, options=("--seeds", "3", "--seed", "5", "--out", str(out))) == DONE
    assert sorted(task.settings.seed for task in asked) == [5, 5, 6, 6, 7, 7]
    assert {task.settings.workers for task in asked} == {1}
    assert {row["paid"] for row in rows_of(out)} == {"0.05"}


def test_a_farm_without_a_plan_is_tried_again(given, asked, tmp_path, monkeypatch, capsys):
    book, east, _ = given
    path = str(tmp_path / "sweep.jsonl")
    with monkeypatch.context() as patch:
        patch.setattr("scheduler.cli.sweeping.planned_and_replayed", lambda _: {"state": NO_PLAN})
        assert swept(book, east, options=("--results", path)) == exits.NO_PLAN
    said = capsys.readouterr()
    assert "no plan" in said.out
    assert said.err.splitlines()[-1] == (
        "as it is and East trough: No plan was found in time; give it more with --seconds"
    )
    assert swept(book, east, options=("--results", path)) == DONE
    assert len(asked) == 2


def test_a_farm_without_a_plan_for_want_of_memory_is_not_told_to_search_longer(
    given, asked, monkeypatch, capsys
):
    none = Outcome(plan=None, status="no plan", without_memory=True)
    monkeypatch.setattr("scheduler.model.solve.plan_farm", lambda *_: none)
    monkeypatch.setattr("scheduler.cli.sweeping.planned_and_replayed", planned_and_replayed)
    book, east, _ = given
    assert swept(book, east) == exits.NO_PLAN
    said = capsys.readouterr().err.splitlines()[-1]
    assert said.startswith(
        "as it is and East trough: No plan was found before the memory of this machine was "
    )
    assert "; give fewer --workers, close other programs, " in said
    assert swept(book, east, options=("--workers", "1")) == exits.NO_PLAN
    assert "--workers" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--out", "table.txt"), "name a file that ends in .csv for the table"),
        (("--workers", "0"), "'--workers'"),
        (("--runs", "-1"), "'--runs'"),
    ],
)
def test_wrong_options_are_told(given, asked, capsys, options, said):
    book, east, _ = given
    assert swept(book, east, options=options) == WRONG_USE
    assert said in capsys.readouterr().err


def test_a_file_of_something_else_is_not_added_to(given, tmp_path, capsys):
    book, east, _ = given
    path = tmp_path / "notes.txt"
    path.write_text("mine\n")
    assert swept(book, east, options=("--results", str(path))) == WRONG_USE
    assert "notes.txt:1: found no answer of a sweep" in capsys.readouterr().err
    assert path.read_text() == "mine\n"


def test_a_worker_tells_a_plan_in_values_that_json_has(given):
    farm = build_farm(read_book(given[0]))
    effort = SolveSettings(seconds=1, workers=1, deterministic=True)
    told = planned_and_replayed(Task(farm=farm, settings=effort, chances=Chances(), runs=20))
    assert told == json.loads(json.dumps(told))
    assert told["state"] == PLANNED
    assert (told["firm"], told["firm_filled"], told["runs"]) == (1, 1, 20)
    assert (told["firm_short"], told["least"]) == (0, 0)


def test_the_best_seed_of_a_farm_is_told_by_the_order_of_goals():
    answers = [
        {"state": PLANNED, "score": score, "brought": 100, "paid": at}
        for at, score in enumerate(([0, 9, 5], [0, 2, 7], [0, 2, 9], [1, 0, 0]))
    ]
    lines = best_of_seeds([("=east", answers), ("west", [{"state": NO_PLAN}]), ("both", answers[2:])])
    assert [line.told.get("paid") for line in lines] == [1, None, 2]
    rows = sweep_csv(lines).decode().splitlines()
    assert rows[1].startswith("'=east,planned,")
    assert rows[2].startswith("west,no plan,")


@pytest.mark.parametrize(("proven", "told"), [(20, True), (21, False)])
def test_farms_worse_by_no_more_than_is_left_unproven_are_named(proven, told):
    line = {"state": PLANNED, "brought": 0, "paid": 0, "short": 1, "firm": 1, "firm_filled": 0}
    line |= {"flexible": 0, "flexible_filled": 0}
    farms = [
        (name, [line | {"score": [short, 0, 0], "least": proven}]) for name, short in (("b", 20), ("c", 30))
    ]
    console = Console(file=io.StringIO(), width=200)
    print_sweep(console, make_farm(), best_of_seeds([("a", [{"state": NO_PLAN}]), *farms]))
    page = " ".join(console.file.getvalue().split())
    luck = "'c' could be short of as little of the firm deliveries, by price and priority, as 'b': give more"
    assert (luck in page) is told
