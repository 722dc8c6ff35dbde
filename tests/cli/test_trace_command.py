"""``raftway trace``: on the screen, as a page and as a table."""

from datetime import date

import pytest
from helpers import write_book
from recorded import CROPS, PRODUCTS

from scheduler.cli import record_command, record_telling
from scheduler.cli.main import run


@pytest.fixture
def book(tmp_path, monkeypatch, capsys):
    for module in (record_telling, record_command):
        monkeypatch.setattr(module, "today", lambda: date(2026, 5, 21))
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS)
    lot = ["--lot", "BAS-260302"]
    sown = ["sown", "--crop", "Basil", "--to", "Shelf A 1", "--plants", "30", "--seed-lot", "S-1"]
    for words in (
        [*sown, "--on", "2026-03-02"],
        ["moved", *lot, "--to", "North trough 1", "--plants", "24", "--left", "0", "--on", "2026-03-16"],
        ["cut", *lot, "--heads", "20", "--plants", "24", "--on", "2026-04-06"],
        ["delivered", *lot, "--heads", "8", "--customer", "Ferry Pantry", "--on", "2026-04-07"],
    ):
        assert run(["record", str(book), *words]) == 0
    capsys.readouterr()
    return book


def traced(capsys, book, *words):
    code = run(["trace", str(book), *words])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_a_trace_is_listed_on_the_screen(book, capsys):
    code, out, err = traced(capsys, book, "--seed-lot", "S-1")
    assert (code, err) == (0, "")
    assert out == (
        "Trace of seed lot S-1\n"
        "  Tue 7 Apr 2026: Ferry Pantry, 8 heads of BAS-260302\n"
        "\n"
        "Lot BAS-260302, Basil; seed lot S-1\n"
        "      1   2 Mar 2026  sown BAS-260302 Basil; 30 cells; to 1 tray, Shelf A 1 slot\n"
        "                      1; seed lot S-1\n"
        "      2  16 Mar 2026  moved BAS-260302 Basil; 24 plants; from Shelf A 1 slot 1;\n"
        "                      to 1 raft, North trough 1\n"
        "      3   6 Apr 2026  cut BAS-260302 Basil; 24 plants, 20 heads, 24 stay to grow\n"
        "                      again; in North trough 1\n"
        "      4   7 Apr 2026  delivered BAS-260302 Basil; 8 units, 8 heads; Basil; for\n"
        "                      Ferry Pantry\n"
        "\n"
        "The label of what was applied and local rules decide; this is no leave to cut or\nsell.\n"
    )


def test_page_and_table_are_written_and_written_again(book, capsys, tmp_path):
    page, table = tmp_path / "t.html", tmp_path / "t.csv"
    for _ in range(2):
        code, out, _ = traced(capsys, book, "--lot", "BAS-260302", "--html", str(page), "--csv", str(table))
        assert (code, out) == (0, f"Written to {page}\nWritten to {table}\n")
    assert "<bdi>Ferry Pantry</bdi>" in page.read_text(encoding="utf-8")
    assert len(table.read_text().splitlines()) == 5


def test_any_other_file_is_left_alone(book, capsys, tmp_path):
    for option, name in (("--html", "mine.html"), ("--csv", "mine.csv")):
        (tmp_path / name).write_text("mine")
        code, _, err = traced(capsys, book, "--lot", "BAS-260302", option, str(tmp_path / name))
        assert code == 2
        assert "nothing is written over it" in err
        assert (tmp_path / name).read_text() == "mine"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "name one of --delivery, --lot and --seed-lot"),
        (("--lot", "A", "--seed-lot", "B"), "name one of"),
        (("--lot", "BAS-260303"), "no lot 'BAS-260303' in the records; 'BAS-260302'?"),
        (("--delivery", "R1 2026-04-21"), "no delivery 'R1 2026-04-21' in the records; none is recorded yet"),
    ],
)
def test_what_cannot_be_traced_ends_with_2(book, capsys, words, said):
    code, _, err = traced(capsys, book, *words)
    assert code == 2
    assert said in err
