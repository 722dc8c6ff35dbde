"""A model without its whole numbers: what a linear program makes of it, in no time."""

import math

from ortools.math_opt import model_pb2  # type: ignore[import-untyped]
from ortools.math_opt.python import mathopt  # type: ignore[import-untyped]
from ortools.sat.python.cp_model import CpModel

from scheduler.model.solver.written import Written, read_model
from scheduler.model.variables.decisions import Pulse, no_pulse

NO_LIMIT = 2**62


def fractions_of(model: CpModel, pulse: Pulse = no_pulse) -> list[float] | None:
    """Return a value for every variable of a model in fractions, at the least goal; None without an answer.

    Rules that hold only under a condition are left out.
    """
    written = read_model(model, pulse)
    program = mathopt.Model.from_model_proto(_proto(written))
    result = mathopt.solve(program, mathopt.SolverType.GLOP)
    if not result.solutions or result.solutions[0].primal_solution is None:
        return None
    values = result.solutions[0].primal_solution.variable_values
    found = {variable.id: value for variable, value in values.items()}
    return [found.get(number, 0.0) for number in range(len(written.lowest))]


def _proto(written: Written) -> model_pb2.ModelProto:
    proto = model_pb2.ModelProto()
    columns, rows, matrix = proto.variables, proto.linear_constraints, proto.linear_constraint_matrix
    for number, limits in enumerate(zip(written.lowest.tolist(), written.highest.tolist(), strict=True)):
        columns.ids.append(number)
        columns.lower_bounds.append(limits[0])
        columns.upper_bounds.append(limits[1])
        columns.integers.append(False)
    for number, row in enumerate(row for row in written.rows() if not row.when):
        rows.ids.append(number)
        rows.lower_bounds.append(row.low if row.low > -NO_LIMIT else -math.inf)
        rows.upper_bounds.append(row.high if row.high < NO_LIMIT else math.inf)
        weights: dict[int, int] = {}
        for column, weight in row.terms:
            weights[column] = weights.get(column, 0) + weight
        for column, weight in sorted(weights.items()):
            matrix.row_ids.append(number)
            matrix.column_ids.append(column)
            matrix.coefficients.append(weight)
    for column, weight in sorted(written.objective.items()):
        proto.objective.linear_coefficients.ids.append(column)
        proto.objective.linear_coefficients.values.append(weight)
    return proto
