"""Runs of days on which a number is above its limit, so that one lasting fault is told once."""

from collections.abc import Iterator, Sequence


def runs_over(used: Sequence[int], limit: Sequence[int]) -> Iterator[tuple[int, int, int, int]]:
    """Yield (first day, days, number, limit) of each run of days with one number above one limit."""
    start = 0
    for day in range(1, len(used) + 1):
        if day == len(used) or (used[day], limit[day]) != (used[start], limit[start]):
            if used[start] > limit[start]:
                yield start, day - start, used[start], limit[start]
            start = day
