"""The best plan so far, and how another one is judged against it."""

from collections.abc import Container, Mapping, Sequence

from scheduler.farm.units import MILLI
from scheduler.model.build import Built
from scheduler.model.goals import Term, every_goal
from scheduler.model.search.part import Parts

Score = tuple[int, int, int]
"""Firm shortage, flexible shortage, cost with simplicity: compared in this order."""


class Incumbent:
    """The best plan so far.

    Attributes:
        built: the model it is an answer of.
        parts: cuts parts out of that model.
        values: a value for every variable.
        score: what the answer reaches; less is better.
        improved: whether any answer was taken after the first.
        version: grows with each answer taken.
        held: variables that no step may change.
    """

    def __init__(
        self,
        built: Built,
        parts: Parts,
        values: Sequence[int],
        goal: Sequence[Term] | None = None,
        change: Sequence[Term] = (),
    ) -> None:
        """Score the first values; by one ``goal`` alone where it is given.

        ``change`` are the points of what differs from an earlier plan; they count like those of simplicity.
        """
        chosen = built.chosen
        self.built, self.parts, self.values = built, parts, list(values)
        self.improved, self.version = False, 0
        self.held: frozenset[int] = frozenset()
        terms: list[Sequence[Term]] = [one.terms for one in every_goal(chosen)]
        if goal is not None:
            terms = [goal, (), (), ()]
        terms[3] = [*terms[3], *change]
        self._weights = tuple(_weights(some) for some in terms)
        self._totals = self._totals_of(self.values)
        self.score = _score(self._totals)

    def _totals_of(self, values: Sequence[int]) -> list[int]:
        return [sum(w * values[index] for index, w in weights.items()) for weights in self._weights]

    def score_of(self, values: Sequence[int]) -> Score:
        """Return the score of an answer; less is better."""
        return _score(self._totals_of(values))

    def take(self, values: Sequence[int] | None) -> bool:
        """Keep an answer if it is better; say whether it was."""
        if values is None:
            return False
        totals = self._totals_of(values)
        if _score(totals) >= self.score:
            return False
        self._keep(list(values), totals)
        return True

    def take_changes(self, changes: Mapping[int, int], since: int, *, as_short: bool = False) -> bool:
        """Keep some variables' new values if the answer is better with them, and allowed.

        ``since`` is the version the changes were found from: where others came between, the limits of what
        has changed are looked at again. ``as_short`` takes another answer too that is no shorter of anything,
        whatever it costs.
        """
        changes = {index: value for index, value in changes.items() if value != self.values[index]}
        totals = [
            total
            + sum(weights.get(index, 0) * (value - self.values[index]) for index, value in changes.items())
            for total, weights in zip(self._totals, self._weights, strict=True)
        ]
        is_good = bool(changes) and _score(totals)[:2] <= self.score[:2]
        if not (as_short and is_good) and _score(totals) >= self.score:
            return False
        values = list(self.values)
        for index, value in changes.items():
            values[index] = value
        if since != self.version and not self.parts.allows(values, changes):
            return False
        self._keep(values, totals)
        return True

    def _keep(self, values: list[int], totals: list[int]) -> None:
        self.values, self._totals, self.score = values, totals, _score(totals)
        self.improved, self.version = True, self.version + 1

    def units_short(self, level: int, but: Container[int] = ()) -> int:
        """Return the units a level of wishes is short of, whatever they weigh; some left out."""
        short = self.built.chosen.short
        return sum(self.values[short[index].index] for index in self.short_wishes(level) if index not in but)

    def part_short(self, level: int) -> float:
        """Return the part of a level's units that is short, whatever they weigh."""
        wishes = self.built.chosen.frame.wishes
        wanted = sum(wish.amount for wish in wishes if wish.level == level)
        return self.units_short(level) / wanted if wanted else 0.0

    def served(self) -> set[int]:
        """Return the wishes that some batch, new or growing, could serve at all."""
        chosen = self.built.chosen
        return {chosen.parcels[number].wish for _, _, number in chosen.fills}

    def short_wishes(self, level: int) -> list[int]:
        """Return the wishes of a level that are short, largest weight first."""
        chosen = self.built.chosen
        found = [
            (self.values[short.index] * chosen.frame.wishes[index].weight, index)
            for index, short in chosen.short.items()
            if chosen.frame.wishes[index].level == level and self.values[short.index]
        ]
        return [index for _, index in sorted(found, key=lambda pair: (-pair[0], pair[1]))]


def _weights(terms: Sequence[Term]) -> dict[int, int]:
    weights: dict[int, int] = {}
    for weight, variable in terms:
        weights[variable.index] = weights.get(variable.index, 0) + weight
    return weights


def _score(totals: Sequence[int]) -> Score:
    firm, flexible, money, points = totals
    return firm, flexible, money // MILLI + points
