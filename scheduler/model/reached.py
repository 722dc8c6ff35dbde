"""What a finished plan reaches in the goals, by its own rows and the answer it was read from."""

from collections.abc import Callable
from dataclasses import dataclass

from scheduler.model.goals import Term, cost, simplicity
from scheduler.model.incumbent import Incumbent
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.rows import DemandRow, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """Values of the goals.

    Attributes:
        firm, flexible: weighted value of what is short; what boxes lack is part of the second.
        money: thousandths of hundredths, as the planner counts cost.
        points: lots and units to look after.
    """

    firm: int
    flexible: int
    money: int
    points: int


def reached(best: Incumbent, plan: Plan, counts: Callable[[DemandRow], bool]) -> Reached:
    """Return what a plan reaches; only demands that count are looked at."""
    chosen = best.built.chosen
    weights = {wish.name: wish.weight for wish in chosen.frame.wishes}
    short = {True: 0, False: lacking_weight(chosen.farm, plan)}
    for row in plan.demands:
        if counts(row):
            short[row.firm] += weights.get(row.demand, 0) * (row.amount - row.filled)

    def value_of(terms: tuple[Term, ...]) -> int:
        return sum(weight * best.values[variable.index] for weight, variable in terms)

    return Reached(
        firm=short[True],
        flexible=short[False],
        money=value_of(cost(chosen).terms),
        points=value_of(simplicity(chosen).terms),
    )
