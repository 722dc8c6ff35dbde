"""CP-SAT as a well-behaved part: limits, stopping, hints, and answers that say what was proven."""

import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from ortools.sat.python import cp_model
from ortools.sat.python.cp_model_helper import CpSolverResponse

from scheduler.model.settings import SolveSettings
from scheduler.model.solver import memory


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What one run gave.

    Attributes:
        values: a value for every variable, or None when nothing was found.
        objective, bound: of the run's own objective.
        proven: True when nothing better exists; without values, when the model has no answer at all.
        finished: whether the search came to its own end, with nothing better but for the gap allowed.
    """

    values: list[int] | None
    objective: float
    bound: float
    proven: bool
    finished: bool = False


class Hand(Enum):
    """Who does a run.

    All workers; one; one that holds every row against the linear relaxation as well, which proves small parts
    of a season sooner, and takes longer over large ones and parts of a cycle; or several kinds of search that
    take turns, whatever the number of workers: together they find what none of them does alone.
    """

    ALL = "all"
    ONE = "one"
    ONE_WITH_EVERY_ROW = "one with every row"
    TURNS = "several kinds that take turns"


class SolverFault(Exception):
    """The solver refused a model or contradicted itself: our fault, never the grower's."""


class Stopped(Exception):
    """The search was to end while something was being made ready for it: what was begun is of no use."""


FULL = 0.8
"""Share of the memory there may be at which a search ends: laying out the largest farm's plan takes a fifth
more than its search (measured)."""

LEAST_MEMORY = 64
"""Megabytes that a run of the solver may take in any case."""

EARLY = 0.5
"""Share of a run's time that must be left for an unknown end to be doubted."""

KINDS = 8
"""Kinds of search that take turns; the solver has its first neighbourhoods among so many."""

OVERRUN = 2
"""Times as many of its own units as are allowed that the solver spends where kinds of search take turns."""

CLOSE = 1e-6
"""Relative error of an objective that the solver tells in floating point."""


def _begin_from(model: cp_model.CpModel, hint: Sequence[int] | None) -> None:
    """Let a search begin from an answer; without one from what it began from before, if anything."""
    if hint is not None:
        model.clear_hints()  # type: ignore[no-untyped-call]
        model.proto.solution_hint.vars.extend(range(len(hint)))
        model.proto.solution_hint.values.extend(hint)


def _answer(response: CpSolverResponse, gap: float) -> Answer:
    """Return what the solver found; within a gap nothing is proven."""
    if response.status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        nothing = response.status == cp_model.INFEASIBLE
        return Answer(values=None, objective=float("inf"), bound=float("-inf"), proven=nothing)
    return Answer(
        values=list(response.solution),
        objective=response.objective_value,
        bound=response.best_objective_bound,
        proven=response.status == cp_model.OPTIMAL and not gap,
        finished=response.status == cp_model.OPTIMAL,
    )


def _is_doubtful(model: cp_model.CpModel, response: CpSolverResponse, hint: Sequence[int] | None) -> bool:
    """Say whether an answer is to be asked for again.

    That is: no answer, or none known, where one was given along; an objective that is not that of the values.
    """
    if response.status in (cp_model.INFEASIBLE, cp_model.UNKNOWN):
        return hint is not None
    return _contradicts_itself(model, response)


def _contradicts_itself(model: cp_model.CpModel, response: CpSolverResponse) -> bool:
    """Say whether the values of an answer are not worth what the solver says they are."""
    objective = model.proto.objective
    if response.status not in (cp_model.OPTIMAL, cp_model.FEASIBLE) or not objective.vars:
        return False
    values = response.solution
    worth = sum(w * values[v] for v, w in zip(objective.vars, objective.coeffs, strict=True))
    told = (worth + objective.offset) * (objective.scaling_factor or 1.0)
    return bool(abs(told - response.objective_value) > CLOSE * max(1.0, abs(told)))


class _Units:
    """The solver's own units of time that were used, by all engines of one search."""

    def __init__(self) -> None:
        self.spent = 0.0
        self._lock = threading.Lock()

    def add(self, units: float) -> None:
        with self._lock:
            self.spent += units


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
        self._units = _Units()

    def beside(self, number: int) -> "Engine":
        """Return one of several engines side by side, by the same clock, of one worker and its own seed."""
        one = Engine(replace(self.settings, workers=1, seed=self.settings.seed + number), self._stop)
        one._started, one._units = self._started, self._units
        return one

    @property
    def stopped(self) -> bool:
        """Whether the user asked to stop, the time is up, or nearly all memory there may be is taken."""
        return self._stop.is_set() or self.left <= 0 or self.memory_is_taken

    @property
    def memory_is_taken(self) -> bool:
        """Whether nearly all memory there may be is taken."""
        return self.memory_taken >= FULL

    @property
    def memory_taken(self) -> float:
        """Share of the memory there may be that the process has taken at its most; 0 without a limit."""
        most = self.settings.memory
        return memory.used() / most if most else 0.0

    @property
    def asked_to_stop(self) -> bool:
        """Whether the user asked to stop."""
        return self._stop.is_set()

    def check(self) -> None:
        """Do nothing while the search may go on.

        Raises:
            Stopped: the user asked to stop, the time is up, or the memory is.
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
            return self._units.spent
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
        hand: Hand = Hand.ALL,
    ) -> Answer:
        """Solve a model for at most ``seconds``, and never past the end of the whole search.

        ``gap`` is how far from proven the answer may be for the search to end. ``hand`` says
        who does it; all workers but for runs that go side by side.

        Raises:
            SolverFault: the model is not valid.
        """
        if fault := model.validate():
            raise SolverFault(fault.splitlines()[0])
        _begin_from(model, hint)
        limit = max(0.05, min(seconds, self.left))
        begun = self.spent
        response = self._asked(model, limit, gap, hand)
        if _is_doubtful(model, response, hint) and not self._stop.is_set():
            left = limit - (self.spent - begun)
            # Unknown is what a search says that had no time; it is doubtful only with time left.
            if response.status != cp_model.UNKNOWN or left > limit * EARLY:
                response = self._asked(model, max(0.05, left), gap, hand, presolve=False)
                if _contradicts_itself(model, response):
                    raise SolverFault("the solver's answer is not worth what it says, asked twice")
        return _answer(response, gap)

    def _asked(
        self, model: cp_model.CpModel, seconds: float, gap: float, hand: Hand, *, presolve: bool = True
    ) -> CpSolverResponse:
        """Ask the solver once, and count its time."""
        solver = self._solver(seconds)
        if hand is Hand.TURNS:
            solver.parameters.num_workers = KINDS
            solver.parameters.interleave_search = True
            solver.parameters.max_deterministic_time /= OVERRUN
        elif hand is not Hand.ALL:
            solver.parameters.num_workers = 1
        if hand is Hand.ONE_WITH_EVERY_ROW:
            solver.parameters.linearization_level = 2
        solver.parameters.absolute_gap_limit = gap
        solver.parameters.cp_model_presolve = presolve
        self._solve(solver, model)
        self._units.add(solver.deterministic_time)
        return solver.response_proto

    def _solver(self, seconds: float) -> cp_model.CpSolver:
        solver = cp_model.CpSolver()
        parameters = solver.parameters
        parameters.random_seed = self.settings.seed
        # The solver's own handler would kill the process on the next Ctrl-C.
        parameters.catch_sigint_signal = False
        # Probing and symmetry cost more than they bring on these models (measured).
        parameters.cp_model_probing_level = 0
        parameters.symmetry_level = 0
        if self.settings.memory:
            left = (self.settings.memory - memory.used()) * 1024
            parameters.max_memory_in_mb = max(LEAST_MEMORY, int(left))
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
