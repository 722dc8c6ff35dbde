"""What the rows leave open in a part of a plan, once the rafts around it stay as they are.

The yes-or-nos of their order and the days on which a raft could leave are most of the variables that a part
frees, and nearly all of them are sure: nobody passes what entered before and stays, and a row that is full
takes nothing in. The solver finds that too, but it takes longer than solving what is left (measured).
"""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.model.variables.decisions import Decisions

Numbers = NDArray[np.int64]
Marks = NDArray[np.bool_]

NEVER = 2**40
"""Later than any day; the negative is earlier than any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bundle:
    """The variables of one bundle, and for each the place of its entry among all entries and its day.

    ``enters`` are the days from which rafts stand in their slots, ``slots`` those of each day from ``first``.
    """

    entries: int
    first: int
    slots: Numbers
    rafts: Numbers
    raft_at: Numbers
    enters: Numbers
    raft_day: Numbers
    clear: Numbers
    clear_at: Numbers
    clear_day: Numbers


class InOrder:
    """Finds what is sure; made once for a model. Of a cycle, or where rafts are lifted out, nothing is."""

    def __init__(self, chosen: Decisions) -> None:
        """Read the variables of each bundle."""
        ordered = not chosen.frame.period and not chosen.farm.rules.lift_out
        self._bundles = _bundles(chosen) if ordered else []

    def left_open(self, values: Numbers, free: Numbers) -> Numbers:
        """Return those of some variables to free that may have another value than they have in a plan."""
        is_free = np.zeros(len(values), dtype=np.bool_)
        is_free[free] = True
        for bundle in self._bundles:
            _settle(bundle, values, is_free)
        return free[is_free[free]]


def _settle(bundle: _Bundle, values: Numbers, is_free: Marks) -> None:
    """Take out of what is free what the rafts that stay leave no choice of.

    ``past`` is, for each entry, the last day on which a raft that stays leaves of all that came in by then;
    ``next_one`` the first one on which any that came in later does.
    """
    if not is_free[bundle.rafts].any():
        return
    stays = ~is_free[bundle.rafts] & (values[bundle.rafts] > 0)
    past = np.full(bundle.entries + 1, -NEVER)
    next_one = np.full(bundle.entries + 1, NEVER)
    # Shifted by one entry: a raft waits for what came in before it, and what came in later for it.
    np.maximum.at(past, bundle.raft_at[stays] + 1, bundle.raft_day[stays])
    np.minimum.at(next_one, bundle.raft_at[stays], bundle.raft_day[stays])
    past = np.maximum.accumulate(past)
    next_one = np.append(np.minimum.accumulate(next_one[::-1])[::-1], NEVER)
    passes = bundle.raft_day < past[bundle.raft_at]
    is_passed = bundle.raft_day > next_one[bundle.raft_at + 1]
    never = passes | is_passed | _meets_full(bundle, values, stays)
    is_free[bundle.rafts[never & (values[bundle.rafts] == 0)]] = False
    not_yet = bundle.clear_day < past[bundle.clear_at + 1]
    long_since = bundle.clear_day >= next_one[bundle.clear_at + 1]
    is_free[bundle.clear[not_yet | long_since]] = False


def _meets_full(bundle: _Bundle, values: Numbers, stays: Marks) -> Marks:
    """Say of each variable of rafts whether they would stand on a day on which what stays fills all slots."""
    change = np.zeros(len(bundle.slots) + 1, dtype=np.int64)
    enters = np.clip(bundle.enters - bundle.first, 0, len(bundle.slots))
    leaves = np.clip(bundle.raft_day - bundle.first, 0, len(bundle.slots))
    np.add.at(change, enters[stays], values[bundle.rafts[stays]])
    np.add.at(change, leaves[stays], -values[bundle.rafts[stays]])
    is_full = np.cumsum(change)[:-1] >= bundle.slots
    full_days = np.concatenate([[0], np.cumsum(is_full)])
    meets: Marks = full_days[leaves] > full_days[enters]
    return meets


def _bundles(chosen: Decisions) -> list[_Bundle]:
    rafts: dict[str, list[tuple[int, ...]]] = defaultdict(list)
    clear: dict[str, list[tuple[int, ...]]] = defaultdict(list)
    for queue, days in chosen.queues.items():
        rafts[queue.bundle] += [(queue.entry, queue.enters, day, some.index) for day, some in days.items()]
    for (name, entry, day), yes in chosen.cleared.items():
        clear[name].append((entry, day, yes.index))
    found = []
    first, end = chosen.frame.start, chosen.frame.end
    for bundle in chosen.bundles:
        if not rafts[bundle.name]:
            continue
        entry, enters, day, index = _columns(rafts[bundle.name], 4)
        entries = np.unique(entry)
        clear_entry, clear_day, clear_index = _columns(clear[bundle.name], 3)
        slots = [bundle.slots_on(each) for each in range(first, max(end, int(day.max())) + 1)]
        found.append(
            _Bundle(
                entries=len(entries),
                first=first,
                slots=np.array(slots, dtype=np.int64),
                enters=enters,
                rafts=index,
                raft_at=np.searchsorted(entries, entry),
                raft_day=day,
                clear=clear_index,
                clear_at=np.searchsorted(entries, clear_entry),
                clear_day=clear_day,
            )
        )
    return found


def _columns(rows: list[tuple[int, ...]], count: int) -> Numbers:
    return np.array(rows, dtype=np.int64).reshape(-1, count).T
