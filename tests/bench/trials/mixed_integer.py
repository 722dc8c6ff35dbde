"""The planner's model for solvers of mixed-integer programs: SCIP and HiGHS.

Conditions become limits that a large enough number lifts; the number is the least that does, from the
limits of the variables themselves.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass

import highspy
import numpy as np
from ortools.linear_solver import pywraplp

from scheduler.model.build import Built
from scheduler.model.solver.written import Row, Written, read_model, variable_of

from .highs import new_solver

OPEN = 2**62
"""From here on a limit means that there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Seconds, threads, and how far from proven the end may be; None for the solver's own default."""

    seconds: float
    workers: int = 1
    gap: float | None = None


Told = Callable[[float, list[int]], None]
"""Called with seconds and the values of each better answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Values of the best answer, None without one, the limit of the goal, and whether they meet."""

    values: list[int] | None
    bound: float
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixed:
    """A mixed-integer program: (low, high) of each whole variable, costs, and rows without conditions."""

    limits: list[tuple[int, int]]
    costs: dict[int, int]
    rows: list[Row]


def converted(built: Built) -> Mixed:
    """Return a model without conditions that has the same answers."""
    written = read_model(built.model)
    limits = list(zip(written.lowest.tolist(), written.highest.tolist(), strict=True))
    rows = [plain for row in written.rows() for plain in _plain(row, limits)]
    return Mixed(limits=limits, costs=_costs(written), rows=rows)


def _costs(written: Written) -> dict[int, int]:
    return {variable: weight for variable, weight in written.objective.items() if weight}


def _plain(row: Row, limits: list[tuple[int, int]]) -> list[Row]:
    """Return a row as one or two without conditions."""
    if not row.when:
        return [row]
    least = sum(w * limits[v][0 if w > 0 else 1] for v, w in row.terms)
    most = sum(w * limits[v][1 if w > 0 else 0] for v, w in row.terms)
    found = []
    if row.high < OPEN and most > row.high:
        found.append(_lifted(row, row.high - most, (-OPEN, row.high)))
    if row.low > -OPEN and least < row.low:
        found.append(_lifted(row, row.low - least, (row.low, OPEN)))
    return found


def _lifted(row: Row, by: int, limits: tuple[int, int]) -> Row:
    """Add ``by`` for each condition that is not met, so that the row holds whatever its terms are."""
    terms, shift = list(row.terms), 0
    for literal in row.when:
        if literal >= 0:
            terms.append((variable_of(literal), -by))
            shift -= by
        else:
            terms.append((variable_of(literal), by))
    low, high = limits
    return Row(
        low if low <= -OPEN else low + shift,
        high if high >= OPEN else high + shift,
        _summed(terms),
        (),
    )


def _summed(terms: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    total: dict[int, int] = {}
    for variable, weight in terms:
        total[variable] = total.get(variable, 0) + weight
    return tuple(total.items())


def by_highs(mixed: Mixed, limits: Limits, told: Told) -> Found:
    """Solve with HiGHS."""
    started = time.monotonic()
    solver = new_solver(limits.workers)
    solver.setOptionValue("time_limit", limits.seconds)
    if limits.gap is not None:
        solver.setOptionValue("mip_rel_gap", limits.gap)
    solver.passModel(_program(mixed))

    def better(event: object) -> None:
        told(time.monotonic() - started, _whole(event.data_out.mip_solution))  # type: ignore[attr-defined]

    solver.cbMipImprovingSolution += better
    solver.solve()
    info, status = solver.getInfo(), solver.getModelStatus()
    has_one = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    return Found(
        values=_whole(solver.getSolution().col_value) if has_one else None,
        bound=info.mip_dual_bound,
        proven=status == highspy.HighsModelStatus.kOptimal,
    )


def _whole(values: object) -> list[int]:
    return [round(value) for value in values]  # type: ignore[attr-defined]


def _program(mixed: Mixed) -> highspy.HighsLp:
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = len(mixed.limits), len(mixed.rows)
    program.col_cost_ = np.array([float(mixed.costs.get(v, 0)) for v in range(len(mixed.limits))])
    program.col_lower_ = np.array([float(low) for low, _ in mixed.limits])
    program.col_upper_ = np.array([float(high) for _, high in mixed.limits])
    program.integrality_ = [highspy.HighsVarType.kInteger] * len(mixed.limits)
    program.row_lower_ = np.array([_limit(row.low) for row in mixed.rows])
    program.row_upper_ = np.array([_limit(row.high) for row in mixed.rows])
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.cumsum([0, *(len(row.terms) for row in mixed.rows)])
    matrix.index_ = np.array([v for row in mixed.rows for v, _ in row.terms], dtype=np.int32)
    matrix.value_ = np.array([float(w) for row in mixed.rows for _, w in row.terms])
    return program


def _limit(number: int) -> float:
    if abs(number) >= OPEN:
        return highspy.kHighsInf if number > 0 else -highspy.kHighsInf
    return float(number)


def by_scip(mixed: Mixed, limits: Limits, _told: Told) -> Found:
    """Solve with SCIP as OR-Tools has it; it tells nothing on the way.

    Raises:
        RuntimeError: this OR-Tools was made without SCIP.
    """
    solver = pywraplp.Solver.CreateSolver("SCIP")
    if solver is None:
        raise RuntimeError("OR-Tools has no SCIP here")
    # Its own clock counts time on all cores; the others here are held to the time on the wall.
    solver.SetSolverSpecificParametersAsString("timing/clocktype = 2\n")
    solver.SetTimeLimit(int(limits.seconds * 1000))
    solver.SetNumThreads(limits.workers)
    variables = [solver.IntVar(low, high, "") for low, high in mixed.limits]
    goal = solver.Objective()
    goal.SetMinimization()
    for variable, weight in mixed.costs.items():
        goal.SetCoefficient(variables[variable], weight)
    for row in mixed.rows:
        low = -solver.infinity() if row.low <= -OPEN else row.low
        limit = solver.Constraint(low, solver.infinity() if row.high >= OPEN else row.high)
        for variable, weight in row.terms:
            limit.SetCoefficient(variables[variable], weight)
    asked = pywraplp.MPSolverParameters()
    if limits.gap is not None:
        asked.SetDoubleParam(asked.RELATIVE_MIP_GAP, limits.gap)
    status = solver.Solve(asked)
    has_one = status in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE)
    return Found(
        values=[round(v.solution_value()) for v in variables] if has_one else None,
        bound=goal.BestBound(),
        proven=status == pywraplp.Solver.OPTIMAL,
    )
