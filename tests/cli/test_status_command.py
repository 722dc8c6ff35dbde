"""``raftway status``: the farm by the records, and beside a plan."""

from datetime import date

import pytest
from folders import planned
from helpers import write_book
from recorded import CROPS, PRODUCTS

from scheduler.cli import record_command, record_telling, status_command
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    for module in (record_telling, record_command, status_command):
        monkeypatch.setattr(module, "today", lambda: date(2026, 4, 1))


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("status")
        made = planned(folder)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder


def shown(capsys, *words):
    code = run(["status", *words])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_before_anything_is_recorded_the_book_speaks_and_no_file_is_made(tmp_path, capsys):
    growing = "lot,crop,stage,place,since,plants,units\nG1,Butterhead,tray,Shelf A 1,2026-02-20,60,1\n"
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS, growing=growing)
    code, out, _ = shown(capsys, str(book))
    assert code == 0
    assert out.startswith("Alder Quay Greens, Wed 1 Apr 2026\nNothing is recorded yet; ")
    assert "60 seedlings of G1, Butterhead" in out
    assert [each.name for each in tmp_path.iterdir()] == ["book"]


def test_a_plan_shows_what_differs_is_not_recorded_and_at_risk(plan, tmp_path, capsys):
    where = ["--records", str(tmp_path / "a.sqlite")]
    sowing = next(
        line for line in (plan / "plan" / "tables" / "tasks.csv").read_text().splitlines() if ",sow," in line
    ).split(",")
    run(["record", str(plan / "book"), "done", sowing[0], "--plan", str(plan / "plan"), *where])
    lost = ["lost", "--lot", sowing[3], "--plants", str(int(sowing[7]) // 2), "--on", sowing[1]]
    assert run(["record", str(plan / "book"), *lost, *where]) == 0
    capsys.readouterr()
    code, out, _ = shown(
        capsys, str(plan / "book"), "--plan", str(plan / "plan"), "--today", sowing[1], *where
    )
    page = " ".join(out.split())
    assert code == 0
    assert f"{sowing[3]} plan 1 tray in {sowing[9].split(' slot')[0]}, {sowing[7]} cells records" in page
    assert "Butterhead head for Harbour Table (R1):" in page
    assert "missing; fewer plants than planned" in page
    assert "Not recorded" not in page
    code, out, _ = shown(
        capsys, str(plan / "book"), "--plan", str(plan / "plan"), "--today", "2026-04-20", *where
    )
    assert "Not recorded: " in out
    assert "transplant" in out


def test_a_day_outside_the_plan_is_refused(plan, tmp_path, capsys):
    code, _, err = shown(
        capsys,
        str(plan / "book"),
        "--plan",
        str(plan / "plan"),
        "--today",
        "2031-01-01",
        "--records",
        str(tmp_path / "a.sqlite"),
    )
    assert code == 2
    assert "2031-01-01 lies outside the plan, 2026-03-02 to " in err


def test_entries_of_later_days_are_left_out(tmp_path, capsys):
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS)
    sown = ["record", str(book), "sown", "--crop", "Basil", "--to", "Shelf A 1", "--plants", "30"]
    assert run([*sown, "--on", "2026-03-10"]) == 0
    capsys.readouterr()
    assert "Nothing stands anywhere." in shown(capsys, str(book), "--today", "2026-03-09")[1]
    assert "30 cells of BAS-260310" in shown(capsys, str(book), "--today", "2026-03-10")[1]


def test_days_are_those_of_the_plan_where_the_book_of_the_records_begins_earlier(plan, tmp_path, capsys):
    # as after planning again: the records go on from the first book, the plan has a later first day
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS, settings={"first_day": "2026-02-16"})
    lines = (plan / "plan" / "tables" / "tasks.csv").read_text().splitlines()
    sowing = next(line for line in lines if ",sow," in line).split(",")
    where = ["--plan", str(plan / "plan"), "--today", sowing[1]]
    code, out, err = shown(capsys, str(book), *where)
    assert code == 0, err
    told = date.fromisoformat(sowing[1])
    assert f"{told:%a} {told.day:2d} {told:%b} {sowing[0]}" in out
