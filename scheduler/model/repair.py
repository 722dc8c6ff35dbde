"""Repairs a plan where it hurts: frees a part of it, solves that part again, keeps what is better.

The rest of the plan stays as it is, so each step is a small model whatever the size of the farm.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass, field

from scheduler.farm.units import MILLI
from scheduler.model.build import Built
from scheduler.model.engine import Engine
from scheduler.model.goals import FLEXIBLE_UNIT, cost, shortage, simplicity
from scheduler.model.options import RaftSet
from scheduler.model.part import Part, Parts

Score = tuple[int, int, int]
"""Firm shortage, flexible shortage, cost with simplicity: compared in this order."""


@dataclass
class Incumbent:
    """The best plan so far, how to judge another one, and whether it was ever improved."""

    built: Built
    parts: Parts
    values: list[int]
    score: Score = field(init=False)
    improved: bool = field(init=False, default=False)

    def __post_init__(self) -> None:
        """Score the first values."""
        chosen = self.built.chosen
        self._firm = shortage(chosen, 1).terms
        self._flexible = shortage(chosen, 2).terms
        self._simple = simplicity(chosen).terms
        self._cost = cost(chosen).terms
        self.score = self.score_of(self.values)

    def score_of(self, values: Sequence[int]) -> Score:
        """Return the score of an answer; less is better."""
        firm, flexible, simple, money = (
            sum(weight * values[variable.index] for weight, variable in terms)
            for terms in (self._firm, self._flexible, self._simple, self._cost)
        )
        return firm, flexible, money // MILLI + simple

    def take(self, values: Sequence[int] | None) -> bool:
        """Keep an answer if it is better; say whether it was."""
        if values is None:
            return False
        score = self.score_of(values)
        if score >= self.score:
            return False
        self.values, self.score, self.improved = list(values), score, True
        return True

    def short_wishes(self, level: int) -> list[int]:
        """Return the wishes of a level that are short, largest weight first."""
        chosen = self.built.chosen
        found = [
            (self.values[short.index] * chosen.frame.wishes[index].weight, index)
            for index, short in chosen.short.items()
            if chosen.frame.wishes[index].level == level and self.values[short.index]
        ]
        return [index for _, index in sorted(found, key=lambda pair: (-pair[0], pair[1]))]


class Repair:
    """A search that frees parts of a plan in turn, larger ones when small ones bring nothing."""

    def __init__(
        self,
        engine: Engine,
        incumbent: Incumbent,
        tell: Callable[[str], None],
        beyond: Set[int] = frozenset(),
    ) -> None:
        """Take the plan to improve.

        ``tell`` is called with what is searched after every step; wishes ``beyond`` reach are not repaired.
        """
        self._beyond = beyond
        self._engine = engine
        self._best = incumbent
        self._tell = tell
        chosen = incumbent.built.chosen
        farm = chosen.farm
        self._first_cuts: dict[str, list[tuple[RaftSet, list[int]]]] = defaultdict(list)
        for option in chosen.options.raft_sets:
            number = min((step.number for step in option.cuttings), default=0)
            firsts = [step.day for step in option.cuttings if step.number == number]
            self._first_cuts[option.crop].append((option, firsts))
        self._stay = {
            name: crop.raft.days + crop.raft.wait + (crop.cuts - 1) * crop.cut_interval
            for name, crop in farm.crops.items()
        }

    def shortages(self, until: float) -> None:
        """Free the plants that could fill each short delivery, round by round more of them."""
        for number, around in enumerate(ROUNDS, 1):
            for level in (1, 2):
                for part in self._around_shortages(level, around):
                    if self._engine.stopped or self._engine.spent >= until:
                        return
                    seconds = min(around.seconds, until - self._engine.spent)
                    self._step(part, seconds, f"filling shortages, round {number}", FLEXIBLE_UNIT * 0.9)
            if not self._short(1) and not self._short(2):
                return

    def _short(self, level: int) -> list[int]:
        return [index for index in self._best.short_wishes(level) if index not in self._beyond]

    def sweep(self, until: float) -> None:
        """Free stretches of weeks one after another, all crops, to save cost; wider when nothing is won."""
        frame = self._best.built.chosen.frame
        width = 14
        while not self._engine.stopped and self._engine.spent < until:
            gained = False
            for first in range(frame.start, frame.end, width):
                if self._engine.stopped or self._engine.spent >= until:
                    return
                part = Part(crops=frozenset(), first=first, last=first + 2 * width)
                gained |= self._step(part, 4.0, "saving seed, work and space")
            if not gained:
                if width >= frame.end - frame.start:
                    return
                width *= 2

    def _step(self, part: Part, seconds: float, phase: str, gap: float = 0.0) -> bool:
        built = self._best.built
        cut = self._best.parts.cut(self._best.values, part.variables(built.chosen))
        answer = self._engine.run(cut.model, seconds, cut.hint, gap=gap)
        better = answer.values is not None and self._best.take(cut.whole(self._best.values, answer.values))
        self._tell(phase)
        return better

    def _around_shortages(self, level: int, around: "Around") -> Iterator[Part]:
        """Yield a part for each short wish that is still short when its turn comes; each part once."""
        chosen = self._best.built.chosen
        seen: set[Part] = set()
        for index in self._short(level):
            if not self._best.values[chosen.short[index].index]:
                continue
            part = self._part_for(index, around)
            if part is not None and part not in seen:
                seen.add(part)
                yield part

    def _part_for(self, index: int, around: "Around") -> Part | None:
        """Return the part that could fill a wish: the crops that serve it, on the raft days that serve it."""
        frame = self._best.built.chosen.frame
        wish = frame.wishes[index]
        crops = set(frame.farm.products[wish.product].sources)
        days = [
            option.day
            for crop in crops
            for option, firsts in self._first_cuts[crop]
            if any(frame.serves(day, wish) for day in firsts)
        ]
        if not days:
            return None
        if around.neighbours:
            crops |= self._neighbours(crops, around.neighbours)
        # Whole weeks, so that shortages close together free the same part once.
        first = (min(days) - around.days) // 7 * 7
        return Part(crops=frozenset(crops), first=first, last=-(-(max(days) + around.days) // 7) * 7)

    def _neighbours(self, crops: set[str], most: int) -> set[str]:
        """Return crops that share a row with some crops, nearest stay first."""
        chosen = self._best.built.chosen
        bundles = {q.bundle for q in chosen.queues if q.raft_class.crop in crops}
        shared = {q.raft_class.crop for q in chosen.queues if q.bundle in bundles} - crops
        stay = max(self._stay[crop] for crop in crops)
        ranked = sorted(shared, key=lambda crop: (abs(self._stay[crop] - stay), crop))
        return set(ranked[:most])


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """How much to free around a short delivery: days before and after, other crops, and seconds to spend."""

    days: int
    neighbours: int
    seconds: float


ROUNDS = (
    Around(days=0, neighbours=0, seconds=2.0),
    Around(days=7, neighbours=2, seconds=4.0),
    Around(days=14, neighbours=4, seconds=6.0),
    Around(days=21, neighbours=8, seconds=9.0),
    Around(days=42, neighbours=100, seconds=15.0),
)
"""Rounds of repair: narrow and quick first, wide and slow where that brings nothing."""
