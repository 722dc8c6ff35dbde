"""A plan folder needs nothing beside itself to be opened, and says where it is damaged."""

import shutil
from pathlib import Path

import pytest
from folders import ORDERS, planned

from scheduler.book.faults import BookFaults
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan
from scheduler.outputs.saved import open_plan, open_saved


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("saved")
        made = planned(folder)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
        shutil.rmtree(made.book)
    return made, folder / "plan"


@pytest.fixture
def folder(made, tmp_path):
    """A copy of the plan folder that a test may damage."""
    return shutil.copytree(made[1], tmp_path / "plan")


def said(folder: Path) -> list[str]:
    with pytest.raises(BookFaults) as caught:
        open_plan(folder)
    return [str(fault) for fault in caught.value.faults]


def edit(path: Path, before: str, after: str) -> None:
    text = path.read_text()
    assert before in text
    path.write_text(text.replace(before, after, 1))


def test_farm_and_plan_are_those_that_were_written_though_the_book_is_gone(made, folder):
    assert open_plan(folder) == (made[0].farm, made[0].plan)


def test_the_copy_of_the_book_and_the_note_are_read_too(made, folder):
    saved = open_saved(folder)
    assert saved.book == made[0].copy
    assert saved.note["farm"] == "Alder Quay Greens"


def test_only_the_tables_that_are_wanted_are_read(made, folder):
    (folder / "tables" / "positions.csv").unlink()
    assert said(folder) == [
        "tables/positions.csv: found no such file; expected the file tables/positions.csv of a plan folder"
    ]
    farm, plan = open_plan(folder, ("tasks", "hours"))
    assert (farm, plan.tasks, plan.hours) == (made[0].farm, made[0].plan.tasks, made[0].plan.hours)
    assert (plan.units, plan.goals) == ((), ())


def test_a_plan_for_a_later_day_is_opened_for_that_day(tmp_path, monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {})
    made = planned(tmp_path, today="2026-03-09")
    write_plan(tmp_path / "plan", made.farm, made.plan, made.copy, Edition())
    farm, plan = open_plan(tmp_path / "plan")
    assert farm.today == 7
    assert (farm, plan) == (made.farm, made.plan)


def test_a_copy_saved_again_by_a_spreadsheet_is_the_same_book(made, folder):
    for path in (folder / "book").iterdir():
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n") + b",,\r\n")
    assert open_plan(folder) == (made[0].farm, made[0].plan)


def test_what_is_no_plan_folder_is_told_apart(folder, tmp_path):
    (tmp_path / "empty").mkdir()
    expected = "expected a folder that raftway plan wrote"
    for name, found in (
        ("nowhere", "nothing there"),
        ("empty", "a folder without plan.json"),
        ("plan/plan.json", "a file"),
        ("plan/book", "a book"),
    ):
        assert said(tmp_path / name) == [f"{tmp_path / name}: found {found}; {expected}"]


def test_a_plan_without_a_copy_of_its_book_asks_to_be_planned_again(folder):
    shutil.rmtree(folder / "book")
    assert said(folder) == [
        "book: found no such folder; expected the copy of the book that newer versions keep with a plan: "
        "plan the book again"
    ]


def test_damage_is_told_with_file_and_cell_for_tables_of_either_kind(folder):
    edit(folder / "tables" / "equipment.csv", "2026-03-02", "soon")
    edit(folder / "tables" / "lots.csv", "2026-03", "in March")
    (folder / "tables" / "cuts.csv").unlink()
    told = said(folder)
    assert (
        told[0] == "tables/cuts.csv: found no such file; expected the file tables/cuts.csv of a plan folder"
    )
    assert told[1] == "tables/equipment.csv!B2: found 'soon'; expected a date, such as 2026-03-02"
    assert told[2].startswith("tables/lots.csv!D2: found 'in March")
    edit(folder / "book" / "equipment.csv", ",40,", ",many,")
    edit(folder / "book" / "orders.csv", "Fri", "Frog")
    assert [each.split(";")[0] for each in said(folder)] == [
        "book/equipment.csv!E2: found 'many'",
        "book/orders.csv!E2: found 'Frog'",
    ]


def test_faults_that_only_several_tables_show_have_their_file_too(folder):
    edit(folder / "book" / "troughs.csv", "24", "1")
    told = said(folder)
    assert told
    assert all(each.startswith("book/") and ".csv!" in each for each in told)


def test_a_copy_changed_after_planning_is_another_book(folder):
    (folder / "book" / "orders.csv").write_text(ORDERS.replace(",12,", ",13,"))
    edit(folder / "tables" / "lots.csv", "2026-03", "in March")
    told = said(folder)
    assert told[0] == (
        "book: found another book; expected the one the plan was made from: plan the changed book instead"
    )
    assert told[1].startswith("tables/lots.csv!D2")


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ('"today": "2026-03-02"', '"today": "Monday"', "plan.json: found 'Monday' as today; expected a date"),
        ('"raftway_plan": 1', '"raftway_plan": 2', "plan.json: found form 2; expected form 1"),
        (
            '"farm": "Alder Quay Greens"',
            '"farm": "Elsewhere"',
            "plan.json: found 'Elsewhere' as farm; expected Alder Quay Greens, as in the book",
        ),
        (
            '"currency": ""',
            '"currency": "USD"',
            "plan.json: found 'USD' as currency; expected none, as in the book",
        ),
        (
            '"first_day": "2026-03-02"',
            '"first_day": "2026-03-03"',
            "plan.json: found '2026-03-03' as first_day; expected 2026-03-02, as in the book",
        ),
        ('"last_day": "', '"last_day": "1', "plan.json: found '12026-"),
        (
            '"today": "2026-03-02",\n "made"',
            '"today": "2026-03-03",\n "made"',
            "plan.json: found '2026-03-03' as today; expected 2026-03-02, as under made",
        ),
    ],
)
def test_a_note_that_does_not_fit_is_told(folder, before, after, told):
    edit(folder / "plan.json", before, after)
    assert said(folder)[0].startswith(told)


def test_a_copy_that_lies_elsewhere_is_not_read(folder, tmp_path):
    (folder / "book" / "orders.csv").rename(tmp_path / "orders.csv")
    (folder / "book" / "orders.csv").symlink_to(tmp_path / "orders.csv")
    assert said(folder) == [
        "book/orders.csv: found a link out of the folder; expected a part of the plan folder"
    ]
    (folder / "book").rename(tmp_path / "elsewhere")
    (folder / "book").symlink_to(tmp_path / "elsewhere")
    assert said(folder)[0].startswith("book: found a link out of the folder")
