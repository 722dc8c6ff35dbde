"""Mutated books through ``check`` and ``plan``: no traceback, faults in place, bounded time and memory.

The long run takes ``RAFTWAY_BOOKS`` of them, 10,000 unless given, and keeps what it has done in the folder
``RAFTWAY_KEPT``, if one is given, so that it can be stopped and goes on.
"""

import json
import os
import subprocess
import sys
from dataclasses import asdict

import pytest
from fuzz.base_books import NAMES, ROOT, SMALL, base_book
from fuzz.forms import plain_folder, plain_workbook
from fuzz.judged import judged_safely, ran
from fuzz.mutated import EVERY_KIND, mutated
from fuzz.results import kept_in, long_run, note
from fuzz.run_books import read_verdicts

from scheduler.book.schema import load_schema

BOOKS = int(os.environ.get("RAFTWAY_BOOKS", "10000"))


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


def test_a_run_of_books_that_was_stopped_goes_on(tmp_path):
    verdicts = tmp_path / "verdicts"
    whole = "".join(f"{json.dumps(asdict(judged_safely(number, plan=False)))}\n" for number in range(3))
    verdicts.write_text(whole[:-20])
    assert long_run("run_books.py", str(verdicts), "3", "9").startswith("3 books, ")
    assert list(read_verdicts(verdicts)) == [0, 1, 2]
    assert verdicts.read_text().splitlines()[:2] == whole.splitlines()[:2]


DEADLY = """
import os
from forked import each_apart
print(list(each_apart(lambda number: os.kill(os.getpid(), 9) if number == 2 else number, range(5), 9, 3)))
"""


def test_work_that_ends_its_process_is_told_and_the_rest_is_done():
    path = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(ROOT / "tests")])}
    done = subprocess.run(
        [sys.executable, "-c", DEADLY], capture_output=True, text=True, env=path, check=True
    )
    assert done.stdout == "[(0, 0, 0), (1, 1, 0), (2, None, -9), (3, 3, 0), (4, 4, 0)]\n"


@pytest.mark.soak
def test_mutated_books_are_read_and_planned_without_a_fault_of_ours_long(tmp_path):
    verdicts = kept_in(tmp_path) / "books.jsonl"
    long_run("run_books.py", str(verdicts), str(BOOKS))
    made = read_verdicts(verdicts).values()
    planned = sum(verdict.planned is not None for verdict in made)
    note("mutated books, of which so many sound ones were planned too", len(made), planned)
