"""The same items on a cluster of two workers: the same answers, also when one of the workers is killed."""

import os
import signal
import warnings
from pathlib import Path
from threading import Thread
from time import monotonic, sleep

import distributed
import pytest
from swept import slow_square, square

from scheduler.sweep.executors import cluster
from scheduler.sweep.results import Results
from scheduler.sweep.run import Item, run_all

# what the cluster's own libraries warn of while it is taken down is none of ours
pytestmark = pytest.mark.filterwarnings("ignore")


@pytest.fixture(scope="module")
def address():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        made = distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
        )
        try:
            yield made.scheduler_address
        finally:
            made.close()


def items(numbers, work, *given):
    return [Item(key=f"k{n}", name=f"item {n}", work=work, given=(n, *given)) for n in numbers]


def test_a_cluster_gives_the_same_answers_in_any_order(address):
    found = run_all(items(range(6), square), cluster(address), Results(None), lambda _: None)
    again = run_all(items(reversed(range(6)), square), cluster(address), Results(None), lambda _: None)
    assert found == again == {f"k{n}": {"number": n, "square": n * n} for n in range(6)}


def test_what_a_killed_worker_had_is_given_to_another(address, tmp_path):
    def kill_who_has(number: int) -> None:
        """End the process that begins an item, the first time it does."""
        mark, end = Path(tmp_path) / f"{number}", monotonic() + 60
        while monotonic() < end:
            if mark.exists() and mark.read_text().endswith("\n"):
                os.kill(int(mark.read_text().split()[0]), signal.SIGKILL)
                return
            sleep(0.02)

    killer = Thread(target=kill_who_has, args=(2,))
    killer.start()
    path = tmp_path / "sweep.jsonl"
    found = run_all(
        items(range(6), slow_square, str(tmp_path)), cluster(address), Results(path), lambda _: None
    )
    killer.join()
    assert found == {f"k{n}": {"number": n, "square": n * n} for n in range(6)}
    begun = (tmp_path / "2").read_text().split()
    assert len(begun) == 2
    assert begun[0] != begun[1]
    assert len(path.read_text().splitlines()) == 6
