"""``raftway record``: from the command line into the log, and everything around it."""

import io
import json
import shutil
import sys
from datetime import date

import pytest
from folders import planned
from helpers import write_book
from recorded import CROPS, PRODUCTS

from scheduler.book.book import read_book
from scheduler.cli import record_command, record_telling, records_opening
from scheduler.cli.main import run
from scheduler.farm.build import build_farm
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan
from scheduler.outputs.happened.words import RULES_DECIDE

SOWN = ("sown", "--crop", "Butterhead", "--to", "Shelf A 1", "--plants", "98")


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """The command line's clock: Thursday, 21 May 2026, six in the morning UTC, a second later each time."""
    seconds = iter(range(100_000))
    for module in (records_opening, record_command):
        monkeypatch.setattr(module, "now", lambda: f"2026-05-21T06:00:{next(seconds) % 60:02d}Z")
    for module in (record_command, record_telling):
        monkeypatch.setattr(module, "today", lambda: date(2026, 5, 21))
    monkeypatch.delenv("RAFTWAY_RECORDS", raising=False)
    monkeypatch.delenv("RAFTWAY_WHO", raising=False)


@pytest.fixture
def book(tmp_path):
    return write_book(tmp_path, crops=CROPS, products=PRODUCTS)


@pytest.fixture
def record(book, capsys):
    """Run ``raftway record BOOK`` and return code, output and errors."""

    def record(*words):
        code = run(["record", str(book), *words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return record


def grow(record):
    assert record(*SOWN, "--on", "2026-03-02", "--seed-lot", "S-1")[0] == 0
    board = ("moved", "--lot", "BUT-260302", "--to", "North trough boards", "--plants", "72", "--left", "0")
    assert record(*board, "--on", "2026-03-16")[0] == 0
    raft = ("moved", "--lot", "BUT-260302", "--to", "North trough 1", "--plants", "70", "--left", "0")
    assert record(*raft, "--on", "2026-03-30")[0] == 0


def test_an_entry_of_today_goes_into_a_file_beside_the_book(record, book):
    assert record(*SOWN) == (0, "Recorded 1 entry: 1\n", "")
    assert (book.parent / "book.records.sqlite").is_file()
    assert (
        record("list")[1]
        == "    1  21 May 2026  sown BUT-260521 Butterhead; 98 cells; to 1 tray, Shelf A 1\n"
        "                    slot 1\n"
    )


def test_records_may_be_kept_elsewhere(record, book, tmp_path, monkeypatch):
    elsewhere = tmp_path / "elsewhere.sqlite"
    assert record(*SOWN, "--records", str(elsewhere))[0] == 0
    assert elsewhere.is_file()
    assert record("list")[1] == "Nothing is recorded.\n"
    monkeypatch.setenv("RAFTWAY_RECORDS", str(elsewhere))
    assert "sown" in record("list")[1]


def test_a_fault_ends_with_1_its_option_and_nothing_written(record, book):
    code, out, err = record("sown", "--crop", "Basilic", "--to", "Shelf Z", "--plants", "9")
    assert (code, out) == (1, "")
    assert err.splitlines() == [
        "--crop: found 'Basilic'; expected 'Basil'?",
        "--to: found 'Shelf Z', which is no place of the farm; expected 'Shelf A'?",
        "2 faults; mend these and try again, for more may show",
    ]
    assert record("list")[1] == "Nothing is recorded.\n"


def test_an_interval_blocks_cutting_and_the_label_decides(record):
    grow(record)
    treated = ("treated", "--place", "North trough 1", "--product", "soap", "--days", "3")
    assert record(*treated, "--on", "2026-05-04")[1] == f"Recorded 1 entry: 4\n{RULES_DECIDE}\n"
    cut = ("cut", "--lot", "BUT-260302", "--plants", "36", "--heads", "34")
    code, _, err = record(*cut, "--on", "2026-05-06")
    assert code == 1
    assert err.startswith("--on: found 'BUT-260302' cut on 2026-05-06, treated and not to be cut through ")
    assert record(*cut, "--on", "2026-05-07")[0] == 0


def test_an_entry_is_corrected_with_the_options_that_change(record):
    grow(record)
    assert record("correct", "2", "--plants", "71", "--who", "Ben")[0] == 0
    assert record("correct", "2", "--plants", "70")[0] == 1
    out = record("list", "--lot", "BUT-260302")[1]
    assert "[corrected by entry 4] 3 30 Mar 2026" in " ".join(out.split())
    assert "no lot 'BUT-260303' in the records; 'BUT-260302'?" in record("list", "--lot", "BUT-260303")[2]
    assert out.endswith(
        "    4  16 Mar 2026  moved BUT-260302 Butterhead; 71 plants; from Shelf A 1 slot\n"
        "                    1; to 1 board, North trough boards slot 1; instead of entry\n"
        "                    2; by Ben\n"
    )


def test_an_entry_is_withdrawn_unless_others_rest_on_it(record):
    grow(record)
    code, _, err = record("withdraw", "2")
    assert code == 1
    assert err.startswith("entry 3 (moved BUT-260302, 2026-03-30): found")
    assert record("withdraw", "3", "--note", "mixed up")[0] == 0
    assert "of entry 3. mixed up" in record("list")[1].splitlines()[-1]


def test_who_comes_from_the_environment_too(record, monkeypatch):
    monkeypatch.setenv("RAFTWAY_WHO", "Ana")
    record(*SOWN)
    assert record("list")[1].endswith("by Ana\n")


def test_an_entry_with_a_name_is_taken_once(record):
    assert record(*SOWN, "--op", "phone-1")[1] == "Recorded 1 entry: 1\n"
    assert record(*SOWN, "--op", "phone-1")[1] == "Nothing new to record.\n1 recorded before\n"
    assert record(*SOWN)[1] == "Recorded 1 entry: 2\n"


def test_lines_come_from_a_file_or_from_another_program(record, tmp_path, monkeypatch):
    line = {"what": "sown", "crop": "Basil", "to": "Shelf A 2", "plants": 30, "when": "2026-03-02"}
    path = tmp_path / "a.jsonl"
    path.write_text(json.dumps(line) + "\n")
    assert record("lines", str(path))[1] == "Recorded 1 entry: 1\n"
    more = json.dumps(line) + "\n" + json.dumps(line | {"plants": 20}) + "\n"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(more.encode())))
    assert record("lines", "-")[1] == "Recorded 1 entry: 2\n1 recorded before\n"
    path.write_text("{\n[]\n")
    code, _, err = record("lines", str(path))
    assert (code, err.count("a.jsonl line")) == (1, 2)


def test_what_is_over_full_is_told_when_something_is_recorded(record):
    assert (
        record(*SOWN[:-1], str(98 * 5))[2]
        == "5 trays stand in Shelf A 1, which has 4 slots: record what left\n"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("eaten",), "'eaten' is nothing to record; expected 'treated'?"),
        (("sown", "now"), "sown stands alone"),
        (("sheet",), "say sheet FILE"),
        (("sheet", "none.xlsx"), "none.xlsx is not a file; name one that is there"),
        (("done", "sow BUT-260302"), "name the plan whose tasks these are with --plan"),
        (("correct", "7", "--plants", "3"), "there is no entry 7; raftway record"),
        (("backup", "b.sqlite"), "nothing is recorded yet"),
        (("book", "next"), "nothing is recorded yet: plan the book itself, which says what is growing"),
        (("restore", "none.sqlite"), "none.sqlite is not there"),
        (("sown", "--plants", "many"), "Invalid value for '--plants'"),
        (("list", "--records", "mysql://host/a"), "not kept on mysql"),
    ],
)
def test_a_wrong_command_line_ends_with_2(record, words, said):
    code, out, err = record(*words)
    assert (code, out) == (2, "")
    assert said in err


def test_records_of_another_farm_are_left_alone(record, tmp_path, capsys):
    record(*SOWN)
    other = write_book(tmp_path / "other", {"farm": "Other"}, crops=CROPS, products=PRODUCTS)
    where = str(tmp_path / "book.records.sqlite")
    for words in (["record", str(other), *SOWN], ["record", str(other), "list"], ["status", str(other)]):
        assert run([*words, "--records", where]) == 2
        assert "holds the records of 'Alder Quay Greens'" in capsys.readouterr().err


def test_a_new_book_begins_with_what_stands(record, tmp_path):
    grow(record)
    code, out, err = record("book", str(tmp_path / "next"), "--on", "2026-04-06")
    assert (code, err) == (0, "")
    assert out == (
        f"Written to {tmp_path / 'next'}: it begins on 2026-04-06 with 2 units that stand\n"
        f"Look it over, then: raftway check {tmp_path / 'next'}\n"
    )
    farm = build_farm(read_book(tmp_path / "next"))
    assert [(each.lot, each.units, each.plants) for each in farm.growing] == [
        ("BUT-260302", 1, 36),
        ("BUT-260302-2", 1, 34),
    ]
    assert record("book", str(tmp_path / "next"))[0] == 2
    code, _, err = record("book", str(tmp_path / "more"), "--on", "2026-03-30")
    assert code == 2
    assert "there are entries of 2026-03-30: say --on 2026-03-31 or later" in err
    record("lost", "--lot", "BUT-260302", "--plants", "1", "--on", "2026-04-10")
    code, _, err = record("book", str(tmp_path / "more"), "--on", "2026-04-06")
    number = record("list")[1].split("\n")[-2].split()[0]
    assert code == 2
    assert f"where its day is mistyped, raftway record BOOK correct {number} --on DATE mends it" in err
    assert record("withdraw", number, "--on", "2026-04-13")[0] == 0
    assert record("book", str(tmp_path / "more"), "--on", "2026-04-06")[0] == 0


def test_a_backup_comes_back(record, tmp_path):
    grow(record)
    path = tmp_path / "b.sqlite"
    assert record("backup", str(path))[1] == (
        f"Written to {path}: the records of Alder Quay Greens, "
        "3 entries of Mon 2 Mar 2026 to Mon 30 Mar 2026, checked\n"
    )
    record("withdraw", "3")
    code, out, _ = record("restore", str(path))
    assert (code, out.splitlines()[0]) == (0, f"Restored 3 entries from {path}")
    assert "before-restore-1" in out.splitlines()[1]
    assert [line[4] for line in record("list")[1].splitlines() if line[4] != " "] == ["1", "2", "3"]
    assert record("backup", str(path))[0] == 2


def test_a_backup_is_not_taken_of_another_farm_s_records(record, book, tmp_path, capsys):
    record(*SOWN)
    kept, copy = str(book.parent / "book.records.sqlite"), tmp_path / "b.sqlite"
    other = write_book(tmp_path / "other", {"farm": "Elsewhere"}, crops=CROPS, products=PRODUCTS)
    assert run(["record", str(other), "backup", str(copy), "--records", kept]) == 2
    assert capsys.readouterr().err.splitlines()[-1] == (
        f"Error: {kept} holds the records of 'Alder Quay Greens', and {other} is of 'Elsewhere'; "
        "name its own by --records"
    )
    assert not copy.exists()


def test_a_book_with_faults_can_still_be_backed_up(record, book, tmp_path):
    record(*SOWN)
    (book / "crops.csv").write_text("crop\n")
    code, out, err = record("backup", str(tmp_path / "b.sqlite"))
    assert (code, "1 entry of Thu 21 May 2026, checked" in out) == (0, True)
    assert err == (
        f"Note: {book} has faults, so it was not looked whether these are its records; "
        f"raftway check {book} tells them\n"
    )


def test_found_plants_cannot_be_corrected_only_withdrawn(tmp_path, capsys):
    growing = "lot,crop,stage,place,since,plants,units\nG1,Butterhead,tray,Shelf A 1,2026-02-20,60,1\n"
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS, growing=growing)
    assert run(["record", str(book), "lost", "--lot", "G1", "--plants", "2", "--on", "2026-03-03"]) == 0
    assert capsys.readouterr().out == "Recorded 2 entries: 1 to 2\n"
    assert run(["record", str(book), "correct", "1", "--plants", "50"]) == 2
    assert "entry 1 was not told but found in the book" in capsys.readouterr().err


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("record")
        made = planned(folder)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder


def test_a_plan_is_followed_task_by_task_and_by_sheet(plan, tmp_path, capsys):
    book, where = str(plan / "book"), ["--records", str(tmp_path / "a.sqlite"), "--plan", str(plan / "plan")]

    def told(*words):
        code = run(["record", book, *words, *where])
        said = capsys.readouterr()
        return code, said.out + said.err

    lines = (plan / "plan" / "tables" / "tasks.csv").read_text(encoding="utf-8").splitlines()
    key = next(line.split(",")[0] for line in lines if ",sow," in line)
    assert told("done", key, "--seed-lot", "S-1") == (0, "Recorded 1 entry: 1\n")
    assert told("done", key, "--seed-lot", "S-1") == (0, "Nothing new to record.\n1 recorded before\n")
    code, said = told("done", key, "--counted", "3")
    assert (code, "an entry that was told before in other words" in said) == (1, True)
    code, said = told("done", key.replace("sow", "sew"))
    assert (code, f"expected a task of the plan: '{key}'?" in said) == (1, True)
    sheet = tmp_path / "tasks.csv"
    sheet.write_text("\n".join([lines[0] + ",done,seed_lot", *(line + ",yes," for line in lines[1:])]))
    code, said = told("sheet", str(sheet))
    assert code == 1
    sheet.write_text(sheet.read_text().replace(f"{key},", "'" + f"{key},"))
    sowing = next(line for line in sheet.read_text().splitlines() if ",sow," in line)
    sheet.write_text(sheet.read_text().replace(sowing, sowing + "S-1"))
    code, said = told("sheet", str(sheet))
    assert code == 0
    assert said.startswith("Recorded ")
    assert said.endswith("1 recorded before\n")
    assert told("correct", "2")[0] == 0
    code, said = told("correct", key.replace("sow", "sew"))
    assert (code, f"found entry '{key.replace('sow', 'sew')}', which there is not" in said) == (2, True)
    assert told("correct", key)[0] == 0
    run(["status", book, *where, "--today", "2026-04-25"])
    page = capsys.readouterr().out
    assert "Everything stands as planned." in page
    assert "None: what stands can still give" in page


@pytest.fixture
def told(plan, tmp_path, capsys):
    """Run ``raftway record`` for a plan that is followed and return code, output and errors."""
    where = ["--records", str(tmp_path / "a.sqlite"), "--plan", str(plan / "plan")]

    def telling(*words):
        options = where[:2] if words == ("list",) else where
        code = run(["record", str(plan / "book"), *words, *options])
        said = capsys.readouterr()
        return code, said.out, said.err

    return telling


def test_what_can_no_longer_be_is_left_out_of_what_went_as_planned_and_told(plan, told):
    (raft_to,) = {
        row.split(",")[9]
        for row in (plan / "plan" / "tables" / "tasks.csv").read_text().splitlines()
        if ",raft," in row
    }
    trough = raft_to.removeprefix("intake end of ")
    assert told("closed", "--place", trough, "--on", "2026-03-02")[0] == 0
    code, out, err = told("planned", "2026-05-20")
    assert (code, out) == (0, "Recorded 2 entries: 2 to 3\n")
    said = [line.split(": ")[1] for line in err.splitlines() if line.startswith("Left out: ")]
    assert said == ["raft BUT-260302", "cut BUT-260302", "deliver R1 2026-04-24"]
    assert err.splitlines()[-1].startswith("3 tasks left out: ")
    # again: what is there stays, and the same is left out
    assert told("planned", "2026-05-20") == (0, "Nothing new to record.\n", err)
    # a tray that was dropped: what comes after it can no longer be
    assert told("released", "--place", trough, "--on", "2026-03-03")[0] == 0
    assert told("discarded", "--lot", "BUT-260302", "--on", "2026-03-20")[0] == 0
    code, out, err = told("planned", "2026-05-20")
    assert (code, out) == (0, "Nothing new to record.\n")
    assert "Left out: raft BUT-260302: found 'BUT-260302', of which nothing stands; expected " in err


def test_a_delivery_that_is_refused_tells_the_count_that_is_there(told, tmp_path):
    assert told("planned", "2026-04-22")[0] == 0
    assert told("done", "cut BUT-260302", "--counted", "7")[0] == 0
    code, _, err = told("done", "deliver R1 2026-04-24")
    assert code == 1
    assert err.splitlines()[0] == (
        "--counted: found 12 heads of 'BUT-260302' delivered; expected at most the 7 that are cut and not "
        "delivered; 7 are there in all: record done 'deliver R1 2026-04-24' --counted 7"
    )
    assert told("done", "deliver R1 2026-04-24", "--counted", "7")[0] == 0
    # what is corrected follows the number that is told, not the one before
    for options in (("--counted", "6"), ("--plants", "6"), ("--heads", "6")):
        assert told("correct", "deliver R1 2026-04-24", *options)[0] == 0
        assert " 6 units, 6 heads;" in told("list")[1].splitlines()[-2]
        assert told("correct", "deliver R1 2026-04-24", "--plants", "7")[0] == 0
    code, _, err = told("correct", "cut BUT-260302", "--plants", "5")
    assert (code, err.splitlines()[0]) == (1, "--heads: found 7 heads of 5 plants; expected at most 5")
    assert told("withdraw", "deliver R1 2026-04-24")[0] == 0
    assert told("correct", "cut BUT-260302", "--counted", "6")[0] == 0
    # a sheet is taken whole or not at all, whatever its file is called
    sheet = tmp_path / "planned.csv"
    sheet.write_text("key,done,counted\nraft BUT-260302,yes,1\n")
    code, out, err = told("sheet", str(sheet))
    assert (code, out) == (1, "")
    assert err.startswith("planned.csv!A2: found an entry that was told before in other words")


def test_a_plan_that_another_book_was_made_into_is_judged_by_its_own(plan, tmp_path, capsys):
    assert run(["audit", str(plan / "book"), str(plan / "plan")]) == 0
    assert "another book" not in capsys.readouterr().err
    changed = tmp_path / "changed"
    shutil.copytree(plan / "book", changed)
    orders = (changed / "orders.csv").read_text()
    (changed / "orders.csv").write_text(orders.replace(",12,", ",13,"))
    assert run(["audit", str(changed), str(plan / "plan")]) == 3
    own = plan / "plan" / "book"
    assert f"made from another book: raftway audit {own} {plan / 'plan'} judges" in capsys.readouterr().err


def test_a_book_may_begin_where_only_a_closure_is_recorded(record, tmp_path):
    assert record("closed", "--place", "Shelf A 1", "--on", "2026-06-01", "--until", "2026-06-03")[0] == 0
    code, out, err = record("book", str(tmp_path / "next"))
    assert code == 0, err
    assert out.startswith(f"Written to {tmp_path / 'next'}: it begins on 2026-05-21 with 0 units that stand")


REFUSED = (
    (("sown", "--crop", "Nope", "--to", "Shelf A 1", "--plants", "98"), "expected one of"),
    (("withdraw", "99"), "found entry '99', which there is not"),
    (("lost", "--lot", "BUT-260302"), "--plants: found 'lost' without plants; expected plants, how many"),
    (("correct", "99", "--plants", "1"), "there is no entry 99"),
    (("restore", "nowhere"), "nowhere is not there; name a backup"),
    (("restore", "empty"), "empty, copied to "),
)


@pytest.mark.parametrize(("words", "told"), REFUSED, ids=lambda each: " ".join(each)[:20])
def test_what_is_refused_makes_no_records(record, book, monkeypatch, words, told):
    monkeypatch.chdir(book.parent)
    (book.parent / "empty").touch()
    code, _, said = record(*words)
    assert code in (1, 2)
    assert told in said
    assert sorted(each.name for each in book.parent.iterdir()) == ["book", "empty"]


def test_records_that_are_named_and_not_there_are_told_where_they_are_read(record, book):
    code, out, said = record("list", "--records", "misspelt.sqlite")
    assert (code, out) == (0, "Nothing is recorded.\n")
    assert said == "Note: nothing is recorded in misspelt.sqlite yet; see that its name is right\n"
    assert record("list")[2] == ""


def test_a_loss_that_two_people_tell_is_said_to_count_twice_and_can_be_taken_back(record):
    grow(record)
    lost = ("lost", "--lot", "BUT-260302", "--plants", "3", "--on", "2026-04-10")
    assert record(*lost, "--who", "Ana")[2] == ""
    assert record(*lost, "--who", "Bo") == (
        0,
        "Recorded 1 entry: 5\n",
        "Entry 5 says the same as entry 4, and both count: if it was told twice, record withdraw 5\n",
    )
    assert record("withdraw", "5")[0] == 0
    # one plant more, and the day after, are other losses
    assert record("lost", "--lot", "BUT-260302", "--plants", "4", "--on", "2026-04-10")[2] == ""
    assert record("lost", "--lot", "BUT-260302", "--plants", "3", "--on", "2026-04-11")[2] == ""


def test_a_customer_who_is_called_like_one_of_the_book_is_asked_after(record):
    grow(record)
    assert (
        record("cut", "--lot", "BUT-260302", "--heads", "34", "--plants", "36", "--on", "2026-04-13")[0] == 0
    )
    given = ("delivered", "--lot", "BUT-260302", "--heads", "2", "--on", "2026-04-14", "--customer")
    assert record(*given, "Harbor Tabel")[2] == (
        "Entry 5 is for 'Harbor Tabel', who is not in the book: if it was 'Harbour Table', record correct 5 "
        "--customer 'Harbour Table'\n"
    )
    assert "'Harbour Table', record" in record(*given, "Harbour")[2]
    assert record(*given, "Harbour Table")[2] == record(*given, "at the gate")[2] == ""
