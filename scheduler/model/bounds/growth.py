"""On which days plants can have grown as long as a stage takes, wherever they stood meanwhile."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from itertools import accumulate

from scheduler.farm.farm import Farm
from scheduler.farm.units import MILLI


class Growth:
    """Growth in some shelves or troughs between which plants may be moved.

    What is moved about grows at most as in the fastest place of each day and at least as in the slowest.
    """

    def __init__(self, farm: Farm, owners: Iterable[str], last: int) -> None:
        """Add up the paces of shelves or troughs from ``farm.today``, or the first day asked for, on."""
        self._farm = farm
        self._first = min([0, *(row.since for row in farm.growing), *_last_cuts(farm)])
        days = range(self._first, last + 2)
        alike = {farm.pace.signature(owner): owner for owner in owners}
        paces = [[farm.pace.on(owner, day) for owner in alike.values()] for day in days]
        self._fast = list(accumulate((max(pace, default=0) for pace in paces), initial=0))
        self._slow = list(accumulate((min(pace, default=0) for pace in paces), initial=0))

    def window(self, start: int, days: int, wait: int, grown: int = 0) -> tuple[int, int]:
        """Return the first and last day on which a stage of so many card days and wait may end.

        ``start`` is the day from which plants may stand anywhere here; ``grown`` thousandths of a day they
        have grown by then. The last day may be before the first: then there is none.
        """
        at = start - self._first
        first = bisect_left(self._fast, self._fast[at] + days * MILLI - grown)
        last = bisect_right(self._slow, self._slow[at] + (days + wait) * MILLI - grown) - 1
        return max(first + self._first, start), last + self._first


def _last_cuts(farm: Farm) -> list[int]:
    return [row.last_cut for row in farm.growing if row.last_cut is not None]
