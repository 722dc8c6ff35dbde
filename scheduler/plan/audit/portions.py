"""Portions: plants shared out between what gave them up and what took them, wherever a way exists.

Each giver has an amount, each taker wants one and may take from some givers only. A taker that finds its
givers empty lets an earlier one take from elsewhere instead (augmenting paths), so what a taker is short
of in the end could not have been found by any other way of sharing out.
"""

from collections.abc import Sequence
from itertools import pairwise

Givers = Sequence[Sequence[int]]
"""For each taker, the givers it may take from, those it prefers first."""


class Portions:
    """Plants on their way from givers to takers.

    Attributes:
        taken: (giver, taker) -> plants.
        short: plants each taker still wants.
    """

    def __init__(self, given: Sequence[int], wanted: Sequence[int]) -> None:
        """Take the amounts of givers and takers; those below 0 count as 0."""
        self.taken: dict[tuple[int, int], int] = {}
        self.short = [max(number, 0) for number in wanted]
        self._spare = [max(number, 0) for number in given]

    def share_out(self, givers: Givers) -> None:
        """Give each taker in turn as much as it wants; none that has its plants loses any by it."""
        for taker in range(len(self.short)):
            while self.short[taker] > 0:
                path = self._path(taker, givers)
                if not path:
                    break
                self._move(path)

    def _path(self, taker: int, givers: Givers) -> list[tuple[int, int]]:
        """Return (giver, taker) pairs from a giver with plants to spare to a taker, empty if there are none.

        Each taker on the way gives up what it had from the giver of the pair after its own.
        """
        pair_before: dict[int, list[tuple[int, int]]] = {taker: []}
        seen: set[int] = set()
        waiting = [taker]
        for here in waiting:
            for giver in givers[here]:
                if giver in seen:
                    continue
                seen.add(giver)
                path = [(giver, here), *pair_before[here]]
                if self._spare[giver] > 0:
                    return path
                for other in range(len(self.short)):
                    if other not in pair_before and self.taken.get((giver, other), 0) > 0:
                        pair_before[other] = path
                        waiting.append(other)
        return []

    def _move(self, path: list[tuple[int, int]]) -> None:
        given_up = [(giver, before[1]) for before, (giver, _) in pairwise(path)]
        first, last = path[0][0], path[-1][1]
        number = min(self._spare[first], self.short[last], *(self.taken[pair] for pair in given_up))
        self._spare[first] -= number
        self.short[last] -= number
        for pair in path:
            self.taken[pair] = self.taken.get(pair, 0) + number
        for pair in given_up:
            self.taken[pair] -= number
