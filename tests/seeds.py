"""Numbers that random farms are made from: a few in every run, all of them in the long one.

Thousands of long tests would take longer to list than the quick ones take to run, so they go in blocks.
"""

from collections.abc import Callable, Iterable, Sequence

import pytest

IN_ONE = 50


def sample(quick: Iterable[int], more: Iterable[int]) -> list[object]:
    """Return the numbers of a test: those of every run, and more that only the long run takes."""
    return [*quick, *(pytest.param(seed, marks=pytest.mark.soak) for seed in more)]


def blocks(seeds: Iterable[int]) -> list[Sequence[int]]:
    """Return numbers in blocks, each named by its first and last."""
    listed = list(seeds)
    cut = [listed[start : start + IN_ONE] for start in range(0, len(listed), IN_ONE)]
    return [pytest.param(block, id=f"{block[0]}-{block[-1]}") for block in cut]


def each_of(seeds: Iterable[int], check: Callable[[int], object]) -> None:
    """Check all numbers of a block, and raise what went wrong with any, by number."""
    wrong = []
    for seed in seeds:
        try:
            check(seed)
        except Exception as error:
            error.add_note(f"seed {seed}")
            wrong.append(error)
    if wrong:
        raise ExceptionGroup("seeds", wrong)
