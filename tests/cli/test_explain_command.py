"""``raftway explain`` reads a plan folder, says what would fill its short deliveries, and changes nothing."""

import pytest
from folders import every_byte, planned
from helpers import TABLES

from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan

ONE_BOARD = TABLES["equipment"].replace("board,72,,20,1", "board,72,,1,1")
ORDERS = (
    "order,customer,product,amount,weekdays,from,to,price\n"
    "R1,Harbour Table,Butterhead head,80,Fri,2026-04-24,2026-04-24,2.50\n"
)
SEARCH = ("--seconds", "2", "--deterministic")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("explain")
        made = planned(folder, equipment=ONE_BOARD, orders=ORDERS)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder / "plan"


def test_it_names_what_stood_in_the_way_and_what_fills_it(folder, capsys):
    before = every_byte(folder)
    assert run(["explain", str(folder), *SEARCH]) == 0
    told = capsys.readouterr()
    text = " ".join(told.out.split())
    assert "80 Butterhead head missing for Harbour Table, worth " in text
    assert "In the way: every 72-hole board is in use or being washed from " in text
    assert "Filled with 1 more 72-hole board, needed from " in text
    assert "Nearest its limit, week by week" in text
    assert told.err == "1 of 1: R1 2026-04-24\n"
    assert every_byte(folder) == before


def test_in_deterministic_mode_it_says_the_same_again(folder, capsys):
    assert run(["explain", str(folder), *SEARCH]) == 0
    first = capsys.readouterr().out
    assert run(["explain", str(folder), *SEARCH]) == 0
    assert capsys.readouterr().out == first


def test_it_says_what_the_order_in_rows_costs_when_asked(folder, capsys):
    assert run(["explain", str(folder), "--row-order", *SEARCH]) == 0
    text = " ".join(capsys.readouterr().out.split())
    # One board is what is lacking, in whatever order rafts leave.
    assert (
        "What the order in rows costs 14 units of firm deliveries are short with every row in order" in text
    )
    assert "as many if any raft could be lifted out where it stands: the order costs nothing." in text


def test_a_plan_that_was_changed_and_breaks_rules_ends_with_3(folder, tmp_path, capsys):
    for name, contents in every_byte(folder).items():
        path = tmp_path / "plan" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(contents)
    cuts = tmp_path / "plan" / "tables" / "cuts.csv"
    lines = cuts.read_text().splitlines()
    lines[1] = lines[1].rsplit(",", 1)[0] + ",99"
    cuts.write_text("\n".join(lines) + "\n")
    assert run(["explain", str(tmp_path / "plan"), *SEARCH]) == 3
    told = capsys.readouterr()
    assert told.out == ""
    assert "breaks these rules; mend its tables, or plan again" in told.err


def test_a_folder_that_is_no_plan_ends_with_1(tmp_path, capsys):
    assert run(["explain", str(tmp_path)]) == 1
    assert "a folder that raftway plan wrote" in capsys.readouterr().err
