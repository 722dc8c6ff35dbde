"""Values that no command can take: told before any work, with what to do, and nothing is written."""

import pytest
from folders import every_byte
from helpers import write_book

from scheduler.cli.exits import WRONG_USE
from scheduler.cli.main import run


@pytest.fixture
def book(tmp_path, monkeypatch):
    write_book(tmp_path)
    (tmp_path / "other.toml").write_text('[[change]]\ndo = "drop row"\ntable = "orders"\nrow = "R1"\n')
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("plan book --out p --seconds nan", "nan is no number from 1 to 86,400; write one"),
        ("plan book --out p --memory nan", "nan is no number from 0.25 to 1,024; write one"),
        ("sweep book --with other.toml --seconds nan", "nan is no number from 1 to 86,400; write one"),
        ("stress book --slow-weeks nan", "nan is no number from 0 to 100; write one"),
        ("stress book --early nan", "nan is no number from 0 to 100; write one"),
        ("stress book --chance nan", "nan is no number from 1 to below 100; write one"),
        ("stress book --chance 100", "100 is no number from 1 to below 100; write one"),
    ],
)
def test_what_is_no_number_is_told(book, words, said, capsys):
    assert run(words.split()) == WRONG_USE
    assert said in capsys.readouterr().err


@pytest.mark.parametrize(
    "words",
    [
        *(["check", ""], ["audit", "book", ""], ["show", ""], ["water", ""], ["new", ""]),
        *(["convert", "book", ""], ["plan", "book", "--out", ""], ["limit", "book", "--out", ""]),
        *(["labels", "book", "--out", ""], ["learn", "book", "--csv", ""], ["learn", "book", "--accept", ""]),
        ["trace", "book", "--lot", "A", "--html", ""],
        ["compare", "book", "--with", ""],
        ["stress", "book", "--out", ""],
    ],
    ids=lambda words: " ".join(words),
)
def test_a_blank_is_no_name_of_a_file(book, words, capsys):
    before = every_byte(book)
    assert run(words) == WRONG_USE
    assert "'' is no name of a file or folder; write one" in capsys.readouterr().err
    assert every_byte(book) == before


@pytest.mark.parametrize("words", ["check lost", "plan lost --out p", "show lost", "record lost list"])
def test_a_link_that_leads_nowhere_is_told(book, words, capsys):
    (book / "lost").symlink_to("nowhere")
    assert run(words.split()) == WRONG_USE
    assert "'lost' is a link that leads nowhere; name the file or folder itself" in capsys.readouterr().err


def test_what_to_type_next_has_names_with_blanks_in_quotation_marks(book, capsys):
    assert run(["new", "my farm"]) == 0
    assert "  raftway check 'my farm'\n  raftway plan 'my farm' --out plan\n" in capsys.readouterr().out
    assert run(["record", "my farm", "done"]) == WRONG_USE
    assert "such as: raftway record 'my farm' done " in capsys.readouterr().err


def test_a_folder_where_a_file_is_asked_for_says_what_to_name(book, capsys):
    assert run(["compare", "book", "--with", "book"]) == WRONG_USE
    assert "'book' is a folder; name the file of a scenario" in capsys.readouterr().err
    assert run(["readings", "book", "book"]) == WRONG_USE
    assert "'book' is a folder; name a file that an instrument wrote" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words",
    [
        "trace book --lot A --html out --csv ./out",
        "learn book --csv out.xlsx --accept out.xlsx",
        "readings book other.toml --svg out.svg --out out.svg",
        "sweep book --with other.toml --results out.csv --out out.csv",
    ],
)
def test_two_outputs_of_one_name_are_told_before_any_work(book, words, capsys):
    before = every_byte(book)
    assert run(words.split()) == WRONG_USE
    assert "is named for two files; give each a name of its own" in capsys.readouterr().err
    assert every_byte(book) == before


def test_answers_of_a_sweep_are_kept_in_a_file_and_not_in_a_folder(book, capsys):
    assert run(["sweep", "book", "--with", "other.toml", "--results", "book"]) == WRONG_USE
    assert "book is there already; name another" in capsys.readouterr().err


def test_the_bound_alone_has_no_season(book, capsys):
    assert run(["limit", "book", "--bound-only", "--season"]) == WRONG_USE
    assert "--bound-only plans no season; leave one of the two out" in capsys.readouterr().err


def test_a_book_may_be_written_into_the_empty_folder_one_stands_in(book, monkeypatch, capsys):
    (book / "empty").mkdir()
    monkeypatch.chdir(book / "empty")
    assert run(["new", "."]) == 0
    assert (book / "empty" / "crops.csv").is_file()
    # a shell still stands in the folder that was there before
    assert f"was made anew: step into it again, cd {book / 'empty'}\n" in capsys.readouterr().err
    monkeypatch.chdir(book)
    assert run(["new", "other"]) == 0
    assert capsys.readouterr().err == ""


def test_entries_of_another_program_that_is_not_there_are_told(book, monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", None)
    assert run(["record", "book", "lines", "-"]) == WRONG_USE
    assert "nothing can be read from -, for it is closed; name a file" in capsys.readouterr().err
