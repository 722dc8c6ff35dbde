"""Repairs a plan where it hurts: frees a part of it, solves that part again, keeps what is better.

The rest of the plan stays as it is, so each step is a small model whatever the size of the farm. Several
steps run side by side; an answer that no longer fits what others have changed meanwhile is dropped.
"""

import math
import random
from collections.abc import Callable, Iterable, Iterator, Set
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from scheduler.model.search.draws import Draws
from scheduler.model.search.drift import LARGEST, DriftDraws, price_anew
from scheduler.model.search.in_order import InOrder
from scheduler.model.search.incumbent import Incumbent, Score
from scheduler.model.search.manners import (
    DRAWING,
    DRIFTING,
    ROUNDS,
    SAVING,
    SELLING,
    THINNING,
    Around,
    Manner,
)
from scheduler.model.search.part import PartModel
from scheduler.model.search.selection import Part, Selection
from scheduler.model.search.serving import Serving, stretches
from scheduler.model.search.thinning import bed_parts
from scheduler.model.solver.engine import Answer, Engine, Stopped

NARROW = 3
"""Rounds, of the first, that are narrow."""

FEW_NEIGHBOURS = 2
"""Other crops up to which a place of a box is filled product by product."""

SELLING_DAYS = 28
"""Days of cutting of which one part shares out what is left over."""

LONGEST = 21
"""Days of setting on rafts that one part frees at least together."""


QUICKLY_BY_ONE = 0.1
"""Share of a quick repair in which short wishes are looked at one by one."""

DRAWN_IN_VAIN = 0.15
"""Share of the time after which drawing parts is given up where none of them has brought anything."""


class Learn(Protocol):
    """Told of a part whether it was solved to its best, and whether the plan is better by it."""

    def __call__(self, *, finished: bool, gained: bool) -> None:
        """Take it in."""


def _forget(*, finished: bool, gained: bool) -> None:
    """Take nothing in."""


@dataclass(frozen=True, slots=True)
class _Step:
    """A part that is being searched, and the version of the plan it was cut from."""

    cut: PartModel
    version: int


Settled = Callable[[int, Score], bool]
"""Says of a level and a score that no plan is less short in that level."""


def _never(_level: int, _score: Score) -> bool:
    return False


class Repair:
    """A search that frees parts of a plan in turn, larger ones when small ones bring nothing."""

    def __init__(
        self,
        engine: Engine,
        incumbent: Incumbent,
        tell: Callable[[str], None],
        beyond: Set[int] = frozenset(),
        rounds: tuple[Around, ...] = ROUNDS,
        settled: Settled = _never,
    ) -> None:
        """Take the plan to improve.

        ``tell`` is called with what is searched after every step; wishes ``beyond`` reach are not repaired,
        nor is a level of shortage that is ``settled``, so that no plan is less short in it.
        """
        self._rounds = rounds
        demands = {demand.name: demand.reported for demand in incumbent.built.chosen.farm.demands}
        wishes = incumbent.built.chosen.frame.wishes
        self._tail = {index for index, wish in enumerate(wishes) if not demands.get(wish.name, True)}
        self._beyond, self._settled = beyond, settled
        self._engine = engine
        self._patience, self._gained = math.inf, engine.spent
        self._turn, self._unfinished, self._vain = 0, 0, engine.settings.seconds * DRAWN_IN_VAIN
        self._best = incumbent
        self._tell = tell
        chosen = incumbent.built.chosen
        self._selection, self._in_order = Selection(chosen), InOrder(chosen)
        self._serving = Serving(chosen)

    def shortages(self, until: float) -> None:
        """Fill what is short by parts drawn by chance, and once those bring nothing more, round by round.

        Of the rounds the narrow ones are run again and again while they bring something, and only then the
        wide ones, which take long and seldom help.
        """
        wide = len(self._rounds)
        while True:
            self._drawn(until)
            if self._all_rounds(until, 0, NARROW):
                continue
            if not self._all_rounds(until, NARROW, wide):
                return

    def on_and_on(self, until: float, seconds: float, patience: float = math.inf) -> bool:
        """Fill what is short until the time is over, of which there are ``seconds``, or patience is.

        Returns whether it ended before, for nothing is short any more, or because every part that the rounds
        free around what is short was solved to its best and brought nothing.
        """
        self._patience, self._vain = patience, seconds * DRAWN_IN_VAIN
        while not self._over(until) and (self.short(1) or self.short(2)):
            before, self._unfinished = self._best.score[:2], 0
            self._gained = self._engine.spent
            self.shortages(until)
            if self._over(until):
                return False
            if self._best.score[:2] == before and (self._in_vain() or not self.left_open()):
                return not self._in_vain()
            self._turn += 1
        return not self._over(until)

    def drift(self, until: float) -> None:
        """Look for what fills shortages from one plan to another that is short of as much.

        Where none was filled in the end the plan is the one of before, for that is the cheapest.
        Nothing is done where only what keeps the farm going past the last reported day is short.
        """
        if self._tail.issuperset([*self._fillable(1), *self._fillable(2)]):
            return
        before, seed = self._best.values, self._engine.settings.seed + self._best.version
        draws = DriftDraws(self._best, self._serving, self.short, self._selling(), seed, LARGEST)
        self._prices = random.Random(seed)
        self._run(draws, DRIFTING, until, draws.learn)
        self._best.take(before)

    def left_open(self) -> bool:
        """Say whether the time of any part that a round freed was over before it was solved to its best."""
        return self._unfinished > 0

    def one_by_one(self, until: float) -> None:
        """Look once at each short firm wish by itself, and where there are boxes at the flexible ones too."""
        for level in (1, 2) if self._serving.boxes else (1,):
            self._round(level, 0, until)

    def quickly(self, until: float) -> None:
        """Fill what is easily filled: look at the dearest of what is short, then draw parts."""
        now = self._engine.spent
        self.one_by_one(now + (until - now) * QUICKLY_BY_ONE)
        self._drawn(until)

    def _drawn(self, until: float) -> None:
        """Search parts that are drawn by chance, until none has brought anything for a while."""
        if self._best.built.chosen.frame.period:
            return
        seed = self._engine.settings.seed + self._best.version + self._turn
        draws = Draws(self._best, self._serving, self.short, self._selling(), seed)
        begun = self._engine.spent

        def parts() -> Iterator[Part]:
            for part in draws:
                if self._in_vain() or self._engine.spent > max(begun, self._gained) + self._vain:
                    return
                yield part

        self._run(parts(), DRAWING, until, draws.learn)

    def _all_rounds(self, until: float, first: int, end: int) -> bool:
        """Run the rounds from ``first`` up to ``end`` once; say whether it is worth another time."""
        before = self._best.score[:2]
        numbers = range(first, min(end, len(self._rounds)))
        turns = [(level, number) for level in (1, 2) for number in numbers]
        if self._serving.boxes:
            # Boxes take much of what is wanted: a round of each in turn, or one has all the time.
            turns.sort(key=lambda turn: turn[1])
        for level, number in turns:
            self._round(level, number, until)
        return not self._over(until) and not self._in_vain() and self._best.score[:2] < before

    def _round(self, level: int, number: int, until: float) -> None:
        """Run one round for a level."""
        if self._over(until) or self._in_vain() or not self.short(level):
            return
        around = self._rounds[number]

        def learn(*, finished: bool, gained: bool) -> None:
            del gained
            self._unfinished += not finished

        phase, seconds = f"filling shortages, round {number + 1}", min(around.seconds, self._patience)
        self._run(self._around_shortages(level, around), Manner(phase=phase, seconds=seconds), until, learn)

    def give_up_after(self, patience: float) -> None:
        """End the filling of shortages, now and later, once none was filled for so long."""
        self._patience, self._gained = patience, self._engine.spent

    def _over(self, until: float) -> bool:
        return self._engine.stopped or self._engine.spent >= until

    def _in_vain(self) -> bool:
        return self._engine.spent >= self._gained + self._patience

    def short(self, level: int) -> list[int]:
        """Return the wishes of a level that are short and within reach, largest weight first.

        Firm wishes past the last reported day wait for the second level: they only keep the farm going.
        """
        if level == 1:
            return [index for index in self._fillable(1) if index not in self._tail]
        return [*self._fillable(2), *(index for index in self._fillable(1) if index in self._tail)]

    def _fillable(self, level: int) -> list[int]:
        """Return the wishes of a level that are short and within reach, of a level that can be less short."""
        if self._settled(level, self._best.score):
            return []
        return [index for index in self._best.short_wishes(level) if index not in self._beyond]

    def sweep(self, until: float) -> None:
        """Free stretches of weeks one after another, all crops, to save cost; wider when nothing is won."""
        frame = self._best.built.chosen.frame
        # The first stretch takes along the rafts that grow on the first day.
        earliest = min([frame.start, *(row.since for row in frame.farm.growing)])
        width = 14
        while not self._over(until):
            before = self._best.version
            stretches = (
                Part(
                    crops=frozenset(),
                    first=first if first > frame.start else earliest,
                    last=first + 2 * width,
                )
                for first in range(frame.start, frame.end, width)
            )
            self._run(stretches, SAVING, until)
            if self._best.version == before:
                if width >= frame.end - frame.start:
                    return
                width *= 2

    def _run(
        self,
        parts: Iterable[Part],
        manner: Manner,
        until: float,
        learn: Learn = _forget,
    ) -> None:
        """Search parts one after another, as many side by side as there are workers.

        ``learn`` is told of each how it ended.
        """
        hands = self._engine.hands
        waiting = iter(parts)
        with ThreadPoolExecutor(hands) as pool:
            running: dict[Future[Answer], _Step] = {}
            while True:
                while len(running) < hands and not self._over(until):
                    step = self._next(waiting, manner)
                    if step is None:
                        break
                    limit = min(manner.seconds, until - self._engine.spent)
                    running[pool.submit(self._solve, step, limit, manner)] = step
                if not running:
                    return
                for future in wait(running, return_when=FIRST_COMPLETED).done:
                    answer = future.result()
                    gained = self._keep(running.pop(future), answer, manner)
                    learn(finished=answer.finished, gained=gained)
                    self._tell(manner.phase)

    def _next(self, waiting: Iterator[Part], manner: Manner) -> _Step | None:
        """Cut the next part; None when there is no other, or the search ends meanwhile."""
        part = next(waiting, None)
        if part is None:
            return None
        values = np.array(self._best.values, dtype=np.int64)
        free = self._selection.numbers(part)
        if self._best.held:
            free = np.setdiff1d(free, np.fromiter(self._best.held, dtype=np.int64))
        try:
            cut = self._best.parts.cut(values, self._in_order.left_open(values, free))
        except Stopped:
            return None
        if manner.drifts:
            price_anew(cut.model, self._prices)
        return _Step(cut, self._best.version)

    def _solve(self, step: _Step, seconds: float, manner: Manner) -> Answer:
        return self._engine.run(step.cut.model, seconds, step.cut.hint, manner.gap, manner.hand)

    def _keep(self, step: _Step, answer: Answer, manner: Manner) -> bool:
        if answer.values is None:
            return False
        changes = {
            index: new
            for index, old, new in zip(step.cut.index, step.cut.hint, answer.values, strict=True)
            if new != old
        }
        short = self._best.score[:2]
        taken = self._best.take_changes(changes, step.version, as_short=manner.drifts)
        if self._best.score[:2] < short:
            self._gained = self._engine.spent
        return taken

    def _around_shortages(self, level: int, around: Around) -> Iterator[Part]:
        """Yield a part for each short wish that is still short when its turn comes; each part once."""
        chosen = self._best.built.chosen
        seen: set[Part] = set()
        for index in self.short(level):
            if self._in_vain():
                return
            if not self._best.values[chosen.short[index].index]:
                continue
            if self._settled(chosen.frame.wishes[index].level, self._best.score):
                continue
            for part in self._parts_for(index, around):
                if part not in seen:
                    seen.add(part)
                    yield part

    def _parts_for(self, index: int, around: Around) -> Iterator[Part]:
        """Yield parts that could fill a wish: the crops that serve it, on the raft days that serve it.

        What is cut again and again could have been set months before: each stretch of these days is a part.
        Into a place of a box goes one product or few: in the narrow rounds each is a part of its own.
        """
        wish = self._best.built.chosen.frame.wishes[index]
        every = self._serving.crops(index)
        together = around.neighbours > FEW_NEIGHBOURS
        for crops in [every] if together else self._serving.choices(index):
            days = self._serving.days(index, crops, later=around.later)
            beside = self._serving.neighbours(crops)[: around.neighbours]
            for opens, closes in stretches(days, LONGEST + around.days):
                if not self._best.values[self._best.built.chosen.short[index].index]:
                    return
                # Whole weeks, so that shortages close together free the same part once.
                swap = every - crops - set(beside)
                yield Part(
                    crops=frozenset(crops.union(beside)),
                    first=(opens - around.days) // 7 * 7,
                    last=-(-(closes + around.days) // 7) * 7,
                    outlets=self._selling(),
                    swap=frozenset(swap),
                    since=wish.first - wish.age - around.days if swap else 0,
                    until=wish.last + around.days if swap else 0,
                )

    def _selling(self) -> bool:
        """Say whether anything is sold at outlets yet: until it is, they are no part of any search."""
        sold = self._best.built.chosen.sold.values()
        return any(self._best.values[units.index] for units in sold)

    def thin_beds(self, until: float) -> None:
        """Free all of one crop in beds at a time, for the whole season: fewer plants may give the same.

        What stands for months reaches past the stretches that :meth:`sweep` frees. It comes before
        :meth:`sell`, which may take all the time there is, and has at most half of what is left for both.
        """
        until = min(until, (self._engine.spent + until) / 2)
        self._run(bed_parts(self._best, self._serving), THINNING, until)

    def sell(self, until: float) -> None:
        """Sell at outlets what is left over of what is cut, stretch by stretch; deliveries come first."""
        frame = self._best.built.chosen.frame
        if not frame.outlets:
            return
        stretches = (
            Part(crops=frozenset(), first=first, last=first + SELLING_DAYS - 1, goods=True)
            for first in range(frame.start, frame.end + 1, SELLING_DAYS)
        )
        self._run(stretches, SELLING, until)
