"""``raftway stress`` replays a plan folder or a book, and changes nothing."""

import pytest
from folders import every_byte, planned
from helpers import rows_of

from scheduler.cli.exits import BREAKS_A_RULE, DONE, FAULTY_BOOK, WRONG_USE
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan

FEW = ("--runs", "200")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("stress")
        made = planned(folder)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder


def test_it_tells_the_chance_of_every_delivery_and_changes_nothing(folder, capsys):
    before = every_byte(folder)
    assert run(["stress", str(folder / "plan"), *FEW]) == DONE
    told = capsys.readouterr()
    assert max(map(len, told.out.splitlines())) <= 80
    assert "replayed 200 times, seed 1" in told.out
    assert "Firm deliveries: " in told.out
    assert told.err == ""
    assert every_byte(folder) == before


def test_the_same_runs_give_the_same_answer_and_others_another(folder, tmp_path):
    found = []
    for at, seed in enumerate(("1", "1", "2")):
        out = tmp_path / str(at)
        assert run(["stress", str(folder / "plan"), *FEW, "--seed", seed, "--out", str(out)]) == DONE
        found.append(every_byte(out))
    assert found[0] == found[1] != found[2]


def test_runs_that_are_shared_out_give_the_same_answer(folder, tmp_path, capsys):
    found = []
    for workers in ("1", "2"):
        out = tmp_path / workers
        options = ("--runs", "600", "--workers", workers, "--out", str(out))
        assert run(["stress", str(folder / "plan"), *options]) == DONE
        found.append(every_byte(out))
    assert found[0] == found[1]


def test_page_and_tables_are_written_whole(folder, tmp_path, capsys):
    out = tmp_path / "out"
    wish = ("--chance", "90", "--order", "R1")
    assert run(["stress", str(folder / "plan"), *FEW, *wish, "--out", str(out)]) == DONE
    assert f"Written to {out}" in capsys.readouterr().out
    assert sorted(path.name for path in out.iterdir()) == [
        "deliveries.csv",
        "extra_sowing.csv",
        "orders.csv",
        "stress.html",
    ]
    (delivery,) = rows_of(out / "deliveries.csv")
    (order,) = rows_of(out / "orders.csv")
    assert delivery["demand"] == "R1 2026-04-24"
    assert delivery["runs"] == order["runs"] == "200"
    assert delivery["filled"] == order["all_filled"]
    assert float(delivery["low"]) <= float(delivery["chance"]) <= float(delivery["high"])
    assert float(delivery["chance"]) == int(delivery["filled"]) / 200
    for row in rows_of(out / "extra_sowing.csv"):
        assert float(row["before"]) == float(delivery["chance"]) < 0.9


def test_a_folder_that_is_not_empty_is_left_alone(folder, tmp_path, capsys):
    (tmp_path / "mine.txt").write_text("mine")
    assert run(["stress", str(folder / "plan"), "--out", str(tmp_path)]) == WRONG_USE
    assert "is not empty" in capsys.readouterr().err


def test_slow_weeks_and_early_heads_are_said(folder, capsys):
    assert (
        run(["stress", str(folder / "plan"), *FEW, "--slow-weeks", "0", "--early", "0", "--no-losses"])
        == DONE
    )
    told = " ".join(capsys.readouterr().out.split())
    assert "Nothing is lost; no week is slow; heads are cut at their days." in told
    assert "Firm deliveries: 100.0 percent of 1 are filled on average; 0 of 12 units are short." in told


def test_a_book_is_planned_first(folder, capsys):
    assert run(["stress", str(folder / "book"), *FEW, "--seconds", "5"]) == DONE
    told = capsys.readouterr()
    assert "replayed 200 times" in told.out


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--runs", "0"), "'--runs'"),
        (("--chance", "100"), "'--chance'"),
        (
            ("--chance", "95", "--order", "R2"),
            "no firm order or delivery is called 'R2'; expected one of 'R1'",
        ),
        (("--order", "R1"), "--order says what --chance is for: give both"),
        (("--today", "2026-03-09"), "--today is for a book; leave it out, for a plan has its own"),
        (("--slow-weeks", "101"), "'--slow-weeks'"),
    ],
)
def test_wrong_options_are_told(folder, capsys, options, said):
    assert run(["stress", str(folder / "plan"), *options]) == WRONG_USE
    assert said in capsys.readouterr().err


def test_a_folder_that_is_neither_is_told(tmp_path, capsys):
    assert run(["stress", str(tmp_path)]) == FAULTY_BOOK
    assert capsys.readouterr().out == ""


def test_a_plan_that_was_changed_and_breaks_rules_is_not_replayed(folder, tmp_path, capsys):
    for name, contents in every_byte(folder).items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(contents)
    cuts = tmp_path / "plan" / "tables" / "cuts.csv"
    lines = cuts.read_text().splitlines()
    lines[1] = lines[1].rsplit(",", 1)[0] + ",99"
    cuts.write_text("\n".join(lines) + "\n")
    assert run(["stress", str(tmp_path / "plan"), *FEW]) == BREAKS_A_RULE
    assert capsys.readouterr().out == ""
