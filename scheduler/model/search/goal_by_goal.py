"""The whole model solved at once: goal by goal, each kept before the next."""

from collections.abc import Callable, Container
from math import ceil

from ortools.sat.python.cp_model import LinearExpr

from scheduler.farm.units import MILLI
from scheduler.model.answers.reached import SHORTAGES
from scheduler.model.bounds.proof import Proof
from scheduler.model.goals import Term, cost, shortage, simplicity
from scheduler.model.search.every_way import may_be_too_narrow
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.solver.engine import Answer, Engine, Hand

SHARES = (0.3, 0.15, 0.4)
"""Shares of the time for firm shortage, flexible shortage, and cost with simplicity."""


def fill_as_one(engine: Engine, best: Incumbent, beyond: Container[int], until: float) -> bool:
    """Fill what parts of a plan could not, by solving its whole model for each level that is short.

    What one part is to bring now and then hangs on all the others. Wishes ``beyond`` reach are no reason to.
    Returns whether the model has nothing better, so that only ways it leaves out could fill more.
    """
    chosen, model = best.built.chosen, best.built.model.clone()
    finished = True
    for level in SHORTAGES:
        terms = shortage(chosen, level).terms
        expression = LinearExpr.weighted_sum([v for _, v in terms], [w for w, _ in terms])
        if best.units_short(level, beyond) and engine.spent < until:
            model.minimize(expression)
            answer = engine.run(model, until - engine.spent, best.values, hand=Hand.TURNS)
            best.take(answer.values)
            finished = finished and answer.finished
        model.add(expression <= best.score[level - 1])
    return finished and engine.spent < until


def goal_by_goal(
    engine: Engine, best: Incumbent, proof: Proof, beyond: Container[int], done: Callable[[], None]
) -> bool:
    """Improve a plan by solving the whole model for each goal in turn; say if all were proven.

    Limits of shortage are given to ``proof``; ``done`` is called after each goal. Where something is short
    that is not ``beyond`` reach, and the model leaves out ways of a batch, it ends before the cost, and where
    memory runs out with what it has.
    """
    try:
        return _all_proven(engine, best, proof, beyond, done)
    except MemoryError:
        return False


def _all_proven(
    engine: Engine, best: Incumbent, proof: Proof, beyond: Container[int], done: Callable[[], None]
) -> bool:
    chosen, model = best.built.chosen, best.built.model.clone()
    points = ((weight * MILLI, variable) for weight, variable in simplicity(chosen).terms)
    tail: tuple[Term, ...] = (*cost(chosen).terms, *points)
    proven = True
    for number, terms in enumerate((*(shortage(chosen, level).terms for level in SHORTAGES), tail)):
        if number == len(SHORTAGES) and may_be_too_narrow(best, beyond):
            return False
        expression = LinearExpr.weighted_sum([v for _, v in terms], [w for w, _ in terms])
        model.minimize(expression)
        answer = engine.run(model, engine.settings.seconds * SHARES[number], best.values)
        if answer.values is not None:
            best.take(answer.values)
        reached = sum(weight * best.values[variable.index] for weight, variable in terms)
        if number < len(SHORTAGES) and chosen.options.whole:  # else it is no limit of all plans
            proof.add(SHORTAGES[number], _bound(answer), best.score[0])
        proven = proven and answer.proven
        done()
        model.add(expression <= reached)
    return proven


def _bound(answer: Answer) -> int:
    """Return a proven limit; no shortage is below nothing, and all are whole numbers."""
    return ceil(max(0.0, answer.bound) - 1e-6)
