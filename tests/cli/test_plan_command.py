"""``raftway plan`` from the command line to the folder, with a search that answers at once."""

import re
import sys
from types import SimpleNamespace

import pytest
from farms import FIRST_DAY
from folders import ORDERS, every_byte, planned
from helpers import write_book
from samples import demand, small_farm, small_plan

from scheduler.book.faults import BookFaults, Fault
from scheduler.book.place import Cell
from scheduler.cli.main import run
from scheduler.model.settings import Outcome, SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.outputs import everything
from scheduler.outputs.csv_folder import read_note
from scheduler.outputs.saved import open_plan


class Parts:
    """What stands in for book, farm, search and audit; tests change it and look at what was asked."""

    def __init__(self):
        self.plan = small_plan()
        self.faults = []
        self.asked = {}

    def read_raw(self, path):
        self.asked["book"] = path
        return "the book"

    def typed_book(self, raw):
        return raw

    def build_farm(self, book, today=None):
        self.asked["today"] = today
        return small_farm()

    def plan_farm(self, farm, settings, on_progress=None, stop=None):
        self.asked["settings"] = settings
        if isinstance(self.plan, Exception):
            raise self.plan
        return Outcome(plan=self.plan, status="filled" if self.plan else "no plan")

    def audit(self, farm, plan):
        self.asked["audited"] = plan
        return self.faults


@pytest.fixture
def parts(monkeypatch):
    fake = Parts()
    for module, names in {
        "scheduler.book.book": {"read_raw": fake.read_raw, "typed_book": fake.typed_book},
        "scheduler.book.plain_copy": {"book_copy": lambda raw: {"settings.csv": b"setting,value\n"}},
        "scheduler.farm.build": {"build_farm": fake.build_farm},
        "scheduler.model.solve": {"plan_farm": fake.plan_farm},
        "scheduler.plan.audit": {"audit": fake.audit, "fault_lines": lambda faults: faults},
    }.items():
        monkeypatch.setitem(sys.modules, module, SimpleNamespace(**names))
    # the farm and the plan of the samples do not fit each other, which pages cannot show
    monkeypatch.setattr(everything, "PAGES", {})
    monkeypatch.delenv("RAFTWAY_DEBUG", raising=False)
    return fake


@pytest.fixture
def book(tmp_path):
    (tmp_path / "book").mkdir()
    (tmp_path / "book" / "settings.csv").write_text("setting,value\n")
    return str(tmp_path / "book")


def test_a_plan_that_fills_everything_is_audited_written_and_shown(parts, book, tmp_path, capsys):
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 0
    shown = capsys.readouterr()
    assert "Deliveries filled: firm 1 of 1" in shown.out
    assert f"Written to {tmp_path / 'plan'}" in shown.out
    assert (tmp_path / "plan" / "tables" / "lots.csv").is_file()
    assert parts.asked["audited"] is parts.plan


def test_a_reachable_firm_delivery_that_is_short_ends_with_3_and_is_written(parts, book, tmp_path):
    parts.plan = small_plan(demands=(demand("a", 20, state="short", filled=3),))
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 3
    assert (tmp_path / "plan" / "plan.json").is_file()


@pytest.mark.parametrize(
    "change",
    [{"state": "too early"}, {"state": "short", "firm": False}, {"state": "short", "reported": False}],
)
def test_what_is_too_early_flexible_or_past_the_last_day_does_not_count_as_short(
    parts, book, tmp_path, change
):
    parts.plan = small_plan(demands=(demand("a", 20, filled=3, **change),))
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 0


def test_a_flexible_delivery_that_is_short_is_no_fault_and_explain_is_named_for_it(
    parts, book, tmp_path, capsys
):
    parts.plan = small_plan(demands=(demand("a", 20, filled=3, state="short", firm=False),))
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 0
    assert "raftway explain" in capsys.readouterr().out
    parts.plan = small_plan(demands=(demand("a", 20),))
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 0
    assert "raftway explain" not in capsys.readouterr().out


def test_where_no_time_fills_what_is_left_the_last_line_says_what_would(parts, book, tmp_path, capsys):
    parts.plan = small_plan(demands=(demand("a", 20, filled=3, state="too early"),))
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 0
    told = capsys.readouterr().out
    assert "may fill more" not in told
    assert "No more --seconds fill what is left; raftway explain" in told


def test_options_reach_the_search_and_the_farm(parts, book, tmp_path):
    options = [
        "--seconds",
        "7.5",
        "--workers",
        "1",
        "--seed",
        "9",
        "--today",
        "2026-03-02",
        "--deterministic",
    ]
    assert run(["plan", book, "--out", str(tmp_path / "plan"), *options]) == 0
    settings = parts.asked["settings"]
    assert (settings.seconds, settings.workers, settings.seed, settings.deterministic) == (7.5, 1, 9, True)
    assert parts.asked["today"] == FIRST_DAY


@pytest.mark.parametrize(("given", "trigger"), [("07:00", "PT7H"), ("6:05", "PT6H5M"), ("00:00", "P0D")])
def test_phones_ring_when_an_alarm_is_asked_for_and_not_otherwise(parts, book, tmp_path, given, trigger):
    tasks = tmp_path / "plan" / "tasks.ics"
    run(["plan", book, "--out", str(tmp_path / "plan")])
    assert b"TRIGGER" not in tasks.read_bytes()
    run(["plan", book, "--out", str(tmp_path / "plan"), "--alarm", given])
    assert f"TRIGGER:{trigger}\r\n".encode() in tasks.read_bytes()


def test_options_left_out_are_those_of_the_settings_themselves(parts, book, tmp_path):
    run(["plan", book, "--out", str(tmp_path / "plan")])
    assert parts.asked["settings"] == type(parts.asked["settings"])()
    assert parts.asked["today"] is None


def test_nothing_in_time_ends_with_4_and_writes_nothing(parts, book, tmp_path, capsys):
    parts.plan = None
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 4
    assert "No plan was found in time; give it more with --seconds" in capsys.readouterr().err
    assert not (tmp_path / "plan").exists()


def test_nothing_within_the_memory_is_told_as_such(parts, book, tmp_path, monkeypatch, capsys):
    parts.plan = None
    monkeypatch.setattr("scheduler.model.solver.memory.used", lambda: 0.9)
    words = ["plan", book, "--out", str(tmp_path / "plan"), "--memory"]
    assert run([*words, "1"]) == 4
    said = "No plan was found before the memory that --memory allows was taken; give it more. Nothing was"
    assert said in capsys.readouterr().err
    assert run([*words, "2"]) == 4
    assert "No plan was found in time; give it more with --seconds. Nothing" in capsys.readouterr().err


def test_a_plan_the_audit_refuses_is_not_written_and_ends_with_5(parts, book, tmp_path, capsys):
    parts.faults = ["slots | Shelf A 1 | 2026-03-02: 5 trays, 4 slots"]
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 5
    told = capsys.readouterr().err
    assert "slots | Shelf A 1 | 2026-03-02: 5 trays, 4 slots" in told
    assert "Please report it" in told
    assert not (tmp_path / "plan").exists()


def test_a_faulty_book_ends_with_1_and_every_fault_on_stderr(parts, book, tmp_path, capsys, monkeypatch):
    faults = [
        Fault(place=Cell("crops", 3, 2), found="'x'", expected="a number", code="bad-number"),
        Fault(place=Cell("orders", 5, 4), found="blank", expected="a value", code="blank"),
    ]

    def refuse(_path):
        raise BookFaults(faults)

    monkeypatch.setattr(sys.modules["scheduler.book.book"], "read_raw", refuse)
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 1
    shown = capsys.readouterr()
    assert shown.err.splitlines() == [
        "crops!B3: found 'x'; expected a number",
        "orders!D5: found blank; expected a value",
        "2 faults; mend these and try again",
    ]
    assert shown.out == ""


def test_a_folder_with_other_files_is_refused_before_the_search(parts, book, capsys):
    assert run(["plan", book, "--out", book]) == 2
    assert "holds settings.csv, which is not part of a raftway plan" in capsys.readouterr().err
    assert parts.asked == {}


def test_a_full_disk_is_told_and_ends_with_2(parts, book, tmp_path, capsys, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device", "plan/tables/lots.csv")

    monkeypatch.setattr("scheduler.outputs.everything.replace_folder", full)
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 2
    assert capsys.readouterr().err.splitlines()[-1] == (
        "plan/tables/lots.csv: No space left on device; make room on the disk and try again"
    )


def test_an_unexpected_error_is_one_line_that_says_where_to_report(parts, book, tmp_path, capsys):
    parts.plan = RuntimeError("a surprise\nin two lines")
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 5
    told = capsys.readouterr().err.splitlines()
    assert told[-2].startswith(
        "raftway has a fault of its own: RuntimeError: a surprise in two lines. Please"
    )
    assert told[-1] == "RAFTWAY_DEBUG=1 shows where it happened."
    assert "Traceback" not in "".join(told)


def test_the_traceback_is_shown_when_asked_for(parts, book, tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("RAFTWAY_DEBUG", "1")
    parts.plan = RuntimeError("a surprise")
    assert run(["plan", book, "--out", str(tmp_path / "plan")]) == 5
    assert "Traceback" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["plan"], "Missing argument 'BOOK'; the example above has one"),
        (["plan", "no such book", "--out", "x"], "does not exist"),
        (["plan", "{book}"], "Missing option '--out'; the example above has one"),
        (["plan", "{book}", "--out", "x", "--seconds", "0"], "0 is no number from 1 to 86,400"),
        (["plan", "{book}", "--out", "x", "--today", "2.3.2026"], "write 2026-02-03 or 2026-03-02"),
        (
            ["plan", "{book}", "--out", "x", "--today", "2026-02-30"],
            "no day that exists; write it like 2026-03-02",
        ),
        (["plan", "{book}", "--out", "x", "--alarm", "7am"], "write it like 07:00"),
        (["plan", "{book}", "--out", "x", "--alarm", "24:00"], "write it like 07:00"),
        (["grow"], "No such command 'grow'"),
    ],
)
def test_a_wrong_command_line_ends_with_2_and_says_what_is_wrong(parts, book, capsys, arguments, told):
    assert run([each.format(book=book) for each in arguments]) == 2
    assert told in capsys.readouterr().err


def test_what_could_not_be_made_is_told_and_the_plan_is_written_all_the_same(
    parts, book, tmp_path, capsys, monkeypatch
):
    monkeypatch.setattr(everything, "PAGES", {"report.html": lambda farm, plan: 1 / 0})
    out = tmp_path / "plan"
    assert run(["plan", book, "--out", str(out)]) == 5
    told = capsys.readouterr().err
    assert "could not make report.html: ZeroDivisionError: division by zero" in told
    assert f"The plan is in {out}; raftway publish {out} makes the rest once this is mended." in told
    assert (out / "tables" / "lots.csv").is_file()


def test_ctrl_c_while_pages_are_made_keeps_the_plan_without_them(parts, book, tmp_path, capsys, monkeypatch):
    def pressed(_farm, _plan):
        raise KeyboardInterrupt

    made = []
    pages = {
        "report.html": lambda farm, plan: b"whole",
        "plan.xlsx": pressed,
        "labels.html": lambda farm, plan: made.append(1) or b"",
    }
    monkeypatch.setattr(everything, "PAGES", pages)
    out = tmp_path / "plan"
    assert run(["plan", book, "--out", str(out)]) == 130
    told = capsys.readouterr().err.splitlines()
    assert f"The plan is in {out}; raftway publish {out} makes the rest." in told
    assert told[-1] == "Stopped before plan.xlsx, labels.html."
    assert (out / "report.html").read_bytes() == b"whole"
    assert (out / "tables" / "lots.csv").is_file()
    assert not (out / "plan.xlsx").exists()
    assert not made


ARGUMENTS = ("--seconds", "1", "--deterministic")


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """A small book that was planned by the command, with nothing standing in for anything."""
    folder = tmp_path_factory.mktemp("whole")
    made = planned(folder)
    assert run(["plan", str(made.book), "--out", str(folder / "plan"), *ARGUMENTS]) == 0
    return folder / "plan", made


def test_a_plan_folder_opens_without_its_book(whole):
    folder, made = whole
    plan = plan_farm(made.farm, SolveSettings(seconds=1, deterministic=True)).plan
    assert open_plan(folder) == (made.farm, plan)


def test_the_same_book_gives_the_same_bytes_again(whole, tmp_path):
    folder, made = whole
    assert run(["plan", str(made.book), "--out", str(tmp_path / "plan"), *ARGUMENTS]) == 0
    assert every_byte(tmp_path / "plan") == every_byte(folder)


def test_a_workbook_and_a_folder_of_tables_give_the_same_bytes(whole, tmp_path):
    folder, made = whole
    assert run(["convert", str(made.book), str(tmp_path / "book.xlsx")]) == 0
    assert run(["plan", str(tmp_path / "book.xlsx"), "--out", str(tmp_path / "plan"), *ARGUMENTS]) == 0
    assert every_byte(tmp_path / "plan") == every_byte(folder)


def test_the_copy_of_the_book_can_be_planned_like_the_book(whole, tmp_path):
    folder, _ = whole
    assert run(["plan", str(folder / "book"), "--out", str(tmp_path / "plan"), *ARGUMENTS]) == 0
    assert every_byte(tmp_path / "plan") == every_byte(folder)


def test_the_digest_of_the_book_follows_its_tables(whole, tmp_path):
    folder, _ = whole
    other = write_book(tmp_path, orders=ORDERS, crew="weekdays,hours\nMon-Sun,24\n")
    run(["plan", str(other), "--out", str(tmp_path / "plan"), *ARGUMENTS])
    first, second = (read_note(each)["book_sha256"] for each in (folder, tmp_path / "plan"))
    assert re.fullmatch("[0-9a-f]{64}", first)
    assert first != second


def test_a_plan_over_an_older_one_moves_its_calendar_entries(tmp_path):
    made = planned(tmp_path)
    run(["plan", str(made.book), "--out", str(tmp_path / "plan"), *ARGUMENTS])
    later = ORDERS.replace("2026-04-24", "2026-05-01")
    run(["plan", str(write_book(tmp_path, orders=later)), "--out", str(tmp_path / "plan"), *ARGUMENTS])
    told = (tmp_path / "plan" / "tasks.ics").read_text()
    assert "SEQUENCE:1" in told
