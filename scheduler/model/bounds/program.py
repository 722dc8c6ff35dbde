"""A linear program in whole numbers, and the limit that its dual prices prove.

The solver works in floating point. What it returns is only taken as advice: any prices that are not
negative prove a limit, and that limit is worked out here in whole numbers.
"""

import math
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

from ortools.glop.parameters_pb2 import GlopParameters  # type: ignore[import-untyped]
from ortools.math_opt import model_pb2  # type: ignore[import-untyped]
from ortools.math_opt.python import mathopt  # type: ignore[import-untyped]
from ortools.util.python.solve_interrupter import SolveInterrupter  # type: ignore[import-untyped]

Term = tuple[int, int]
"""A column and its whole weight."""

FINE = 2**70
"""Prices are taken as whole parts of this."""


TICK = 0.1
"""Seconds between two looks at whether a run is to stop."""


def never() -> bool:
    """Say that a run is not to stop."""
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """When a run of the solver ends: by the clock, or by the solver's own units (the same everywhere).

    It also ends once ``stop`` says so.
    """

    seconds: float
    deterministic: bool = False
    stop: Callable[[], bool] = never

    def parameters(self) -> mathopt.SolveParameters:
        """Return what the solver is told.

        The dual simplex was faster than the primal one on the examples and the farms of the benchmark, and
        the prices it has when it is stopped prove something (measured).
        """
        dual = mathopt.LPAlgorithm.DUAL_SIMPLEX
        if self.deterministic:
            own = GlopParameters(max_deterministic_time=self.seconds)
            return mathopt.SolveParameters(glop=own, lp_algorithm=dual)
        return mathopt.SolveParameters(time_limit=timedelta(seconds=self.seconds), lp_algorithm=dual)

    @contextmanager
    def watched(self) -> Iterator[SolveInterrupter | None]:
        """Give what the solver listens to while a second thread asks whether it is to stop."""
        if self.stop is never:
            yield None
            return
        done, interrupter = threading.Event(), SolveInterrupter()

        def watch() -> None:
            while not done.wait(TICK):
                if self.stop():
                    interrupter.interrupt()
                    return

        watcher = threading.Thread(target=watch, daemon=True)
        watcher.start()
        try:
            yield interrupter
        finally:
            done.set()
            watcher.join()


class Program:
    """Columns from 0 upwards, and rows: weighted sums of columns that are at most a whole number.

    Every column has a limit that all plans keep. It is no row: it only takes the error out of the proof.
    """

    def __init__(self) -> None:
        self.most: list[int] = []
        self.rows: list[tuple[tuple[Term, ...], int]] = []

    def column(self, most: int) -> int:
        """Add a column that no plan needs above ``most``, and return its number."""
        self.most.append(most)
        return len(self.most) - 1

    def keep(self, terms: Iterable[Term], most: int) -> None:
        """Add a row: the sum of weight times column is at most ``most``; weights of one column add up."""
        weights: dict[int, int] = {}
        for column, weight in terms:
            weights[column] = weights.get(column, 0) + weight
        kept = tuple((column, weight) for column, weight in weights.items() if weight)
        if most < 0 or any(weight > 0 for _, weight in kept):
            self.rows.append((kept, most))

    def least(self, goal: Mapping[int, int], limit: Limit) -> Fraction | None:
        """Return a proven lower limit of a goal (column -> weight); None when there was no time for one."""
        if not goal:
            return Fraction(0)
        if limit.seconds <= 0 or limit.stop():
            return None
        prices = self._prices(goal, limit)
        return None if prices is None else self.proven(goal, prices)

    def _prices(self, goal: Mapping[int, int], limit: Limit) -> list[float] | None:
        """Return what one unit of each row would be worth, by the simplex method."""
        scale = math.gcd(*goal.values()) or 1
        model = mathopt.Model.from_model_proto(self._proto(goal, scale))
        with limit.watched() as interrupter:
            result = mathopt.solve(
                model, mathopt.SolverType.GLOP, params=limit.parameters(), interrupter=interrupter
            )
        if not result.solutions or result.solutions[0].dual_solution is None:
            return None
        values = result.solutions[0].dual_solution.dual_values
        found = {row.id: value for row, value in values.items()}
        return [max(0.0, -found[number]) * scale for number in range(len(self.rows))]

    def _proto(self, goal: Mapping[int, int], scale: int) -> model_pb2.ModelProto:
        proto = model_pb2.ModelProto()
        columns, rows = proto.variables, proto.linear_constraints
        columns.ids.extend(range(len(self.most)))
        columns.lower_bounds.extend([0.0] * len(self.most))
        columns.upper_bounds.extend([math.inf] * len(self.most))
        columns.integers.extend([False] * len(self.most))
        rows.ids.extend(range(len(self.rows)))
        rows.lower_bounds.extend([-math.inf] * len(self.rows))
        matrix = proto.linear_constraint_matrix
        for number, (terms, most) in enumerate(self.rows):
            unit = max(abs(weight) for _, weight in terms)
            rows.upper_bounds.append(most / unit)
            for column, weight in sorted(terms):
                matrix.row_ids.append(number)
                matrix.column_ids.append(column)
                matrix.coefficients.append(weight / unit)
        for column, weight in sorted(goal.items()):
            proto.objective.linear_coefficients.ids.append(column)
            proto.objective.linear_coefficients.values.append(weight / scale)
        return proto

    def proven(self, goal: Mapping[int, int], prices: Sequence[float]) -> Fraction:
        """Return the lower limit of a goal that prices prove: rows at their price, columns at their worst.

        Args:
            goal: column -> weight.
            prices: what one unit of each row would be worth, not negative; the row counts as divided by
                its greatest weight. Good prices prove much, but poor ones prove nothing wrong.
        """
        left = [goal.get(column, 0) * FINE for column in range(len(self.most))]
        total = 0
        for (terms, most), price in zip(self.rows, prices, strict=True):
            unit = max(abs(weight) for _, weight in terms)
            whole = math.floor(price / unit * FINE)
            if whole:
                total -= whole * most
                for column, weight in terms:
                    left[column] += whole * weight
        total += sum(worth * most for worth, most in zip(left, self.most, strict=True) if worth < 0)
        return Fraction(total, FINE)
