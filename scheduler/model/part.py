"""A part of a model on its own: some variables stay free, all others become numbers.

Handing the solver the whole model with most variables fixed gives the same answers, but it would spend
its time on taking the fixed ones out again (measured: seconds a step on a farm of 27 weeks).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python.cp_model import CpModel, IntVar, LinearExpr

from scheduler.model.decisions import PULSE_EVERY, Pulse, no_pulse
from scheduler.model.written import Row, read_model, variable_of

_OPEN = 2**62
"""From here on a limit means that there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartModel:
    """A part as a model of its own; ``index`` lists the whole model's variables it has, in its own order."""

    model: CpModel
    index: tuple[int, ...]
    hint: tuple[int, ...]

    def whole(self, values: Sequence[int], part: Sequence[int]) -> list[int]:
        """Put the part's answer into the whole one."""
        merged = list(values)
        for position, variable in enumerate(self.index):
            merged[variable] = part[position]
        return merged


class Parts:
    """Cuts parts out of one model; the model may hold linear constraints and implications only."""

    def __init__(self, model: CpModel, pulse: Pulse = no_pulse) -> None:
        """Read the model once; ``pulse`` is called here and while a part is cut, and may raise to end it."""
        self._pulse = pulse
        written = read_model(model, pulse)
        self._domains, self._objective, self._rows = written.domains, written.objective, written.rows
        self._of: dict[int, list[int]] = defaultdict(list)
        for number, row in enumerate(self._rows):
            if not number % PULSE_EVERY:
                pulse()
            for variable, _ in row.terms:
                self._of[variable].append(number)
            for literal in row.when:
                self._of[variable_of(literal)].append(number)

    def cut(self, values: Sequence[int], free: set[int], most: Mapping[int, int] | None = None) -> PartModel:
        """Return the part of the model in which only ``free`` variables may differ from ``values``.

        ``most`` lowers the upper limit of some of them.
        """
        model = CpModel()
        index = tuple(sorted(free))
        made = {}
        for variable in index:
            low, *_, high = self._domains[variable]
            made[variable] = model.new_int_var(low, min(high, (most or {}).get(variable, high)), "")
        numbers = {number for variable in index for number in self._of[variable]}
        for position, number in enumerate(sorted(numbers)):
            if not position % PULSE_EVERY:
                self._pulse()
            _add(model, self._rows[number], made, values)
        model.minimize(
            LinearExpr.weighted_sum(
                [made[v] for v in index if v in self._objective],
                [self._objective[v] for v in index if v in self._objective],
            )
        )
        return PartModel(model=model, index=index, hint=tuple(values[variable] for variable in index))

    def variables_of(self, row: int) -> set[int]:
        """Return the variables of a constraint, by its number in :meth:`broken`."""
        found = self._rows[row]
        return {variable for variable, _ in found.terms} | {variable_of(literal) for literal in found.when}

    def broken(self, values: Sequence[int]) -> list[int]:
        """Return the numbers of the constraints an answer breaks."""
        return [number for number, row in enumerate(self._rows) if not _kept(row, values)]

    def beyond(self, values: Sequence[int]) -> list[int]:
        """Return the variables whose value lies outside their own limits."""
        pairs = zip(self._domains, values, strict=True)
        return [index for index, (domain, value) in enumerate(pairs) if not domain[0] <= value <= domain[-1]]

    def allows(self, values: Sequence[int], changed: Iterable[int]) -> bool:
        """Say whether an answer keeps every constraint in which one of the changed variables stands."""
        numbers = {number for variable in changed for number in self._of[variable]}
        return all(_kept(self._rows[number], values) for number in numbers)

    def holds(self, values: Sequence[int]) -> bool:
        """Say whether an answer keeps every constraint and every variable's limits."""
        return not self.beyond(values) and all(_kept(row, values) for row in self._rows)


def _kept(row: Row, values: Sequence[int]) -> bool:
    if any((values[variable_of(literal)] == 1) != (literal >= 0) for literal in row.when):
        return True
    return row.low <= sum(weight * values[variable] for variable, weight in row.terms) <= row.high


def _add(model: CpModel, row: Row, made: dict[int, IntVar], values: Sequence[int]) -> None:
    """Add one constraint with the fixed variables' values taken out; one that is decided is left out."""
    when = []
    for literal in row.when:
        variable = variable_of(literal)
        if variable in made:
            when.append(made[variable] if literal >= 0 else ~made[variable])
        elif (values[variable] == 1) != (literal >= 0):
            return
    fixed = 0
    variables: list[IntVar] = []
    weights: list[int] = []
    for variable, weight in row.terms:
        if variable in made:
            variables.append(made[variable])
            weights.append(weight)
        else:
            fixed += weight * values[variable]
    if not variables and not when:
        return
    expression = LinearExpr.weighted_sum(variables, weights)
    low = row.low if row.low <= -_OPEN else row.low - fixed
    high = row.high if row.high >= _OPEN else row.high - fixed
    added = model.add_linear_constraint(expression, low, high)
    if when:
        added.only_enforce_if(*when)
