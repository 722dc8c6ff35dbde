"""``raftway labels`` writes sheets of labels, replaces only such sheets, and says what it does not take."""

import re

import pytest
from folders import planned

from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("labels")
        made = planned(folder)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder / "plan"


@pytest.fixture
def out(tmp_path):
    return tmp_path / "labels.html"


def labels_in(out):
    return out.read_text().count("<article")


def test_labels_of_the_first_four_weeks_are_written_unless_days_are_given(folder, out, capsys):
    assert run(["labels", str(folder), "--out", str(out)]) == 0
    told = capsys.readouterr()
    assert told.out == f"Written to {out}: open it in a browser and print at actual size\n"
    assert told.err == ""
    assert "Mon 2 Mar 2026 to Sun 29 Mar 2026" in out.read_text()


def test_days_and_sheet_can_be_chosen(folder, out):
    every = ["--from", "2026-03-02", "--to", "2026-04-24"]
    assert run(["labels", str(folder), "--sheet", "A4-3x8", *every, "--out", str(out)]) == 0
    assert "size: 210mm 297mm" in out.read_text()
    all_of_them = labels_in(out)
    assert all_of_them > 1
    lot = re.search(r"BUT-(26\d{4})", out.read_text())
    sown = f"20{lot[1][:2]}-{lot[1][2:4]}-{lot[1][4:]}"
    assert run(["labels", str(folder), "--from", sown, "--to", sown, "--out", str(out)]) == 0
    assert 0 < labels_in(out) < all_of_them


def test_a_sheet_of_one_s_own_and_labels_used_up(folder, out):
    own = ["--sheet", "200x100 2x2 90x45 5x5 10x0", "--skip", "3"]
    assert run(["labels", str(folder), *own, "--to", "2026-04-24", "--out", str(out)]) == 0
    first = out.read_text().split("<section")[1]
    assert re.findall(r'style="(left:\S+mm)"', first) == ["left:105mm;top:50mm"]


def test_older_labels_are_replaced_and_other_files_are_left_alone(folder, out, capsys):
    assert run(["labels", str(folder), "--out", str(out)]) == 0
    before = out.read_bytes()
    assert run(["labels", str(folder), "--sheet", "a4-3x8", "--out", str(out)]) == 0
    assert out.read_bytes() != before
    out.write_text("<!DOCTYPE html>my own page")
    assert run(["labels", str(folder), "--out", str(out)]) == 2
    assert "is there already; name another, for nothing is written over it" in capsys.readouterr().err
    assert out.read_text() == "<!DOCTYPE html>my own page"
    assert [path.name for path in out.parent.iterdir()] == ["labels.html"]


def test_a_link_is_not_written_through(folder, out, tmp_path, capsys):
    other = tmp_path / "other.html"
    assert run(["labels", str(folder), "--out", str(other)]) == 0
    out.symlink_to(other)
    assert run(["labels", str(folder), "--out", str(out)]) == 2
    assert "is there already" in capsys.readouterr().err


def test_the_sheets_can_be_listed_without_a_plan(capsys):
    assert run(["labels", "--list"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "sheet       labels  mm"
    assert "a4-3x8          24  70 x 37        sticky labels, A4" in lines
    assert len(lines) == 15
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--sheet", "a4-3x88"], "no label sheet 'a4-3x88'; did you mean a4-3x8?"),
        (["--from", "2026-03-10", "--to", "2026-03-09"], "2026-03-09 lies before 2026-03-10"),
        (["--from", "2031-01-01"], "name days from 2026-03-02 to "),
        (["--to", "2026-03-01"], "2026-03-01 lies before 2026-03-02"),
        (["--from", "2020-01-01", "--to", "2020-02-01"], "name days from 2026-03-02 to "),
        (["--skip", "-1"], "-1 is no whole number from 0 to 1,000"),
        (["--from", "soon"], "'soon' is not a date"),
    ],
)
def test_what_it_does_not_take_ends_with_2_and_says_why(folder, out, capsys, options, told):
    assert run(["labels", str(folder), *options, "--out", str(out)]) == 2
    assert told in capsys.readouterr().err
    assert not out.exists()


def test_a_plan_and_a_file_are_needed(folder, out, capsys):
    for words in ([], [str(folder)], ["--out", str(out)]):
        assert run(["labels", *words]) == 2
        assert "name a plan folder, and a file with --out" in capsys.readouterr().err


def test_a_folder_that_is_no_plan_ends_with_1(tmp_path, out, capsys):
    assert run(["labels", str(tmp_path), "--out", str(out)]) == 1
    assert "a folder that raftway plan wrote" in capsys.readouterr().err
    assert not out.exists()


def test_a_folder_that_is_not_there_is_told(folder, tmp_path, capsys):
    assert run(["labels", str(folder), "--out", str(tmp_path / "no" / "labels.html")]) == 2
    assert "is not a folder; make it first" in capsys.readouterr().err
