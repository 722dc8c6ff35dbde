"""Mutated books through ``check`` and ``plan``: no traceback, faults in place, bounded time and memory.

The long run takes ``RAFTWAY_BOOKS`` of them, 10,000 unless given, side by side as pytest-xdist has workers.
"""

import os
import subprocess
import sys

import pytest
from fuzz.base_books import NAMES, SMALL, base_book
from fuzz.forms import plain_folder, plain_workbook
from fuzz.judged import judged_safely, ran
from fuzz.mutated import EVERY_KIND, mutated
from fuzz.results import note

from scheduler.book.schema import load_schema

BOOKS = int(os.environ.get("RAFTWAY_BOOKS", "10000"))
CHUNK = 250


def written(folder, files):
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return folder


@pytest.mark.parametrize("name", NAMES)
def test_the_books_that_are_mutated_are_sound(tmp_path, name):
    folder = written(tmp_path / "folder", plain_folder(base_book(name)))
    assert ran(["check", str(folder), "--json"], 60).code == 0
    workbook = written(tmp_path / "workbook", plain_workbook(base_book(name), typed=True)) / "book.xlsx"
    assert ran(["check", str(workbook), "--json"], 60).code == 0


def test_the_small_books_hold_every_table():
    assert {table for name in SMALL for table in base_book(name)} == set(load_schema().tables)


def test_the_same_number_gives_the_same_book_and_every_kind_of_mutation_is_made():
    books = [mutated(number) for number in range(60)]
    assert [book.files for book in books[:10] if book.form == "folder"] == [
        mutated(book.number).files for book in books[:10] if book.form == "folder"
    ]
    assert {kind for book in books for kind in book.kinds} == set(EVERY_KIND)
    assert {book.form for book in books} == {"folder", "workbook"}


def test_some_mutated_books_are_read_and_planned_without_a_fault_of_ours():
    verdicts = [judged_safely(number, plan=number % 8 == 0) for number in range(40)]
    assert [verdict for verdict in verdicts if verdict.wrong] == []
    assert {verdict.checked for verdict in verdicts} == {0, 1}


def test_a_mutated_book_is_told_the_same_by_a_process_of_its_own(tmp_path):
    number = next(number for number in range(50) if mutated(number).spoilt)
    path = mutated(number).written(tmp_path / "book")
    command = [sys.executable, "-c", "from scheduler.cli.main import main; main()", "check", str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert str(mutated(number).spoilt) in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.soak
@pytest.mark.parametrize("first", range(0, BOOKS, CHUNK))
def test_mutated_books_are_read_and_planned_without_a_fault_of_ours_long(first):
    verdicts = [judged_safely(number) for number in range(first, min(first + CHUNK, BOOKS))]
    assert [verdict for verdict in verdicts if verdict.wrong] == []
    planned = sum(verdict.planned is not None for verdict in verdicts)
    note("mutated books, of which so many sound ones were planned too", len(verdicts), planned)
