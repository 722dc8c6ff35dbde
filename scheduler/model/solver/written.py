"""A model read back as plain rows: linear constraints and implications, the only ones the rules make."""

from array import array
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.sat import cp_model_pb2
from ortools.sat.python.cp_model import CpModel

from scheduler.model.solver.exported import exported
from scheduler.model.variables.decisions import PULSE_EVERY, Pulse, no_pulse

Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Row:
    """One linear constraint: lowest and highest value, terms, and the literals that switch it on."""

    low: int
    high: int
    terms: tuple[tuple[int, int], ...]
    when: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A whole model as arrays: a large one as objects, a row each, took ten times the memory (measured).

    Attributes:
        lowest, highest: limits of each variable.
        objective: variable -> its weight in the goal.
        starts: where the terms of each row begin, and behind the last of all.
        variables, weights: the terms.
        low, high: lowest and highest value of each row.
        switched: number of each literal's row, in order; literals: what switches that row on.
    """

    lowest: Numbers
    highest: Numbers
    objective: dict[int, int]
    starts: Numbers
    variables: Numbers
    weights: Numbers
    low: Numbers
    high: Numbers
    switched: Numbers
    literals: Numbers

    def rows(self, first: int = 0, end: int | None = None) -> Iterator[Row]:
        """Yield the rows from ``first`` up to, not including, ``end``, as objects."""
        for row in range(first, len(self.low) if end is None else end):
            terms = slice(self.starts[row], self.starts[row + 1])
            when = slice(*np.searchsorted(self.switched, (row, row + 1)))
            yield Row(
                int(self.low[row]),
                int(self.high[row]),
                tuple(zip(self.variables[terms].tolist(), self.weights[terms].tolist(), strict=True)),
                tuple(self.literals[when].tolist()),
            )


def read_model(model: CpModel, pulse: Pulse = no_pulse) -> Written:
    """Read a model; ``pulse`` is called on the way.

    By way of its bytes, as its own objects are read four times as slowly one by one (measured); these are
    read where no file takes the bytes.

    Raises:
        ValueError: a constraint is of a kind no rule makes.
    """
    contents = exported(model)
    pulse()
    # both kinds of objects have the same names in them
    proto: Any = model.proto if contents is None else cp_model_pb2.CpModelProto.FromString(contents)
    del contents
    reading = _Reading()
    for number, constraint in enumerate(proto.constraints):
        if not number % PULSE_EVERY:
            pulse()
        reading.add(constraint)
    pulse()
    # the solver's own lists take no index from behind
    domains = [tuple(variable.domain) for variable in proto.variables]
    return Written(
        lowest=_numbers(domain[0] for domain in domains),
        highest=_numbers(domain[-1] for domain in domains),
        objective=dict(zip(proto.objective.vars, proto.objective.coeffs, strict=True)),
        starts=_array(reading.starts),
        variables=_array(reading.variables),
        weights=_array(reading.weights),
        low=_array(reading.low),
        high=_array(reading.high),
        switched=_array(reading.switched),
        literals=_array(reading.literals),
    )


def variable_of(literal: int) -> int:
    """Return the variable of a literal: itself, or that which it negates."""
    return literal if literal >= 0 else -literal - 1


class _Reading:
    """Rows as they are read; an implication becomes 'when these hold, that literal is 1'."""

    def __init__(self) -> None:
        self.starts, self.variables, self.weights = array("q", [0]), array("q"), array("q")
        self.low, self.high = array("q"), array("q")
        self.switched, self.literals = array("q"), array("q")

    def add(self, constraint: Any) -> None:
        """Add the rows of one constraint."""
        when = tuple(constraint.enforcement_literal)
        kind = _kind(constraint)
        if kind == "linear":
            linear = constraint.linear
            self.variables.extend(linear.vars)
            self.weights.extend(linear.coeffs)
            domain = tuple(linear.domain)
            self._end(domain[0], domain[-1], when)
        elif kind == "bool_and":
            for literal in constraint.bool_and.literals:
                self.variables.append(variable_of(literal))
                self.weights.append(1)
                self._end(int(literal >= 0), int(literal >= 0), when)
        else:
            raise ValueError("a constraint that is neither linear nor an implication")

    def _end(self, low: int, high: int, when: Sequence[int]) -> None:
        """End a row whose terms are there."""
        if when:
            self.literals.extend(when)
            self.switched.extend([len(self.low)] * len(when))
        self.starts.append(len(self.variables))
        self.low.append(low)
        self.high.append(high)


def _kind(constraint: Any) -> str | None:
    """Return the kind of a constraint, be it a message or one of the solver's own objects."""
    if isinstance(constraint, cp_model_pb2.ConstraintProto):
        return constraint.WhichOneof("constraint")
    return next((kind for kind in ("linear", "bool_and") if getattr(constraint, f"has_{kind}")()), None)


def _array(numbers: "array[int]") -> Numbers:
    """Return numbers as an array of their own memory, with no copy made."""
    return np.frombuffer(numbers, dtype=np.int64) if numbers else np.zeros(0, dtype=np.int64)


def _numbers(numbers: Iterable[int]) -> Numbers:
    return np.fromiter(numbers, dtype=np.int64)
