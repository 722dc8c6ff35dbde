"""Random numbers of every run: the same on any machine, in any order, and for a plan with extra sowing.

A run's numbers come from a generator of its own, made from the seed and the run's number. Each plant at each
loss has its own number, so one more plant never changes what becomes of another: a plan with extra sowing is
held against the plan without it under the same luck.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.units import WHOLE_SHARE

Counts = NDArray[np.int32]
"""Whole numbers, one for each run."""

Name = tuple[str, ...]
"""What a loss is called: the same with and without extra sowing."""


class Layout:
    """Where the numbers of each loss stand among the numbers of a run.

    Attributes:
        spots: name -> (generator, first number, how many) of each stretch.
        sizes: numbers drawn from the first generator of a run, and from the second, which serves what a
            plan has beyond the one it is held against.
    """

    def __init__(self, needs: Iterable[tuple[Name, int]], base: "Layout | None" = None) -> None:
        """Give each name so many numbers; those that ``base`` has too stand where they stand there."""
        self.sizes: tuple[int, int]
        self.spots: dict[Name, list[tuple[int, int, int]]] = {}
        first = 0 if base is None else base.sizes[0]
        second = 0
        for name, number in needs:
            spots = [] if base is None else base.spots.get(name, [])[:1]
            known = sum(length for _, _, length in spots)
            if base is None:
                spots = [(0, first, number)]
                first += number
            elif number > known:
                spots = [*spots, (1, second, number - known)]
                second += number - known
            self.spots[name] = spots
        self.sizes = first, second

    def of(self, drawn: tuple[NDArray[np.float32], NDArray[np.float32]], name: Name) -> NDArray[np.float32]:
        """Return the numbers of a name out of those drawn: runs x numbers."""
        spots = self.spots[name]
        found = [drawn[which][:, at : at + length] for which, at, length in spots]
        return found[0] if len(found) == 1 else np.concatenate(found, axis=1)


class Draws:
    """The random numbers of some runs.

    Attributes:
        layout: where the numbers of each loss stand.
        slow: runs x shelves and troughs x weeks normal numbers.
    """

    def __init__(self, seed: int, runs: range, layout: Layout, owners_weeks: tuple[int, int]) -> None:
        """Draw for some runs; ``owners_weeks`` is how many shelves and troughs, and how many weeks."""
        self.layout = layout
        self.slow: NDArray[np.float64] = np.empty((len(runs), *owners_weeks))
        self._drawn = (
            np.empty((len(runs), layout.sizes[0]), np.float32),
            np.empty((len(runs), layout.sizes[1]), np.float32),
        )
        for at, run in enumerate(runs):
            own = np.random.default_rng([seed, run])
            self.slow[at] = own.standard_normal(owners_weeks)
            own.random(out=self._drawn[0][at], dtype=np.float32)
            if layout.sizes[1]:
                beyond = np.random.default_rng([seed, run, 1])
                beyond.random(out=self._drawn[1][at], dtype=np.float32)

    def left(self, name: Name, plants: Counts, share: int) -> Counts:
        """Return how many of the first ``plants`` of a name are left when each is left by a share."""
        most = int(plants.max(initial=0))
        if not most or share >= WHOLE_SHARE:
            return plants
        stays = self.layout.of(self._drawn, name)[:, :most] < np.float32(share / WHOLE_SHARE)
        upto = np.zeros((len(plants), most + 1), np.int32)
        np.cumsum(stays, axis=1, out=upto[:, 1:])
        found: Counts = np.take_along_axis(upto, plants[:, None].astype(np.intp), axis=1)[:, 0]
        return found
