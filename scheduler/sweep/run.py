"""Items of work through an executor: each answer is kept as it comes, and a lost worker's items run again."""

from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, CancelledError, Executor, Future, as_completed
from dataclasses import dataclass
from typing import Any

from scheduler.sweep.executors import MakeExecutor
from scheduler.sweep.results import Answer, Results

MOST_ROUNDS = 3
"""Executors that may break one after another without a single answer before an item is given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One piece of work.

    Attributes:
        key: names it among all items of all sweeps: the same work has the same key.
        name: what it is called while it runs.
        work: a function that can be imported where it runs; it gives what JSON can hold.
        given: what the function is given; it is sent to another process.
    """

    key: str
    name: str
    work: Callable[..., Answer]
    given: tuple[Any, ...]


class Lost(Exception):  # the word is the message
    """Workers were lost again and again; the message says with which items."""


def run_all(
    items: Sequence[Item], make: MakeExecutor, results: Results, tell: Callable[[str], None]
) -> dict[str, Answer]:
    """Return key -> answer of all items, in their order; those that are in the results do not run again.

    Raises:
        Lost: workers were lost, and no item got done, several times in a row.
        Exception: whatever an item raised; answers that came before are kept.
    """
    every = {item.key: item for item in items}
    left = {key: item for key, item in every.items() if key not in results.found}
    if known := len(every) - len(left):
        tell(f"{known} of {len(every)} were there already")
    rounds = 0
    while left:
        before = len(left)
        with make() as executor:
            lost = _one_round(executor, left, results, tell)
        if not left:
            break
        rounds = 0 if len(left) < before else rounds + 1
        if rounds >= MOST_ROUNDS:
            names = ", ".join(item.name for item in left.values())
            raise Lost(
                f"workers were lost {rounds} times without an answer: {names} ({lost}); "
                "if it is memory that they are short of, let fewer work at once"
            )
        tell(f"a worker was lost: {len(left)} of {len(every)} run again")
    return {key: results.found[key] for key in every}


def _one_round(
    executor: Executor, left: dict[str, Item], results: Results, tell: Callable[[str], None]
) -> str:
    """Run what is left as far as the executor lasts; return how it broke, nothing if it did not."""
    waiting: dict[Future[Answer], Item] = {}
    lost = ""
    try:
        for item in left.values():
            waiting[executor.submit(item.work, *item.given)] = item
    except BrokenExecutor as broken:
        lost = str(broken)
    for future in as_completed(waiting):
        item = waiting[future]
        try:
            answer = future.result()
        except (BrokenExecutor, CancelledError) as broken:
            lost = str(broken) or type(broken).__name__
            continue
        except Exception as error:
            if not _is_lost_worker(error):
                raise
            lost = str(error)
            continue
        results.add(item.key, answer)
        del left[item.key]
        tell(f"{item.name} is done, {len(left)} to go")
    return lost


def _is_lost_worker(error: Exception) -> bool:
    """Say whether a cluster gave an item up because the workers that had it were lost."""
    return type(error).__name__ in {"KilledWorker", "FutureCancelledError", "CommClosedError"}
