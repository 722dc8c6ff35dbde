"""The rows of a model as arrays, and a part of it written as the text of a model of its own.

Taking parts out is done hundreds of times in a search. One row after another as objects took as long as
solving the parts (measured), so whole parts are handled at once.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from scheduler.model.solver.written import Numbers, Written, variable_of

_OPEN = 2**62
"""From here on a limit means that there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Rows of a part: ``numbers`` they have in the model, the least and the most they may add up to.

    What one of them adds up lies in ``variables`` (places in the part) and ``weights`` from its start up to
    its end.
    """

    numbers: Numbers
    starts: Numbers
    ends: Numbers
    low: Numbers
    high: Numbers
    variables: Numbers
    weights: Numbers


class Sparse:
    """Constraints by row and by variable; read once from a model."""

    def __init__(self, written: Written) -> None:
        """Take a model as it was read."""
        self._starts, self._variables, self._weights = written.starts, written.variables, written.weights
        self._low, self._high = written.low, written.high
        self._lowest, self._highest = written.lowest, written.highest
        self._goal = np.zeros(len(self._lowest), dtype=np.int64)
        self._goal[list(written.objective)] = list(written.objective.values())
        self._literals = written.literals
        rows = np.arange(len(self._low) + 1)
        self._literals_start = np.searchsorted(written.switched, rows)
        switches = np.where(self._literals >= 0, self._literals, -self._literals - 1)
        owners = np.concatenate([self._variables, switches])
        numbers = np.concatenate([np.repeat(rows[:-1], np.diff(self._starts)), written.switched])
        order = np.argsort(owners, kind="stable")
        self._rows_of = numbers[order].astype(np.int32)
        self._rows_start = np.searchsorted(owners[order], np.arange(len(self._lowest) + 1))

    def variables_of(self, row: int) -> set[int]:
        """Return the variables of a row, those that switch it on included."""
        terms = self._variables[self._starts[row] : self._starts[row + 1]].tolist()
        literals = self._literals[self._literals_start[row] : self._literals_start[row + 1]].tolist()
        return {*terms, *(variable_of(literal) for literal in literals)}

    def part(self, values: Numbers, free: Numbers, most: Mapping[int, int], highs: Mapping[int, int]) -> str:
        """Return a model of the ``free`` variables (in order) in the text form of the solver's models.

        All others keep their ``values``; rows that then hold whatever is chosen are left out. ``most`` lowers
        upper limits of variables, ``highs`` gives rows another highest value.
        """
        place = np.full(len(values), -1, dtype=np.int64)
        place[free] = np.arange(len(free))
        high = self._highest[free]
        for variable, limit in most.items():
            if place[variable] >= 0:
                high[place[variable]] = min(high[place[variable]], limit)
        low = self._lowest[free]
        limits = zip(low.tolist(), high.tolist(), strict=True)
        text = [f"variables{{domain:[{first},{last}]}}" for first, last in limits]
        tops = self._high.copy() if highs else self._high
        tops[list(highs)] = list(highs.values())
        text += self._constraints(values, place, (self._touched(free), tops), (low, high))
        goal = np.flatnonzero(self._goal[free])
        if len(goal):
            text.append(f"objective{{vars:{goal.tolist()} coeffs:{self._goal[free][goal].tolist()}}}")
        return "\n".join(text)

    def broken(self, values: Numbers) -> list[int]:
        """Return the numbers of the rows that do not hold, in order."""
        sums = _sums(self._weights * values[self._variables], self._starts)
        found = np.flatnonzero((sums < self._low) | (sums > self._high))
        broken: list[int] = self._switched_on(found, values).tolist()
        return broken

    def allows(self, values: Numbers, changed: Numbers) -> bool:
        """Say whether every row holds in which one of the changed variables stands."""
        rows = self._touched(changed)
        counts = self._starts[rows + 1] - self._starts[rows]
        spans = _spans(self._starts[rows], self._starts[rows + 1])
        sums = _sums(self._weights[spans] * values[self._variables[spans]], _starts(counts))
        outside = rows[(sums < self._low[rows]) | (sums > self._high[rows])]
        return not len(self._switched_on(outside, values))

    def _switched_on(self, rows: Numbers, values: Numbers) -> Numbers:
        """Return those of some rows that count: all that switches one on is so."""
        first, end = self._literals_start[rows], self._literals_start[rows + 1]
        literals = self._literals[_spans(first, end)]
        held = np.where(literals >= 0, values[literals] == 1, values[-literals - 1] != 1)
        off = _sums((~held).astype(np.int64), _starts(end - first))
        on: Numbers = rows[off == 0]
        return on

    def beyond(self, values: Numbers) -> list[int]:
        """Return the variables whose value lies outside their own limits."""
        outside: list[int] = np.flatnonzero((values < self._lowest) | (values > self._highest)).tolist()
        return outside

    def _touched(self, free: Numbers) -> Numbers:
        """Return the rows in which a free variable stands, in order."""
        spans = _spans(self._rows_start[free], self._rows_start[free + 1])
        return np.unique(self._rows_of[spans])

    def _constraints(
        self,
        values: Numbers,
        place: Numbers,
        touched: tuple[Numbers, Numbers],
        limits: tuple[Numbers, Numbers],
    ) -> list[str]:
        """Write the rows ``touched``, given with the highest values of all rows."""
        rows = self._left_of_rows(values, place, touched, limits)
        terms, factors = rows.variables.tolist(), rows.weights.tolist()
        bounds = zip(
            rows.numbers.tolist(),
            rows.starts.tolist(),
            rows.ends.tolist(),
            rows.low.tolist(),
            rows.high.tolist(),
            strict=True,
        )
        text = []
        for row, first, last, lowest, highest in bounds:
            when = self._when(row, values, place)
            if when is not None:
                text.append(
                    f"constraints{{{when}linear{{vars:{terms[first:last]} coeffs:{factors[first:last]} "
                    f"domain:[{lowest},{highest}]}}}}"
                )
        return text

    def _left_of_rows(
        self,
        values: Numbers,
        place: Numbers,
        touched: tuple[Numbers, Numbers],
        limits: tuple[Numbers, Numbers],
    ) -> _Rows:
        """Return what is left of rows once all but the free variables are put in as numbers.

        Rows that hold whatever the free variables are within ``limits`` are left out.
        """
        rows, tops = touched
        spans = _spans(self._starts[rows], self._starts[rows + 1])
        counts = self._starts[rows + 1] - self._starts[rows]
        starts = _starts(counts)
        variables, weights = self._variables[spans], self._weights[spans]
        at = place[variables]
        given = at < 0
        fixed = _sums(np.where(given, weights * values[variables], 0), starts)
        owner = np.repeat(np.arange(len(rows)), counts)[~given]
        at, weights = at[~given], weights[~given]
        starts = np.searchsorted(owner, np.arange(len(rows) + 1))
        ends = [weights * limit[at] for limit in limits]
        least, greatest = _sums(np.minimum(*ends), starts), _sums(np.maximum(*ends), starts)
        low, high = self._low[rows], tops[rows]
        low = np.where(low <= -_OPEN, low, low - fixed)
        high = np.where(high >= _OPEN, high, high - fixed)
        kept = np.flatnonzero((least < low) | (greatest > high))
        return _Rows(
            numbers=rows[kept],
            starts=starts[kept],
            ends=starts[kept + 1],
            low=low[kept],
            high=high[kept],
            variables=at,
            weights=weights,
        )

    def _when(self, row: int, values: Numbers, place: Numbers) -> str | None:
        """Return what switches a row on, as text; None where something given switches it off."""
        found = []
        first, end = self._literals_start[row : row + 2].tolist()
        for literal in self._literals[first:end].tolist() if first < end else ():
            variable = variable_of(literal)
            if place[variable] >= 0:
                at = int(place[variable])
                found.append(at if literal >= 0 else -at - 1)
            elif (values[variable] == 1) != (literal >= 0):
                return None
        return f"enforcement_literal:{found} " if found else ""


def _starts(counts: Numbers) -> Numbers:
    return np.concatenate([np.zeros(1, dtype=np.int64), np.cumsum(counts)])


def _spans(starts: Numbers, ends: Numbers) -> Numbers:
    """Return all numbers from each start up to its end, one span behind another."""
    counts = ends - starts
    before = np.cumsum(counts) - counts
    found: Numbers = np.arange(counts.sum(), dtype=np.int64) + np.repeat(starts - before, counts)
    return found


def _sums(amounts: Numbers, starts: Numbers) -> Numbers:
    """Add up the amounts of each row, exactly; those of one lie between two ``starts``."""
    total = _starts(amounts)
    found: Numbers = total[starts[1:]] - total[starts[:-1]]
    return found
