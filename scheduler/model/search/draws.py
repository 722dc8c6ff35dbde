"""Parts drawn by chance around what is short: many small ones, no bigger than can be solved at once.

Rounds that free the same neighbours each time end where none of those helps. Which crop stands in the way of
which cannot be told beforehand, so it is drawn: a short wish, a crop that serves it, a few days around one
of its raft days, and few other crops. Most parts are solved to their best within half a second; where that
brings nothing larger ones are drawn, and where there is no time for it smaller ones.
"""

import random
from collections.abc import Callable, Iterator

from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.selection import Part
from scheduler.model.search.serving import Serving

SIZES = (
    (0, 7), (0, 14), (1, 14), (1, 21), (1, 28), (2, 21), (2, 28), (3, 21),
    (3, 28), (4, 21), (4, 28), (3, 42), (5, 28), (5, 42), (8, 28), (8, 42),
)  # fmt: skip
"""Other crops, and days, that a part frees: from small to large."""

FIRST_SIZE = 2
"""The one begun with."""

LARGER, SMALLER = 0.1, 0.8
"""Steps by which parts grow where they were solved at once, and shrink where they were not."""

MOST_IN_VAIN = 150
"""Parts one after another that may bring nothing before no more are drawn."""

MOST_NOTHING = 50
"""Draws one after another for which nothing serves the wish before no more are made."""

FIRM_DRAWS = 0.8
"""Share of the draws that are for firm wishes while any of those is short."""

FIRST_CUTS = 0.7
"""Share of the draws in which a batch has to serve by its first cut, not by a later one."""

STILL = 0.8
"""Share of the draws in which the rafts of all other crops stay as they are: quick, but not all there is."""

HEAVY = 0.6
"""Share of the draws in which a wish is the likelier the more its shortage weighs."""


class Draws:
    """Draws parts, and learns from what became of them how large they may be.

    The same seed and the same answers give the same draws.
    """

    def __init__(
        self,
        best: Incumbent,
        serving: Serving,
        short: Callable[[int], list[int]],
        outlets: bool,
        seed: int,
        largest: int = len(SIZES) - 1,
    ) -> None:
        """Take the plan, what could serve its wishes, and which wishes of a level are short.

        Parts grow no larger than ``largest`` of the sizes, but for what is drawn around that.
        """
        self._best, self._serving, self._short, self._outlets = best, serving, short, outlets
        self._random = random.Random(seed)
        self._size, self._largest, self._vain = float(FIRST_SIZE), float(largest), 0

    def learn(self, *, finished: bool, gained: bool) -> None:
        """Take in how a part ended: solved to its best or not, and whether the plan is better by it."""
        self._vain = 0 if gained else self._vain + 1
        if not finished:
            self._size = max(0.0, self._size - SMALLER)
        elif not gained:
            self._size = min(self._largest, self._size + LARGER)

    def __iter__(self) -> Iterator[Part]:
        """Yield parts as long as any wish is short, something serves it, and parts bring anything."""
        nothing = 0
        while nothing < MOST_NOTHING and self._vain < MOST_IN_VAIN and (index := self._wish()) is not None:
            part = self._part(index)
            nothing = nothing + 1 if part is None else 0
            if part is not None:
                yield part

    def _wish(self) -> int | None:
        """Draw a short wish; None where there is none."""
        firm = self._short(1)
        found = firm if firm and self._random.random() < FIRM_DRAWS else self._short(2) or firm
        if not found:
            return None
        if self._random.random() < HEAVY:
            chosen, values = self._best.built.chosen, self._best.values
            weights = [
                chosen.frame.wishes[index].weight * values[chosen.short[index].index] for index in found
            ]
            if any(weights):
                return self._random.choices(found, weights)[0]
        return self._random.choice(found)

    def _part(self, index: int) -> Part | None:
        """Draw a part around a wish; None where nothing that could be drawn for it serves it."""
        draw, wish = self._random, self._best.built.chosen.frame.wishes[index]
        every = self._serving.crops(index)
        choices = [sorted(crops) for crops in self._serving.choices(index) if crops]
        if not choices:
            return None
        crop = draw.choice(draw.choice(choices))
        days = self._serving.days(index, {crop}, later=draw.random() >= FIRST_CUTS)
        if not days:
            return None
        others, width = SIZES[min(len(SIZES) - 1, max(0, round(self._size + draw.uniform(-1.5, 1.5))))]
        beside = self._serving.neighbours({crop})
        crops = {crop, *draw.sample(beside, min(others, len(beside)))}
        first = draw.choice(days) - draw.randint(0, width)
        swap = every - crops if choices != [sorted(every)] else set()
        return Part(
            crops=frozenset(crops),
            first=first,
            last=first + width,
            outlets=self._outlets,
            still=draw.random() < STILL,
            swap=frozenset(swap),
            since=wish.first - wish.age - width // 2 if swap else 0,
            until=wish.last + width // 2 if swap else 0,
        )
