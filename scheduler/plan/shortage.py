"""Whether a plan leaves a grower short: one answer for the search, the command line and its exit codes."""

from collections.abc import Iterable

from scheduler.farm.farm import Farm
from scheduler.farm.orders.reach import CutDays
from scheduler.plan.rows import DemandRow, Plan


def is_short(plan: Plan) -> bool:
    """Say whether a reported firm delivery has the state short."""
    return _has_firm(row for row in plan.demands if row.state == "short" and row.reported)


def fillable(farm: Farm, plan: Plan) -> tuple[DemandRow, ...]:
    """Return what is reported as short and that some batch, new or growing, can be cut fresh for.

    The others have harvest days near enough, but nothing is ever ready on one: no search fills them.
    """
    cuts, demands = CutDays(farm), {demand.name: demand for demand in farm.demands}
    short = [row for row in plan.demands if row.state == "short" and row.reported]
    return tuple(row for row in short if row.demand not in demands or cuts.serve(demands[row.demand]))


def is_short_in_reach(farm: Farm, plan: Plan) -> bool:
    """Say whether a reported firm delivery is short that a batch could be cut for: the exit code tells it."""
    return is_short(plan) and _has_firm(fillable(farm, plan))


def _has_firm(rows: Iterable[DemandRow]) -> bool:
    return any(row.firm and not row.target for row in rows)
