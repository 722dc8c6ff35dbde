"""Ways of planning a farm, all called alike."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from ortools.sat.python import cp_model

from scheduler.farm.farm import Farm
from scheduler.model.answers.read_back import NotReadBack, values_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.settings import Progress, SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.solver.engine import Engine
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan

from .hand import Hand
from .judge import firm_weight
from .ledger import Ledger
from .mixed_integer import Found, Limits, Mixed, Told, by_highs, by_scip, converted
from .model_side import bundled_rows, firm_weights, homes_of, plan_of, planned_ways, whole_model
from .paper import decided_on
from .ways import Ways, rows_alone

Trace = list[tuple[float, float]]
"""(seconds, weighted shortage of firm demand, past the last day included) each time it fell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What a contender brings: a plan, None when it found none, and how it came about.

    ``note`` is anything worth a word, such as that nothing better exists.
    """

    plan: Plan | None
    trace: Trace = field(default_factory=list)
    note: str = ""


Contender = Callable[[Farm, SolveSettings], Result]


def raftway(farm: Farm, settings: SolveSettings) -> Result:
    """Plan with the planner of this project."""
    trace: Trace = []
    phases: list[tuple[float, str]] = []
    started = time.monotonic()

    def watch(progress: Progress) -> None:
        seconds = time.monotonic() - started
        if not phases or phases[-1][1] != progress.phase:
            phases.append((seconds, progress.phase))
        if progress.short >= 0:
            _follow(trace, seconds, progress.value)

    outcome = plan_farm(farm, settings, watch)
    told = "; ".join(f"{phase} from {seconds:.1f} s" for seconds, phase in phases)
    return Result(plan=outcome.plan, trace=trace, note=told)


def hand(farm: Farm, _settings: SolveSettings) -> Result:
    """Plan backward from each delivery, one by one."""
    started = time.monotonic()
    sheet = Hand(farm, Ways(farm), Ledger(farm, rows_alone(farm))).plan()
    plan = lay_out(farm, decided_on(farm, sheet), (), {})
    return Result(plan=plan, trace=[(time.monotonic() - started, float(firm_weight(plan)))])


def hand_repaired(farm: Farm, settings: SolveSettings) -> Result:
    """Plan by hand, then fill what is short and save cost as the planner of this project does."""
    engine, trace = Engine(settings), Trace()
    sheet = Hand(farm, planned_ways(farm), Ledger(farm, bundled_rows(farm))).plan()
    plan = lay_out(farm, decided_on(farm, sheet), (), {})
    _follow(trace, engine.spent, firm_weight(plan))
    built = whole_model(farm, homes_of(farm, sheet))
    parts = Parts(built.model)
    try:
        values = values_of(built, plan)
    except NotReadBack as refused:
        return Result(plan=plan, trace=trace, note=f"not repaired: {refused}")
    if not parts.holds(values):
        return Result(plan=plan, trace=trace, note="not repaired: the model does not allow the plan")
    best = Incumbent(built, parts, values)
    repair = Repair(engine, best, lambda _: _follow(trace, engine.spent, best.score[0]), set())
    repair.shortages(settings.seconds)
    repair.sweep(settings.seconds)
    return Result(plan=plan_of(farm, built, best.values), trace=trace)


class _Watch(cp_model.CpSolverSolutionCallback):
    """Follows the firm shortage of one solve."""

    def __init__(self, short: Sequence[tuple[int, cp_model.IntVar]], since: float) -> None:
        super().__init__()
        self.trace: Trace = []
        self._short, self._since = short, since

    def on_solution_callback(self) -> None:
        """Note a better answer."""
        value = sum(weight * self.value(variable) for weight, variable in self._short)
        _follow(self.trace, time.monotonic() - self._since, value)


def cp_sat(farm: Farm, settings: SolveSettings) -> Result:
    """Hand the whole model to CP-SAT once, with its default settings."""
    started = time.monotonic()
    built = whole_model(farm)
    weights = firm_weights(built)
    short = [(weights[v.index], v) for v in built.chosen.short.values() if v.index in weights]
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = settings.workers
    solver.parameters.random_seed = settings.seed
    solver.parameters.max_time_in_seconds = _left(started, settings)
    watch = _Watch(short, started)
    status = solver.solve(built.model, watch)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Result(plan=None, note=solver.status_name(status))
    plan = plan_of(farm, built, list(solver.response_proto.solution))
    return Result(plan=plan, trace=watch.trace, note=solver.status_name(status))


def highs(farm: Farm, settings: SolveSettings) -> Result:
    """Hand the whole model to HiGHS once, with its default settings."""
    return _mixed(farm, settings, by_highs)


def scip(farm: Farm, settings: SolveSettings) -> Result:
    """Hand the whole model to SCIP once, with its default settings."""
    return _mixed(farm, settings, by_scip)


def _mixed(farm: Farm, settings: SolveSettings, solve: Callable[[Mixed, Limits, Told], Found]) -> Result:
    started = time.monotonic()
    built = whole_model(farm)
    weights, trace = firm_weights(built), Trace()
    mixed = converted(built)
    before = time.monotonic() - started

    def told(seconds: float, values: list[int]) -> None:
        _follow(trace, before + seconds, sum(weight * values[v] for v, weight in weights.items()))

    limits = Limits(seconds=_left(started, settings), workers=settings.workers)
    found = solve(mixed, limits, told)
    if found.values is None:
        return Result(plan=None, note=f"{len(mixed.rows):,} rows, {len(mixed.limits):,} columns")
    if not Parts(built.model).holds(found.values):
        return Result(plan=None, note="its answer, rounded to whole numbers, breaks a rule")
    told(time.monotonic() - started - before, found.values)
    plan = plan_of(farm, built, found.values)
    return Result(plan=plan, trace=trace, note="OPTIMAL" if found.proven else "")


def _left(started: float, settings: SolveSettings) -> float:
    return max(0.1, settings.seconds - (time.monotonic() - started))


def _follow(trace: Trace, seconds: float, value: float) -> None:
    if not trace or value < trace[-1][1]:
        trace.append((seconds, float(value)))


LIFTED = "raftway-lifted"
"""Raftway on the same farm without order in its rows: what it is short of less is what that order costs."""

CONTENDERS: dict[str, Contender] = {
    "hand": hand,
    "hand-repaired": hand_repaired,
    "cp-sat": cp_sat,
    "scip": scip,
    "highs": highs,
    "raftway": raftway,
    LIFTED: raftway,
}
"""Name on the command line -> what plans."""


def farm_for(contender: str, farm: Farm) -> Farm:
    """Return the farm that a contender plans: its own, or as if any raft could be lifted out of its row."""
    if contender != LIFTED:
        return farm
    return replace(farm, rules=replace(farm.rules, lift_out=True, lift_minutes=0))
