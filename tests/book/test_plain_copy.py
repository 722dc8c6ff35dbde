"""The copy of a book is the same for both of its forms, and loses nothing.

That any book has one copy in every form is looked at where its forms are (``test_xlsx_round_trip.py``).
"""

from pathlib import Path

import pytest
from any_books import any_valid_book, values
from helpers import write_book
from hypothesis import given, settings
from workbooks import write_workbook

from scheduler.book.book import read_book, read_raw, typed_book
from scheduler.book.faults import BookFaults
from scheduler.book.plain_copy import book_copy, book_digest
from scheduler.book.raw import RawBook, raw_table
from scheduler.farm.build import build_farm

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def written(folder: Path, copy: dict[str, bytes]) -> Path:
    folder.mkdir()
    for name, contents in copy.items():
        (folder / name).write_bytes(contents)
    return folder


def raw_of(**tables: list[list[str]]) -> RawBook:
    found = {name: raw_table(name, list(enumerate(rows, start=1))) for name, rows in tables.items()}
    return RawBook(source="", tables=found, unread=frozenset(), faults=())


@settings(max_examples=25, deadline=None)
@given(raw=any_valid_book())
def test_a_copy_says_what_the_book_says_and_is_its_own_copy(tmp_path_factory, raw: RawBook) -> None:
    copy = book_copy(raw)
    folder = written(tmp_path_factory.mktemp("copy") / "book", copy)
    assert values(read_book(folder)) == values(typed_book(raw))
    assert book_copy(read_raw(folder)) == copy


@pytest.mark.parametrize("name", ["alder-quay", "kestrel-bend"])
def test_the_farm_of_an_example_is_that_of_its_copy(name: str, tmp_path: Path) -> None:
    book = EXAMPLES / name / "book"
    folder = written(tmp_path / "book", book_copy(read_raw(book)))
    assert build_farm(read_book(folder)) == build_farm(read_book(book))


def test_a_workbook_typed_by_hand_has_the_copy_of_the_same_book_as_csv(tmp_path: Path) -> None:
    tables = {"costs": "cost,amount\nElectricity,12.50\n", "crew": "hours,weekdays\n8.0,Mon-Fri\n"}
    csv_book, workbook = write_book(tmp_path, **tables), write_workbook(tmp_path, **tables)
    assert book_copy(read_raw(workbook)) == book_copy(read_raw(csv_book))


def test_numbers_yes_and_no_and_settings_are_written_in_one_way() -> None:
    raw = raw_of(
        settings=[
            ["setting", "value", "(why)"],
            ["Share Rafts", "TRUE", ""],
            ["weeks", "08", ""],
            ["lift_out", "", ""],
            ["farm", "=Quay", ""],
            ["hold_days", "", "ask Ana"],
            ["currency", "0.50", ""],
        ],
        costs=[["amount", "cost"], ["+.50", "N"], ["007.", "0.50"], ["-0", "y"], ["some", "-5"]],
    )
    copy = book_copy(raw)
    assert copy["settings.csv"].decode() == (
        "setting,value,(why)\nfarm,'=Quay,\nweeks,8,\ncurrency,0.50,\nhold_days,,ask Ana\nshare_rafts,yes,\n"
    )
    assert copy["costs.csv"].decode() == "cost,amount\nN,0.5\n0.50,7\ny,0\n'-5,some\n"


def test_a_remark_of_any_length_is_kept(tmp_path: Path) -> None:
    remark = "x" * 9000
    book = write_book(tmp_path, crew=f"weekdays,hours,(remark)\nMon,8,{remark}\n")
    assert remark.encode() in book_copy(read_raw(book))["crew.csv"]


def test_a_line_break_in_the_heading_of_a_remark_is_read_back(tmp_path: Path) -> None:
    raw = raw_of(crew=[["weekdays", "hours", "(a\rb)"], ["Mon", "8", "why"]])
    folder = written(tmp_path / "book", book_copy(raw))
    assert read_raw(folder).tables["crew"].heading.cells[2] == "(a\nb)"


def test_a_book_that_cannot_be_read_whole_has_no_copy(tmp_path: Path) -> None:
    book = write_book(tmp_path, crew=b"weekdays,hours\nMon,\xff\n")
    with pytest.raises(BookFaults, match="crew!B2: found bytes that are not UTF-8"):
        book_copy(read_raw(book))


def test_the_digest_follows_names_and_contents_and_not_their_order() -> None:
    files = {"a.csv": b"1\n", "b.csv": b"2\n"}
    changed = [{"a.csv": b"1\n"}, {"a.csv": b"2\n", "b.csv": b"1\n"}, {"a.csv": b"1\nb.csv\n2\n2\n"}]
    digests = {book_digest(each) for each in (files, *changed)}
    assert len(digests) == 4
    assert book_digest(dict(reversed(files.items()))) == book_digest(files)
    assert len(book_digest({})) == 64
