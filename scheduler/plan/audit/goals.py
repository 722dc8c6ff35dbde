"""Goals: what a plan says it reaches is what its rows come to, and no limit or proof passes that."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator

from scheduler.farm.units import CENT
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.exact import tells_all
from scheduler.plan.rows import GoalRow
from scheduler.plan.worth import CHANGE, COST, FIRM, FLEXIBLE, GOAL_NAMES, POINTS, cost, points, unit_of

ALWAYS = (FIRM, FLEXIBLE, COST, POINTS)
"""Levels that every plan with goals tells; older ones need not tell the last two."""

CHANGE_STEP = 3
"""Points of change are a multiple of this: 300 for a lot, 3 for a plant."""

FINE, NEAR = 1_000, 5
"""A cost is compared in so many parts of the unit of money, and may be so many of them off: told in whole
hundredths it is right."""

PROVEN, TOGETHER = "proven", "proven together"
STATUSES = (PROVEN, TOGETHER, "best found")

Between = tuple[int, int]


def goals(ledger: Ledger) -> Iterator[AuditFault]:
    """Report goals that are told otherwise than the rows give them, and limits and proofs that cannot be.

    A plan without any goals tells nothing wrong. What no new sowing can reach counts as short only where
    something that grows could have filled it, which the rows do not say: it may be counted or not. Cost and
    points are judged in plans that say they were made by this rule. How much differs from the plan before
    takes that plan: only what such points can be is judged.
    """
    rows = ledger.plan.goals
    if not rows:
        return
    yield from _levels(ledger)
    short = _short(ledger)
    for row in rows:
        if row.level in short:
            yield from _shortage(ledger, row, short[row.level])
        elif row.level == CHANGE:
            yield from _change(ledger, row)
        elif tells_all(ledger.plan):
            yield from _worked_out(ledger, row)
        if tells_all(ledger.plan):
            yield from _named(ledger, row)
        yield from _limit(ledger, row)
    yield from _together(ledger)


def _levels(ledger: Ledger) -> Iterator[AuditFault]:
    """Report levels without a row, with several, and that are none."""
    found = Counter(row.level for row in ledger.plan.goals)
    for level in ALWAYS if tells_all(ledger.plan) else (FIRM, FLEXIBLE):
        if not found[level]:
            yield _fault(ledger, f"the row of level {level} is missing")
    for level, times in sorted(found.items()):
        if times > 1:
            yield _fault(ledger, f"level {level} has {times} rows")
        if level not in (*ALWAYS, CHANGE):
            yield _fault(ledger, f"level {level} is none: a plan has levels 1 to {POINTS}")


def _named(ledger: Ledger, row: GoalRow) -> Iterator[AuditFault]:
    """Report another name or unit than that of the level."""
    if row.level not in GOAL_NAMES:
        return
    name, unit = GOAL_NAMES[row.level], unit_of(ledger.farm, row.level)
    for what, found, wanted in (("goal", row.goal, name), ("unit", row.unit, unit)):
        if found != wanted:
            yield _fault(ledger, f"{what} of level {row.level} is {found}, not {wanted}")


def _short(ledger: Ledger) -> dict[int, Between]:
    """Return level -> weighted value that is short at least and at most."""
    weights = {demand.name: demand.weight for demand in ledger.farm.demands}
    in_reach: dict[int, int] = defaultdict(int)
    beyond: dict[int, int] = defaultdict(int)
    for row in ledger.plan.demands:
        missing = weights.get(row.demand, 0) * (row.amount - row.filled)
        told = in_reach if row.state in ("short", "filled") and not row.before_sowing else beyond
        told[FIRM if row.firm else FLEXIBLE] += missing
    in_reach[FLEXIBLE] += lacking_weight(ledger.farm, ledger.plan)
    return {level: (in_reach[level], in_reach[level] + beyond[level]) for level in (FIRM, FLEXIBLE)}


def _shortage(ledger: Ledger, row: GoalRow, short: Between) -> Iterator[AuditFault]:
    least, most = short
    if not float(least) <= row.value <= float(most):
        rows = f"{least:,}" if least == most else f"{least:,} to {most:,}"
        yield _fault(ledger, f"value of {row.goal} is {row.value:,.0f}, the rows give {rows}")


def _worked_out(ledger: Ledger, row: GoalRow) -> Iterator[AuditFault]:
    """Report a cost or points that are not what the rows come to."""
    if row.level == COST:
        money = float(cost(ledger.farm, ledger.plan) / CENT)
        if _passes(row, row.value, money) or _passes(row, money, row.value):
            yield _fault(ledger, f"value of {row.goal} is {row.value:,.3f}, the rows give {money:,.3f}")
    elif row.level == POINTS:
        given = points(ledger.farm, ledger.plan)
        if row.value != given:
            yield _fault(ledger, f"value of {row.goal} is {row.value:,.2f}, the rows give {given:,}")


def _change(ledger: Ledger, row: GoalRow) -> Iterator[AuditFault]:
    if not (math.isfinite(row.value) and row.value >= 0 and row.value % CHANGE_STEP == 0):
        message = f"value of {row.goal} is {row.value:,.2f}, which no lots at 300 and plants at 3 add up to"
        yield _fault(ledger, message)


def _limit(ledger: Ledger, row: GoalRow) -> Iterator[AuditFault]:
    """Report a limit that the plan itself passes, a status that is none, and a proof without its limit."""
    if row.bound is not None and _passes(row, row.bound, row.value):
        message = f"limit of {row.goal} is {row.bound:,.2f}, and the plan itself reaches {row.value:,.2f}"
        yield _fault(ledger, message)
    if row.status not in STATUSES:
        yield _fault(ledger, f"status of {row.goal} is {row.status}; it may be {', '.join(STATUSES)}")
    elif row.status == PROVEN and (row.bound is None or _passes(row, row.value, row.bound)):
        limit = "no limit" if row.bound is None else f"a limit of {row.bound:,.2f}"
        yield _fault(ledger, f"{row.goal} is said to be proven: {row.value:,.2f} with {limit}")


def _together(ledger: Ledger) -> Iterator[AuditFault]:
    """Report what is said to be proven together and is not cost and points, or only one of the two."""
    status = {row.level: row.status for row in ledger.plan.goals}
    for row in ledger.plan.goals:
        other = {COST: POINTS, POINTS: COST}.get(row.level)
        if row.status == TOGETHER and (other is None or status.get(other) not in (PROVEN, TOGETHER)):
            yield _fault(
                ledger, f"status of {row.goal} is {TOGETHER}, but cost and points are not both proven"
            )


def _passes(row: GoalRow, value: float, limit: float) -> bool:
    """Say whether one value of a goal is above another, in money by more than it may be off."""
    if row.level == COST and math.isfinite(value) and math.isfinite(limit):
        return round(value * FINE) - round(limit * FINE) > NEAR
    return not value <= limit


def _fault(ledger: Ledger, message: str) -> AuditFault:
    return ledger.fault("bookkeeping", "goals", None, message)
