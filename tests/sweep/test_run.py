"""Items through an executor: kept as they come, the same in any order, run again when a worker is lost."""

import json
import os
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from errno import ENOSPC

import pytest
from swept import die, fail, square, square_or_die_once

from scheduler.sweep.executors import NoCluster, cluster, local
from scheduler.sweep.results import Damaged, Results
from scheduler.sweep.run import Item, Lost, run_all


@contextmanager
def threads():
    with ThreadPoolExecutor(2) as executor:
        yield executor


def items(numbers, work=square, *given):
    return [Item(key=f"k{n}", name=f"item {n}", work=work, given=(n, *given)) for n in numbers]


def answers(numbers, path=None, make=threads, work=square, given=()):
    told = []
    found = run_all(items(numbers, work, *given), make, Results(path), told.append)
    return found, told


SQUARES = {f"k{n}": {"number": n, "square": n * n} for n in range(5)}


def test_answers_stand_in_the_order_of_the_items_whatever_ends_first(tmp_path):
    found, told = answers([4, 0, 3, 1, 2], tmp_path / "sweep.jsonl")
    assert found == SQUARES
    assert list(found) == ["k4", "k0", "k3", "k1", "k2"]
    assert len(told) == 5
    assert told[-1].endswith("is done, 0 to go")
    lines = [json.loads(line) for line in (tmp_path / "sweep.jsonl").read_text().splitlines()]
    assert {line["key"]: line["answer"] for line in lines} == SQUARES


def test_what_is_there_already_does_not_run_again(tmp_path):
    path = tmp_path / "sweep.jsonl"
    answers([0, 1, 2], path)
    found, told = answers([2, 3, 1], path, work=square)
    assert found == {key: SQUARES[key] for key in ("k2", "k3", "k1")}
    assert told == ["2 of 3 were there already", "item 3 is done, 0 to go"]
    assert len(path.read_text().splitlines()) == 4
    # fail would raise if any of them ran
    assert answers([0, 1, 2, 3], path, work=fail)[0] == {key: SQUARES[key] for key in list(SQUARES)[:4]}


def test_equal_items_are_one_piece_of_work_and_counted_once(tmp_path):
    path = tmp_path / "sweep.jsonl"
    found, told = answers([1, 1, 2], path)
    assert (found, len(told)) == ({key: SQUARES[key] for key in ("k1", "k2")}, 2)
    assert answers([1, 1, 3], path)[1][0] == "1 of 2 were there already"


def test_a_line_that_a_killed_writer_left_is_cut_off_and_run_again(tmp_path):
    path = tmp_path / "sweep.jsonl"
    answers([0, 1], path)
    whole = path.read_text()
    path.write_text(whole + '{"answer": {"number": 2, "squ')
    assert answers([0, 1, 2], path)[0] == {key: SQUARES[key] for key in list(SQUARES)[:3]}
    assert path.read_text().startswith(whole)
    assert len(path.read_text().splitlines()) == 3


@pytest.mark.parametrize("line", ["not json", "[1]", '{"key": "k0"}', '{"key": 3, "answer": {}}'])
def test_a_file_of_something_else_is_told_and_left_alone(tmp_path, line):
    path = tmp_path / "notes.txt"
    path.write_text(f"{line}\n")
    with pytest.raises(Damaged, match=r"notes\.txt:1: found no answer of a sweep"):
        Results(path)
    assert path.read_text() == f"{line}\n"


def test_what_an_item_raises_is_raised_and_answers_before_are_kept(tmp_path):
    path = tmp_path / "sweep.jsonl"
    mixed = [*items([0, 1]), *items([7], fail)]

    @contextmanager
    def one_thread():
        with ThreadPoolExecutor(1) as executor:
            yield executor

    with pytest.raises(ValueError, match="no square of 7"):
        run_all(mixed, one_thread, Results(path), lambda _: None)
    assert set(Results(path).found) <= {"k0", "k1"}


def test_items_of_a_worker_that_was_killed_run_again_in_other_processes(tmp_path):
    found, told = answers(range(5), tmp_path / "sweep.jsonl", local(2), square_or_die_once, (str(tmp_path),))
    assert found == SQUARES
    assert any(line.startswith("a worker was lost: ") for line in told)
    assert len((tmp_path / "sweep.jsonl").read_text().splitlines()) == 5


def test_an_item_that_ends_every_worker_is_given_up():
    with pytest.raises(Lost, match=r"lost 3 times without an answer: item 9 \("):
        answers([9], make=local(1), work=die)


def test_a_cluster_that_is_not_there_is_told(monkeypatch):
    monkeypatch.setattr("scheduler.sweep.executors.CONNECT_SECONDS", 0.2)
    with (
        pytest.raises(NoCluster, match="no cluster answers at tcp://127.0.0.1:1"),
        cluster("tcp://127.0.0.1:1")(),
    ):
        pass


def test_an_answer_that_the_disk_does_not_take_whole_leaves_the_file_as_it_was(tmp_path, monkeypatch):
    def full(_file):
        raise OSError(ENOSPC, "No space left on device")

    kept, new = Results(tmp_path / "kept"), Results(tmp_path / "new")
    kept.add("k0", {"is": 0})
    before = kept.path.read_bytes()
    monkeypatch.setattr(os, "fsync", full)
    for results in (kept, new):
        with pytest.raises(OSError, match="No space left on device; answers before are kept"):
            results.add("k1", {"is": 1})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"kept": before}
    write = os.write
    monkeypatch.setattr(
        os,
        "write",
        lambda file, contents: write(file, contents[:3]) if contents[:1] == b"{" else full(file),
    )
    with pytest.raises(OSError, match="No space"):
        kept.add("k1", {"is": 1})
    assert kept.path.read_bytes() == before
