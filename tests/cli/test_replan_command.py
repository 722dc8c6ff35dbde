"""``raftway replan``: a new plan folder from what is recorded, the old one kept, calendars updated."""

import csv
import shutil
from datetime import date

import pytest
from folders import every_byte, planned

from scheduler.cli import record_command, record_telling, replan_command
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.calendars.reading import read
from scheduler.outputs.everything import Edition, write_plan
from scheduler.outputs.saved import open_plan

ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-05-08,2026-05-22\n"
)


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    monkeypatch.setattr(everything, "PAGES", {})
    for module in (record_telling, record_command, replan_command):
        monkeypatch.setattr(module, "today", lambda: date(2026, 3, 17))


@pytest.fixture(scope="module")
def begun(tmp_path_factory):
    """A planned book of which the first sowing is recorded."""
    folder = tmp_path_factory.mktemp("begun")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        for module in (record_telling, record_command):
            patch.setattr(module, "today", lambda: date(2026, 3, 17))
        made = planned(folder, orders=ORDERS, settings={"weeks": "12", "sow_days": "Mon Wed"})
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition(alarm_minutes=420))
        words = ["record", str(made.book), "done", "sow BUT-260316", "--plan", str(folder / "plan")]
        assert run(words) == 0
    return folder


@pytest.fixture
def farm(begun, tmp_path, capsys):
    """A copy of it, to plan again."""
    shutil.copytree(begun, tmp_path, dirs_exist_ok=True)
    capsys.readouterr()
    return tmp_path


def again(farm, capsys, *words):
    search = ["--seconds", "1", "--deterministic"]
    code = run(["replan", str(farm / "book"), "--plan", str(farm / "plan"), *search, *words])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_nothing_changes_where_all_went_as_planned_and_the_old_plan_is_kept(farm, capsys):
    before = every_byte(farm / "plan")
    code, out, err = again(farm, capsys)
    assert code == 0, err
    assert out.splitlines() == [
        "Alder Quay Greens: planned again from Tue 17 Mar 2026",
        "All work promised through Thu 19 Mar stays as it was",
        "Nothing else than in the plan before.",
        f"The plan before is kept in {farm / 'plan-2026-03-02'}",
        f"Written to {farm / 'plan'}",
    ]
    assert every_byte(farm / "plan-2026-03-02") == before
    new, plan = open_plan(farm / "plan")
    assert new.calendar.first_day == date(2026, 3, 17)
    assert all(row.filled == row.amount for row in plan.demands)
    assert not (farm / "plan" / "tables" / "changes.csv").exists()
    assert run(["audit", str(farm / "plan" / "book"), str(farm / "plan")]) == 0


def test_without_memory_for_the_rows_of_a_new_plan_the_old_one_stays(farm, capsys, monkeypatch):
    def no_room(*_):
        raise MemoryError

    before = every_byte(farm)
    monkeypatch.setattr("scheduler.model.made.lay_out", no_room)
    code, _, err = again(farm, capsys)
    assert code == 4
    assert "No plan was found before the memory of this machine was taken; close other programs" in err
    assert every_byte(farm) == before


def test_a_lost_lot_is_told_and_phones_get_updates(farm, capsys):
    lost = ["discarded", "--lot", "BUT-260316", "--on", "2026-03-16"]
    assert run(["record", str(farm / "book"), *lost]) == 0
    capsys.readouterr()
    old = read((farm / "plan" / "tasks.ics").read_bytes())
    code, out, _ = again(farm, capsys, "--out", str(farm / "new"))
    assert code == 0
    assert "Added" in out
    assert "sow BUT-260318, Butterhead" in out
    assert all(len(line) <= 80 for line in out.splitlines()[:-1])
    rows = list(csv.DictReader((farm / "new" / "tables" / "changes.csv").read_text().splitlines()))
    assert {row["change"] for row in rows} <= {"added", "dropped", "moved", "less", "more"}
    new = read((farm / "new" / "tasks.ics").read_bytes())
    known = {event.uid for event in old.events}
    deliveries = [each for each in new.events if each.entry.kind == "deliver"]
    assert {each.uid for each in deliveries} <= known
    assert len({each.uid for each in new.events}) == len(new.events)
    assert open_plan(farm / "plan")[0].calendar.first_day == date(2026, 3, 2)


def test_a_second_new_plan_of_a_day_keeps_both_that_were_before(farm, capsys):
    assert again(farm, capsys)[0] == 0
    assert again(farm, capsys)[0] == 0
    assert again(farm, capsys)[0] == 0
    kept = sorted(path.name for path in farm.iterdir() if path.name.startswith("plan-"))
    assert kept == ["plan-2026-03-02", "plan-2026-03-17", "plan-2026-03-17-2"]


def test_what_cannot_be_begun_is_refused_with_nothing_written(farm, capsys, tmp_path):
    before = every_byte(farm)
    code, _, err = again(farm, capsys, "--today", "2026-03-16")
    assert code == 2
    assert "there are entries of 2026-03-16: say --today 2026-03-17 or later; the last is entry" in err
    code, _, err = again(farm, capsys, "--records", str(tmp_path / "none.sqlite"))
    assert code == 2
    assert "nothing is recorded yet" in err
    assert every_byte(farm) == before


@pytest.mark.parametrize("note", ['{"raftway_plan": 1, "fi', "", "[]", "\udcff"])
def test_a_damaged_plan_is_told_as_that_with_what_to_do(farm, capsys, note):
    (farm / "plan" / "plan.json").write_bytes(note.encode(errors="surrogateescape"))
    before = every_byte(farm)
    code, out, err = again(farm, capsys, "--today", "2026-03-17")
    assert (code, out) == (1, "")
    first, last = err.splitlines()
    assert first.startswith("plan.json: found ")
    assert first.endswith(
        f"; expected the note that raftway wrote: {farm / 'plan'} is damaged, "
        "so put back a copy of the folder, or plan again into another"
    )
    assert last == "1 fault; mend it and try again"
    assert every_byte(farm) == before


def test_what_is_no_plan_is_told_as_that(farm, capsys):
    assert run(["replan", str(farm / "book"), "--plan", str(farm / "book"), "--today", "2026-03-17"]) == 1
    said = f"{farm / 'book'}: found a book; expected a folder that raftway plan wrote"
    assert said in capsys.readouterr().err


def test_all_that_went_as_planned_is_told_in_one_go_and_not_twice(farm, capsys, monkeypatch):
    monkeypatch.setattr(record_telling, "today", lambda: date(2026, 5, 21))
    monkeypatch.setattr(record_command, "today", lambda: date(2026, 5, 21))
    words = ["record", str(farm / "book"), "planned", "2026-05-01", "--plan", str(farm / "plan")]
    assert run(words) == 0
    # the first lot goes on boards and rafts, the second is sown and goes on both as well
    assert capsys.readouterr().out == "Recorded 5 entries: 2 to 6\n"
    assert run(words) == 0
    assert capsys.readouterr().out == "Nothing new to record.\n"
    assert run([*words[:3], "2026-05-30", *words[4:]]) == 2
    assert "2026-05-30 is still to come" in capsys.readouterr().err
    assert run([*words[:3], "Friday", *words[4:]]) == 2
    assert "'Friday' is not a date" in capsys.readouterr().err
