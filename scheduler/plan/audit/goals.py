"""Goals: what a plan says it leaves short is what its rows leave short, and proven is what a limit proves."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.boxes import lacking_weight
from scheduler.plan.rows import GoalRow

FIRM, FLEXIBLE = 1, 2
"""Levels of the goals that are shortages: of firm demand, and of all other."""

PROVEN = "proven"
STATUSES = (PROVEN, "proven together", "best found")

Between = tuple[int, int]


def goals(ledger: Ledger) -> Iterator[AuditFault]:
    """Report shortages that are told otherwise than the rows give them, and proofs without their limit.

    A plan without any goals tells nothing wrong. What no new sowing can reach counts as short only where
    something that grows could have filled it, which the rows do not say: it may be counted or not.
    """
    rows = ledger.plan.goals
    found = Counter(row.level for row in rows)
    for level in (FIRM, FLEXIBLE):
        if rows and not found[level]:
            yield _fault(ledger, f"the row of level {level} is missing")
    for level, times in sorted(found.items()):
        if times > 1:
            yield _fault(ledger, f"level {level} has {times} rows")
    short = _short(ledger) if rows else {}
    for row in rows:
        if row.level in short:
            yield from _shortage(ledger, row, short[row.level])
        yield from _status(ledger, row)


def _short(ledger: Ledger) -> dict[int, Between]:
    """Return level -> weighted value that is short at least and at most."""
    weights = {demand.name: demand.weight for demand in ledger.farm.demands}
    in_reach: dict[int, int] = defaultdict(int)
    beyond: dict[int, int] = defaultdict(int)
    for row in ledger.plan.demands:
        missing = weights.get(row.demand, 0) * (row.amount - row.filled)
        told = in_reach if row.state in ("short", "filled") else beyond
        told[FIRM if row.firm else FLEXIBLE] += missing
    in_reach[FLEXIBLE] += lacking_weight(ledger.farm, ledger.plan)
    return {level: (in_reach[level], in_reach[level] + beyond[level]) for level in (FIRM, FLEXIBLE)}


def _shortage(ledger: Ledger, row: GoalRow, short: Between) -> Iterator[AuditFault]:
    least, most = short
    if not float(least) <= row.value <= float(most):
        rows = f"{least:,}" if least == most else f"{least:,} to {most:,}"
        yield _fault(ledger, f"value of {row.goal} is {row.value:,.0f}, the rows give {rows}")


def _status(ledger: Ledger, row: GoalRow) -> Iterator[AuditFault]:
    if row.status not in STATUSES:
        yield _fault(ledger, f"status of {row.goal} is {row.status}; it may be {', '.join(STATUSES)}")
    elif row.status == PROVEN and (row.bound is None or row.value > row.bound):
        limit = "no limit" if row.bound is None else f"a limit of {row.bound:,.2f}"
        yield _fault(ledger, f"{row.goal} is said to be proven: {row.value:,.2f} with {limit}")


def _fault(ledger: Ledger, message: str) -> AuditFault:
    return ledger.fault("bookkeeping", "goals", None, message)
