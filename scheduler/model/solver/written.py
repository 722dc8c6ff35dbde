"""A model read back as plain rows: linear constraints and implications, the only ones the rules make."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

from ortools.sat import cp_model_pb2
from ortools.sat.python.cp_model import CpModel

from scheduler.model.variables.decisions import PULSE_EVERY, Pulse, no_pulse


@dataclass(frozen=True, slots=True)
class Row:
    """One linear constraint: lowest and highest value, terms, and the literals that switch it on."""

    low: int
    high: int
    terms: tuple[tuple[int, int], ...]
    when: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A whole model: limits of each variable, weights of the goal, and rows."""

    domains: list[tuple[int, ...]]
    objective: dict[int, int]
    rows: list[Row]


def read_model(model: CpModel, pulse: Pulse = no_pulse) -> Written:
    """Read a model; ``pulse`` is called on the way.

    By way of a file, as its own objects are read four times as slowly one by one (measured).

    Raises:
        ValueError: a constraint is of a kind no rule makes.
    """
    with tempfile.TemporaryDirectory(prefix="raftway-") as folder:
        file = Path(folder) / "model.pb"
        if not model.export_to_file(str(file)):
            raise OSError(f"{file} could not be written")
        proto = cp_model_pb2.CpModelProto.FromString(file.read_bytes())
    rows: list[Row] = []
    for number, constraint in enumerate(proto.constraints):
        if not number % PULSE_EVERY:
            pulse()
        rows += _rows_of(constraint)
    return Written(
        domains=[tuple(variable.domain) for variable in proto.variables],
        objective=dict(zip(proto.objective.vars, proto.objective.coeffs, strict=True)),
        rows=rows,
    )


def variable_of(literal: int) -> int:
    """Return the variable of a literal: itself, or that which it negates."""
    return literal if literal >= 0 else -literal - 1


def _rows_of(constraint: cp_model_pb2.ConstraintProto) -> list[Row]:
    """Read one constraint; an implication becomes 'when these hold, that literal is 1'."""
    when = tuple(constraint.enforcement_literal)
    kind = constraint.WhichOneof("constraint")
    if kind == "linear":
        linear = constraint.linear
        return [
            Row(
                linear.domain[0], linear.domain[-1], tuple(zip(linear.vars, linear.coeffs, strict=True)), when
            )
        ]
    if kind == "bool_and":
        return [
            Row(int(literal >= 0), int(literal >= 0), ((variable_of(literal), 1),), when)
            for literal in constraint.bool_and.literals
        ]
    raise ValueError("a constraint that is neither linear nor an implication")
