"""CP-SAT as a well-behaved part: limits, stopping, hints, and answers that say what was proven."""

import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from scheduler.model.settings import SolveSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What one run gave.

    Attributes:
        values: a value for every variable, or None when nothing was found.
        objective, bound: of the run's own objective.
        proven: True when nothing better exists; without values, when the model has no answer at all.
    """

    values: list[int] | None
    objective: float
    bound: float
    proven: bool


class SolverFault(Exception):
    """The solver refused a model or contradicted itself: our fault, never the grower's."""


class Stopped(Exception):
    """The search was to end while something was being made ready for it: what was begun is of no use."""


class Engine:
    """Runs models one after another within one time budget.

    In deterministic mode time is the solver's own deterministic time, so that the same book gives the same
    plan on a slow machine and a fast one; otherwise it is the clock.
    """

    def __init__(self, settings: SolveSettings, stop: threading.Event | None = None) -> None:
        """Start the clock of a whole search."""
        self.settings = settings
        self._stop = stop or threading.Event()
        self._started = time.monotonic()
        self._spent = 0.0
        self._lock = threading.Lock()

    @property
    def stopped(self) -> bool:
        """Whether the user asked to stop, or the time is up."""
        return self._stop.is_set() or self.left <= 0

    @property
    def asked_to_stop(self) -> bool:
        """Whether the user asked to stop."""
        return self._stop.is_set()

    def check(self) -> None:
        """Do nothing while the search may go on.

        Raises:
            Stopped: the user asked to stop, or the time is up.
        """
        if self.stopped:
            raise Stopped

    @property
    def hands(self) -> int:
        """Runs that may go side by side; one in deterministic mode, where their order must not matter."""
        return 1 if self.settings.deterministic else max(1, self.settings.workers)

    @property
    def spent(self) -> float:
        """Seconds (deterministic mode: the solver's units) used so far."""
        if self.settings.deterministic:
            return self._spent
        return time.monotonic() - self._started

    @property
    def left(self) -> float:
        """Seconds left of the whole search."""
        return self.settings.seconds - self.spent

    def run(
        self,
        model: cp_model.CpModel,
        seconds: float,
        hint: Sequence[int] | None = None,
        gap: float = 0.0,
        alone: bool = True,
    ) -> Answer:
        """Solve a model for at most ``seconds``, and never past the end of the whole search.

        ``gap`` is how far from proven the answer may be for the search to end. A run that is not ``alone``
        leaves the other workers to runs beside it.

        Raises:
            SolverFault: the model is not valid.
        """
        if fault := model.validate():
            raise SolverFault(fault.splitlines()[0])
        if hint is not None:
            model.clear_hints()  # type: ignore[no-untyped-call]
            model.proto.solution_hint.vars.extend(range(len(hint)))
            model.proto.solution_hint.values.extend(hint)
        solver = self._solver(max(0.05, min(seconds, self.left)))
        if not alone:
            solver.parameters.num_workers = 1
        solver.parameters.absolute_gap_limit = gap
        status = self._solve(solver, model)
        with self._lock:
            self._spent += solver.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            nothing = status == cp_model.INFEASIBLE
            return Answer(values=None, objective=float("inf"), bound=float("-inf"), proven=nothing)
        return Answer(
            values=list(solver.response_proto.solution),
            objective=solver.objective_value,
            bound=solver.best_objective_bound,
            proven=status == cp_model.OPTIMAL and not gap,
        )

    def _solver(self, seconds: float) -> cp_model.CpSolver:
        solver = cp_model.CpSolver()
        parameters = solver.parameters
        parameters.random_seed = self.settings.seed
        # The solver's own handler would kill the process on the next Ctrl-C.
        parameters.catch_sigint_signal = False
        # Probing and symmetry cost more than they bring on these models (measured).
        parameters.cp_model_probing_level = 0
        parameters.symmetry_level = 0
        if self.settings.deterministic:
            parameters.num_workers = 1
            parameters.max_deterministic_time = seconds
        else:
            parameters.num_workers = max(1, self.settings.workers)
            parameters.max_time_in_seconds = seconds
        return solver

    def _solve(self, solver: cp_model.CpSolver, model: cp_model.CpModel) -> cp_model.CpSolverStatus:
        """Solve while a second thread watches for a wish to stop; it asks again, as one ask can be lost."""
        done = threading.Event()

        def watch() -> None:
            while not done.wait(0.1):
                if self._stop.is_set():
                    solver.stop_search()

        watcher = threading.Thread(target=watch, daemon=True)
        watcher.start()
        try:
            return solver.solve(model)
        finally:
            done.set()
            watcher.join()
