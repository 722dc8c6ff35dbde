"""Which plants of a raft batch get which cuts: amounts per day turned into portions that stay together."""

from collections import Counter, defaultdict, deque

from scheduler.plan.decided import RaftBatch
from scheduler.plan.layout.units import Cuts

Portion = tuple[int, Cuts, int]
"""(plants, their cuts, day they leave)."""


def portions(batch: RaftBatch) -> list[Portion]:
    """Follow plants from cut to cut: what was cut first is cut again first.

    Plants without any cut leave on the days of ``gone`` that no cut explains: those thrown away.
    """
    standing: dict[tuple[int, int], deque[tuple[int, Cuts]]] = defaultdict(deque)
    ordered = sorted(batch.cuts, key=lambda cut: (cut.number, cut.day, cut.after is not None, cut.after or 0))
    for cut in ordered:
        here = (cut.number, cut.day)
        if cut.after is None:
            standing[here].append((cut.plants, (here,)))
        else:
            before = standing[cut.number - 1, cut.after]
            standing[here].extend((plants, (*cuts, here)) for plants, cuts in _take(before, cut.plants))
    found = [
        (plants, cuts, day) for (_, day), left in sorted(standing.items()) for plants, cuts in left if plants
    ]
    return found + _uncut(batch, found)


def _take(source: deque[tuple[int, Cuts]], wanted: int) -> list[tuple[int, Cuts]]:
    taken = []
    while wanted > 0 and source:
        plants, cuts = source.popleft()
        now = min(plants, wanted)
        taken.append((now, cuts))
        if now < plants:
            source.appendleft((plants - now, cuts))
        wanted -= now
    return taken


def _uncut(batch: RaftBatch, cut: list[Portion]) -> list[Portion]:
    left = Counter(dict[int, int]())
    for day, plants in batch.gone:
        left[day] += plants
    for plants, _, day in cut:
        left[day] -= plants
    missing = batch.plants - sum(plants for plants, _, _ in cut)
    found: list[Portion] = []
    for day, plants in sorted(left.items()):
        now = min(plants, missing)
        if now > 0:
            found.append((now, (), day))
            missing -= now
    if missing > 0:
        found.append((missing, (), max(day for day, _ in (*batch.gone, (batch.day, 0)))))
    return found
